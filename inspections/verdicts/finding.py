"""What was found: the verdict on a value, and the one form in which it goes on from there.

Pure, no database. Each level of a limit holds on its own, and a value exactly at a limit is within
it. A ``Finding`` is made once, where something is judged; routing, repeats, evidence, words and
pages take it as it is.
"""

from dataclasses import dataclass
from typing import Any

from inspections.catalogue.where import Where
from inspections.words import Level, Look, QuantityCode, Scope, SubjectKind, Verdict, Way


@dataclass(frozen=True)
class Bound:
    """Least and most of a quantity at one level, in the quantity's unit; None: open."""

    level: Level
    minimum: float | None = None
    nominal: float | None = None
    maximum: float | None = None
    confirmed: bool = False
    scope: Scope = Scope.RAILWAY
    scope_key: str = ""
    source: str = ""
    limit_id: int | None = None

    @property
    def is_empty(self) -> bool:
        """Neither least nor most: it only ends the limit before it."""
        return self.minimum is None and self.maximum is None

    def holds(self, value: float) -> bool:
        """Whether a value is within, the ends included."""
        return (self.minimum is None or value >= self.minimum) and (
            self.maximum is None or value <= self.maximum
        )


@dataclass(frozen=True)
class QuantityLimits:
    """The limits of one quantity at one set of points: at most one of each level."""

    alert: Bound | None = None
    intervention: Bound | None = None
    immediate: Bound | None = None

    @property
    def mildest(self) -> Bound | None:
        """The first limit that a worsening value meets; the one to show beside the box."""
        return self.alert or self.intervention or self.immediate

    @property
    def kept_to(self) -> Bound | None:
        """What the arithmetic keeps to: the intervention level, else the mildest."""
        return self.intervention or self.mildest

    @property
    def levels(self) -> tuple[Bound, ...]:
        """Those there are, the mildest first."""
        return tuple(b for b in (self.alert, self.intervention, self.immediate) if b is not None)


@dataclass(frozen=True)
class Judgement:
    """A verdict, the limit that decided it, whether that is confirmed, and which way it is past."""

    verdict: Verdict
    bound: Bound | None = None
    way: str = ""

    @property
    def confirmed(self) -> bool:
        return self.bound is not None and self.bound.confirmed


def judge(value: float | None, limits: QuantityLimits) -> Judgement:
    """A value against the limits of its quantity; None is a reading that was not taken."""
    if value is None:
        return Judgement(Verdict.NOT_TAKEN)
    for bound in reversed(limits.levels):
        if not bound.holds(value):
            way = Way.BELOW if bound.minimum is not None and value < bound.minimum else Way.ABOVE
            return Judgement(Verdict(bound.level.value), bound, way.value)
    if limits.mildest is None:
        return Judgement(Verdict.NO_LIMIT)
    return Judgement(Verdict.WITHIN, limits.mildest)


VERDICT_OF_LOOK = {
    Look.GOOD: Verdict.WITHIN,
    Look.DEFECTIVE: Verdict.INTERVENTION,
    Look.NOT_SEEN: Verdict.NOT_TAKEN,
}


@dataclass(frozen=True)
class Subject:
    """What a finding is about: a quantity, a thing looked at or a check of the register.

    ``kind`` is "" for something that the program has no rule for; ``code`` may then be any text.
    """

    kind: str = ""
    code: str = ""

    def __bool__(self) -> bool:
        return bool(self.code)


@dataclass(frozen=True)
class Found:
    """What was found, wherever it was: the key of the routing table.

    ``gauge_out``: the track gauge was out at the same visit.
    """

    subject: Subject = Subject()
    way: str = ""
    gauge_out: bool = False

    @property
    def columns(self) -> dict[str, Any]:
        """As a row of the routing table and a defect keep it."""
        return {
            "subject_kind": self.subject.kind,
            "subject": self.subject.code,
            "way": self.way,
            "gauge_out": self.gauge_out,
        }


# Lost with the track gauge: whoever keeps the gauge looks first.
LOST_WITH_THE_GAUGE = Found(Subject(SubjectKind.MEASURED, QuantityCode.FWC), Way.BELOW)


@dataclass(frozen=True)
class Finding:
    """One thing found at one place, as it was judged.

    ``entry`` is the reading or examination, None where it was found in the register or by hand;
    ``bound`` the limit that decided and ``value`` what was read, in the quantity's unit; ``part``
    the part at fault, where the fault is its own. ``reason`` is what is said of it: the note of a
    look, why a reading was not taken, what a check found. ``certain`` False cannot be said until
    somebody looks.
    """

    found: Found
    where: Where
    verdict: Verdict = Verdict.INTERVENTION
    bound: Bound | None = None
    value: float | None = None
    entry: Any = None
    part: Any = None
    reason: str = ""
    certain: bool = True

    @property
    def subject(self) -> Subject:
        return self.found.subject

    @property
    def is_measured(self) -> bool:
        return self.subject.kind == SubjectKind.MEASURED

    @property
    def is_wrong(self) -> bool:
        """Out of limits or defective."""
        return self.verdict.is_out

    @property
    def at_once(self) -> bool:
        """Calls for immediate action, whatever the routing table says."""
        return self.verdict is Verdict.IMMEDIATE

    @property
    def evidence(self) -> dict[str, Any]:
        """The entry as a defect and its events link to it."""
        measured = self.entry is not None and self.is_measured
        return {
            "reading": self.entry if measured else None,
            "examination": None if measured else self.entry,
        }
