"""A defect whose reading or examination was corrected afterwards: what it stands at now."""

from dataclasses import dataclass
from datetime import datetime

from defects.models import Defect
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Reading
from inspections.verdicts.stored import finding_of
from inspections.words import Look, QuantityCode


@dataclass(frozen=True)
class Corrected:
    """The last correction of what a defect was raised from."""

    what: str  # "reading" or "examination"
    words: str  # what it says now: "1436 mm", "good"
    at: datetime
    by: str
    reason: str
    still_wrong: bool  # out of limits or defective as it stands now, too


def correction_of(defect: Defect) -> Corrected | None:
    """How what the defect was raised from was corrected; None where it stands.

    One query for the finding and one for each correction of it.
    """
    first = last = defect.reading or defect.examination
    while (anew := getattr(last, "correction", None)) is not None:
        last = anew
    if last is first:
        return None
    is_reading = isinstance(last, Reading)
    return Corrected(
        what="reading" if is_reading else "examination",
        words=_reading_now(last) if is_reading else Look(last.found).label,
        at=last.entered_at,
        by=last.entered_by,
        reason=last.correction_reason,
        still_wrong=finding_of(last).is_wrong,
    )


def _reading_now(reading: Reading) -> str:
    words = QUANTITIES[QuantityCode(reading.quantity)].written(reading.value)
    return words if reading.value is not None else f"{words} ({reading.not_taken_reason})"
