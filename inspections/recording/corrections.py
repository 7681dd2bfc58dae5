"""Corrections: a mistaken entry stays as it was, and a new one stands for it from then on."""

from collections import defaultdict
from datetime import datetime

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import IntegrityError, transaction

from assets.models import Stretcher
from inspections.models import Examination, Reading
from inspections.recording.entries import ExaminationEntry, ReadingEntry, VisitWriter, raise_any


def correct_reading(
    reading: Reading,
    *,
    by: str,
    reason: str,
    value: float | None = None,
    not_taken_reason: str = "",
    stretcher: Stretcher | None = None,
    at: datetime | None = None,
) -> Reading:
    """Enters a reading anew in place of a mistaken one, which stays and is referred to.

    ``stretcher`` is the rod it is of, where that was mistaken; ``at`` is when it was entered anew,
    by default now. No value with a ``not_taken_reason`` withdraws it. Raises ValidationError under
    "value", "reason" or "__all__".
    """
    visit = reading.inspection
    entry = ReadingEntry(
        quantity=reading.quantity,
        value=value,
        position=reading.position,
        at_mm=reading.at_mm,
        side=reading.side,
        lie=reading.lie,
        not_taken_reason=not_taken_reason,
        instrument=reading.instrument,
        name="value",
        tried=reading.trial,
    )
    writer = VisitWriter(visit, (), entered_by=by)
    errors = _errors_of_correction(reading, reason)
    errors["value"] += writer.errors_of_reading(entry, rod_known=True)
    raise_any(errors)
    anew = writer.reading(entry)
    anew.stretcher = stretcher or reading.stretcher
    anew.instrument_past_check = reading.instrument_past_check
    return _save_correction(anew, reading, reason, at)


def correct_examination(
    examination: Examination,
    *,
    found: str,
    by: str,
    reason: str,
    note: str = "",
    stretcher: Stretcher | None = None,
    at: datetime | None = None,
) -> Examination:
    """Enters an examination anew in place of a mistaken one, which stays and is referred to."""
    entry = ExaminationEntry(
        item=examination.item,
        found=found,
        position=examination.position,
        note=note,
        name="found",
    )
    writer = VisitWriter(examination.inspection, (), entered_by=by)
    errors = _errors_of_correction(examination, reason)
    errors["found"] += writer.errors_of_examination(entry, rod_known=True)
    raise_any(errors)
    anew = writer.examination(entry)
    anew.stretcher = stretcher or examination.stretcher
    return _save_correction(anew, examination, reason, at)


def _errors_of_correction(entry: Reading | Examination, reason: str):
    errors: dict[str, list[str]] = defaultdict(list)
    if type(entry).objects.filter(corrects=entry).exists():
        errors[NON_FIELD_ERRORS].append(
            "This entry has already been corrected: correct the entry that replaced it."
        )
    if not reason.strip():
        errors["reason"].append("Say why the entry is corrected.")
    if len(reason) > 200:
        errors["reason"].append("Say why in 200 characters at most.")
    return errors


def _save_correction(anew, mistaken, reason: str, at: datetime | None):
    anew.corrects = mistaken
    anew.entered_at = at or anew.entered_at
    anew.correction_reason = reason.strip()
    try:
        with transaction.atomic():
            anew.save()
    except IntegrityError:
        raise ValidationError(
            "Someone else has just corrected this entry: check it again."
        ) from None
    return anew
