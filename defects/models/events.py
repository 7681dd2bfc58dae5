"""The line of events of a defect: every move, by whom, and on what evidence. Never edited."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from assets.departments import Department
from assets.models.fields import LongText, Text, coded, coded_rule
from defects.words import Move, State
from inspections.models import Examination, Reading

from .defects import Defect


class EventQuerySet(models.QuerySet):
    def in_time(self) -> "EventQuerySet":
        return self.order_by("at", "pk")


class Event(models.Model):
    """One move of one defect. ``corrects`` refers to an earlier entry that was mistaken."""

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="events")
    at = models.DateTimeField()
    by = Text(max_length=80)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    department = Text(
        max_length=24, blank=True, choices=Department.choices(), help_text="Acting for."
    )
    move = coded(Move, "move", default=Move.COMMENT.value)
    state = coded(State, "state after it", default=State.RAISED.value)
    owner = coded(Department, "held by after it", default=Department.SIGNALLING.value)
    note = LongText(blank=True)
    reading = models.ForeignKey(
        Reading, null=True, blank=True, on_delete=models.PROTECT, related_name="events"
    )
    examination = models.ForeignKey(
        Examination, null=True, blank=True, on_delete=models.PROTECT, related_name="events"
    )
    agreed_by_engineer = models.BooleanField(
        default=False, help_text="Closed without a reading, for the reason in the note."
    )
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="correction"
    )
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = EventQuerySet.as_manager()

    class Meta:
        ordering = ["defect", "at", "pk"]
        constraints = [
            coded_rule("event", "move", Move),
            coded_rule("event", "state", State),
            coded_rule("event", "owner", Department),
            models.CheckConstraint(
                name="event_close_has_evidence",
                condition=~Q(move=Move.CLOSE.value)
                | Q(reading__isnull=False)
                | Q(examination__isnull=False)
                | (Q(agreed_by_engineer=True) & ~Q(note="")),
                violation_error_message=(
                    "Closing needs a reading, an examination or the engineer's written reason."
                ),
            ),
            models.CheckConstraint(
                name="event_reason_given",
                condition=~Q(
                    move__in=[
                        Move.HAND_OVER.value,
                        Move.RETURN.value,
                        Move.IN_ERROR.value,
                        Move.COMMENT.value,
                    ],
                    note="",
                ),
                violation_error_message="Write the reason.",
            ),
        ]

    def __str__(self) -> str:
        return f"{Move(self.move).label} by {self.by}"
