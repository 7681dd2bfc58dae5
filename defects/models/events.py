"""The line of events of a defect: every move, by whom, and on what evidence. Never edited."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from assets.departments import Department
from assets.models.fields import LongText, Text, coded, coded_rule
from defects.words import Move, ReturnReason, State, TemporaryMeasure, Urgency
from inspections.models import Examination, Reading

from .defects import Defect

MEASURES = tuple(m for m in TemporaryMeasure if m != TemporaryMeasure.NONE)


class EventQuerySet(models.QuerySet):
    def in_time(self) -> "EventQuerySet":
        """Oldest first, with the other defect that a sentence may name."""
        return self.select_related("other").order_by("at", "pk")


def _only_with(move: Move, **given) -> Q:
    """What this move always has, and no other move has."""
    (field, values), *_ = given.items()
    if values is None:
        missing = Q(**{f"{field}__isnull": True})
        return Q(~missing, move=move.value) | Q(missing, ~Q(move=move.value))
    missing = Q(**{field: ""})
    has = Q(**{f"{field}__in": [word.value for word in values]})
    return Q(has, move=move.value) | Q(missing, ~Q(move=move.value))


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
    return_kind = Text("kind of return", max_length=24, blank=True, choices=ReturnReason.choices())
    measure = Text(
        "temporary measure",
        max_length=24,
        blank=True,
        choices=[(m.value, m.label) for m in MEASURES],
    )
    lifted = models.BooleanField("measure lifted", default=False)
    other = models.ForeignKey(
        Defect,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="+",
        verbose_name="other defect",
        help_text="The one that this one repeats, or that caused it.",
    )
    done_at = models.DateTimeField("work done at", null=True, blank=True)
    urgency = Text(
        "made as urgent as",
        max_length=24,
        blank=True,
        choices=Urgency.choices(),
        help_text="Found again and more urgent than it was.",
    )
    note = LongText(blank=True, help_text="The reason, or what was done.")
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
            models.CheckConstraint(
                name="event_return_has_its_kind",
                condition=_only_with(Move.RETURN, return_kind=ReturnReason),
                violation_error_message="A return has a kind; nothing else has one.",
            ),
            models.CheckConstraint(
                name="event_measure_given",
                condition=_only_with(Move.MEASURE, measure=MEASURES),
                violation_error_message=(
                    "An event of a temporary measure says which; no other event has one."
                ),
            ),
            models.CheckConstraint(
                name="event_lifts_a_measure",
                condition=Q(lifted=False) | Q(move=Move.MEASURE.value),
                violation_error_message="Only a temporary measure can be lifted.",
            ),
            models.CheckConstraint(
                name="event_other_defect",
                condition=Q(move=Move.LINK.value, other__isnull=False)
                | Q(move=Move.RAISE.value)
                | (Q(other__isnull=True) & ~Q(move=Move.LINK.value)),
                violation_error_message=(
                    "A link names the other defect, and raising one may; no other event does."
                ),
            ),
            models.CheckConstraint(
                name="event_not_of_itself",
                condition=Q(other__isnull=True) | ~Q(other=models.F("defect")),
                violation_error_message="A defect neither repeats nor causes itself.",
            ),
            models.CheckConstraint(
                name="event_work_has_its_time",
                condition=_only_with(Move.WORK_DONE, done_at=None),
                violation_error_message="Work done has the time it was done; nothing else has one.",
            ),
            models.CheckConstraint(
                name="event_more_urgent",
                condition=Q(urgency="")
                | Q(
                    move=Move.MEASURED_AGAIN.value,
                    urgency__in=[urgency.value for urgency in Urgency],
                ),
                violation_error_message="Only what is found again makes a defect more urgent.",
            ),
        ]

    def __str__(self) -> str:
        return f"{Move(self.move).label} by {self.by}"

    @property
    def sentence(self) -> str:
        """What happened, made of the fields, beside the name of the move; "" if that says it all.

        Reads the other defect where there is one.
        """
        if self.move == Move.RETURN:
            return f"{ReturnReason(self.return_kind).label.capitalize()}: {self.note}"
        if self.move == Move.MEASURE:
            measure = TemporaryMeasure(self.measure).label
            said = f"Lifted ({measure})" if self.lifted else measure.capitalize()
            return f"{said}: {self.note}"
        return " ".join(part for part in (self._beginning, self.note) if part)

    @property
    def _beginning(self) -> str:
        if self.move == Move.RAISE and self.other is not None:
            return f"Repeat of defect {self.other.number}."
        if self.move == Move.LINK:
            return f"Caused by defect {self.other.number}: {self.other.title.rstrip('.')}."
        if self.move != Move.MEASURED_AGAIN:
            return ""
        again = "Measured again, still out of limits."
        if self.examination_id is not None:
            again = "Seen again, still defective."
        return f"{again} Urgency now: {Urgency(self.urgency).label}." if self.urgency else again
