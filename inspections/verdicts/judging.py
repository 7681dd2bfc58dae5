"""The verdict on a value, from limits that are given: pure, no database.

Each level holds on its own, and a value exactly at a limit is within it.
"""

from dataclasses import dataclass

from inspections.words import Level, Scope, Verdict


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
    def levels(self) -> tuple[Bound, ...]:
        """Those there are, the mildest first."""
        return tuple(b for b in (self.alert, self.intervention, self.immediate) if b is not None)


@dataclass(frozen=True)
class Judgement:
    """A verdict, the limit that decided it, and whether that limit is confirmed."""

    verdict: Verdict
    bound: Bound | None = None

    @property
    def confirmed(self) -> bool:
        return self.bound is not None and self.bound.confirmed


def judge(value: float | None, limits: QuantityLimits) -> Judgement:
    """A value against the limits of its quantity; None is a reading that was not taken."""
    if value is None:
        return Judgement(Verdict.NOT_TAKEN)
    for bound in reversed(limits.levels):
        if not bound.holds(value):
            return Judgement(Verdict(bound.level.value), bound)
    if limits.mildest is None:
        return Judgement(Verdict.NO_LIMIT)
    return Judgement(Verdict.WITHIN, limits.mildest)
