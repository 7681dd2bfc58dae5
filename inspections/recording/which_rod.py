"""Answering which rod was measured, where it was changed about the time of the visit."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from inspections.models import Difference
from inspections.recording.corrections import correct_examination, correct_reading
from inspections.words import WhichRod


@transaction.atomic
def answer(difference: Difference, which: WhichRod, *, by: str, at: datetime) -> Difference:
    """Writes the answer down; where it was the other rod, enters corrections that say so.

    Where it cannot be told, the readings are withdrawn: they belong to no rod that is known.
    Raises ValidationError where somebody else has answered.
    """
    difference = Difference.objects.select_for_update().get(pk=difference.pk)
    if difference.answer:
        raise ValidationError(f"{difference.answered_by} has answered this already.")
    difference.answer = which.value
    difference.answered_by = by
    difference.answered_at = at
    difference.full_clean()
    difference.save()
    if which == WhichRod.NOW and difference.rod_now:
        _move_to_the_rod_there_now(difference, by)
    elif which != WhichRod.THEN:
        _withdraw(difference, by)
    return difference


def _entered_there(difference: Difference):
    """The standing readings and examinations of the visit at the place."""
    visit, here = difference.inspection, {"position": difference.position_id}
    readings = visit.readings.standing().filter(**here).select_related("inspection__points")
    looks = visit.examinations.standing().filter(**here).select_related("inspection__points")
    return list(readings.select_related("position")), list(looks.select_related("position"))


def _move_to_the_rod_there_now(difference: Difference, by: str) -> None:
    readings, looks = _entered_there(difference)
    reason = f"taken of {difference.rod_now}, not of {difference.rod_then or 'no stretcher'}"
    rod = difference.rod_now
    for reading in readings:
        correct_reading(
            reading,
            by=by,
            reason=reason,
            value=reading.value,
            not_taken_reason=reading.not_taken_reason,
            stretcher=rod,
        )
    for look in looks:
        correct_examination(
            look, found=look.found, by=by, reason=reason, note=look.note, stretcher=rod
        )


def _withdraw(difference: Difference, by: str) -> None:
    readings, looks = _entered_there(difference)
    reason = "not known which stretcher it was"
    for reading in readings:
        if reading.value is not None:
            correct_reading(reading, by=by, reason=reason, not_taken_reason=reason)
    for look in looks:
        correct_examination(look, found="not_seen", by=by, reason=reason, note=look.note)
