"""A rod changed between a form going out and its readings coming in: a person says which it was."""

from django.db import models
from django.db.models import Q

from assets.models import Position, Stretcher
from assets.models.fields import Text
from inspections.models.visits import Inspection
from inspections.words import WhichRod


class DifferenceQuerySet(models.QuerySet):
    def open(self) -> "DifferenceQuerySet":
        return self.filter(answer="")

    def with_rods(self) -> "DifferenceQuerySet":
        return self.select_related("position", "rod_then", "rod_now")


class Difference(models.Model):
    """At one place: the rod on the form, and the one recorded there on the day of the visit."""

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="differences")
    position = models.ForeignKey(Position, on_delete=models.PROTECT, related_name="+")
    rod_then = models.ForeignKey(
        Stretcher, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    rod_now = models.ForeignKey(
        Stretcher, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    answer = Text(max_length=24, blank=True, choices=WhichRod.choices())
    answered_by = Text(max_length=80, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)

    objects = DifferenceQuerySet.as_manager()

    class Meta:
        ordering = ["inspection", "position__order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["inspection", "position"], name="difference_once_per_place"
            ),
            models.CheckConstraint(
                name="difference_answer_whole",
                condition=Q(answer="", answered_by="", answered_at__isnull=True)
                | (
                    Q(answer__in=[word.value for word in WhichRod], answered_at__isnull=False)
                    & ~Q(answered_by="")
                ),
                violation_error_message="An answer has its word, a name and a day.",
            ),
        ]

    def __str__(self) -> str:
        return (
            f"{self.position.name}: the form was for {self.rod_then or 'no stretcher'}, "
            f"{self.rod_now or 'no stretcher'} is recorded there on the day of the visit"
        )
