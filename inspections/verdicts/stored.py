"""Findings as readings and examinations keep them in their columns: nothing is judged again."""

from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Examination, Reading
from inspections.verdicts.finding import (
    LOST_WITH_THE_GAUGE,
    VERDICT_OF_LOOK,
    Finding,
    Found,
    Subject,
)
from inspections.verdicts.limits import bound_of
from inspections.words import ItemCode, Look, QuantityCode, SubjectKind, Verdict


def finding_of(entry: Reading | Examination, gauge_out: bool = False) -> Finding:
    """What an entry found; reads its visit, position, stretcher and limit.

    ``gauge_out``: the track gauge was out at the visit, which is kept where it matters.
    """
    return _of_reading(entry, gauge_out) if isinstance(entry, Reading) else _of_examination(entry)


def _of_reading(reading: Reading, gauge_out: bool) -> Finding:
    found = Found(Subject(SubjectKind.MEASURED.value, reading.quantity), reading.way)
    if gauge_out and found == LOST_WITH_THE_GAUGE:
        found = Found(found.subject, found.way, gauge_out=True)
    return Finding(
        found,
        reading.where,
        Verdict(reading.verdict),
        bound=None if reading.limit is None else bound_of(reading.limit),
        value=reading.value,
        entry=reading,
        part=reading.stretcher if QUANTITIES[QuantityCode(reading.quantity)].faults_rod else None,
        reason=reading.not_taken_reason,
    )


def _of_examination(look: Examination) -> Finding:
    return Finding(
        Found(Subject(SubjectKind.EXAMINED.value, look.item)),
        look.where,
        VERDICT_OF_LOOK[Look(look.found)],
        entry=look,
        part=look.stretcher if ITEMS[ItemCode(look.item)].faults_rod else None,
        reason=look.note,
    )
