"""Proposals that a person looked at and did not raise, each with the reason."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from assets.models.fields import Text
from inspections.models import Examination, Reading


class Dismissal(models.Model):
    """Why no defect was raised from a reading that is out, or a thing found defective."""

    reading = models.OneToOneField(
        Reading, null=True, blank=True, on_delete=models.PROTECT, related_name="dismissal"
    )
    examination = models.OneToOneField(
        Examination, null=True, blank=True, on_delete=models.PROTECT, related_name="dismissal"
    )
    reason = Text(max_length=300)
    by = Text(max_length=80)
    user = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="dismissal_of_one_finding",
                condition=Q(reading__isnull=True, examination__isnull=False)
                | Q(reading__isnull=False, examination__isnull=True),
                violation_error_message="A dismissal is of one reading or one examination.",
            ),
            models.CheckConstraint(
                name="dismissal_reason_given",
                condition=~Q(reason=""),
                violation_error_message="Say why no defect is raised.",
            ),
        ]

    def __str__(self) -> str:
        return f"Not raised: {self.reason}"
