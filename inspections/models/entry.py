"""What is entered once and never changed: a mistaken entry is entered anew, with the reason."""

from django.db import models
from django.db.models import Q
from django.utils import timezone

from assets.models.fields import Text


def correction_rule(table: str) -> models.CheckConstraint:
    return models.CheckConstraint(
        name=f"{table}_correction_has_a_reason",
        condition=Q(corrects__isnull=True) | ~Q(correction_reason=""),
        violation_error_message="Say why the entry is corrected.",
    )


class Entry(models.Model):
    """What readings, examinations and checks share: when and by whom it was entered, and why anew.

    An entry is never changed: ``corrects`` points at the mistaken one that it stands for.
    """

    entered_at = models.DateTimeField(default=timezone.now, editable=False)
    entered_by = Text(max_length=80, blank=True)
    corrects = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="correction"
    )
    correction_reason = Text(max_length=200, blank=True)

    class Meta:
        abstract = True
