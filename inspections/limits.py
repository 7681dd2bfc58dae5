"""Which limit judges a reading, and the verdict.

The deciding is pure: ``judge`` takes a value and the limits of its quantity, level by level. The
most specific limit in force on the day of the reading holds, each level on its own. A value
exactly at a limit is within it.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from assets.models import Points
from inspections.models import Limit
from inspections.words import Level, QuantityCode, Scope, Verdict

_MOST_SPECIFIC_FIRST = tuple(reversed(Scope))


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


@dataclass(frozen=True)
class Limits:
    """What holds at one set of points on one day."""

    by_quantity: dict[QuantityCode, QuantityLimits]

    def of(self, quantity: str) -> QuantityLimits:
        return self.by_quantity.get(QuantityCode(quantity), QuantityLimits())

    def judge(self, quantity: str, value: float | None) -> Judgement:
        return judge(value, self.of(quantity))


def limits_for(points: Points, at: date) -> Limits:
    """What holds at these points on a day; one query."""
    return LimitBook.of(Limit.objects.for_points(points), at).for_points(points)


class LimitBook:
    """The limits in force on one day, to be asked for many sets of points without a query."""

    def __init__(self, bounds: Iterable[tuple[QuantityCode, Bound]]):
        self._bounds: dict[tuple, Bound] = {
            (quantity, bound.level, bound.scope, bound.scope_key): bound
            for quantity, bound in bounds
            if not bound.is_empty
        }
        self._quantities = {key[0] for key in self._bounds}

    @classmethod
    def of(cls, limits, at: date) -> "LimitBook":
        """The book of a queryset of limits on a day; one query."""
        return cls((QuantityCode(row.quantity), bound_of(row)) for row in limits.in_force(at))

    def with_limit(self, limit: Limit) -> "LimitBook":
        """The book as it would be with one more limit, which takes the place of its like."""
        bound = bound_of(limit)
        place = (QuantityCode(limit.quantity), bound.level, bound.scope, bound.scope_key)
        bounds = {**self._bounds, place: bound}
        return LimitBook((key[0], value) for key, value in bounds.items())

    def for_points(self, points: Points) -> Limits:
        keys = {
            Scope.RAILWAY: "",
            Scope.RAIL_SECTION: str(points.rail_section_id or ""),
            Scope.LAYOUT: points.layout,
            Scope.DESIGN: str(points.design_id or ""),
            Scope.POINTS: str(points.pk),
        }
        found: dict[QuantityCode, dict[str, Bound]] = defaultdict(dict)
        for quantity in self._quantities:
            for level in Level:
                places = ((quantity, level, scope, keys[scope]) for scope in _MOST_SPECIFIC_FIRST)
                bound = next((self._bounds[p] for p in places if p in self._bounds), None)
                if bound is not None:
                    found[quantity][level.value] = bound
        return Limits({quantity: QuantityLimits(**levels) for quantity, levels in found.items()})


def bound_of(limit: Limit) -> Bound:
    """A stored limit as the deciding sees it."""
    return Bound(
        level=Level(limit.level),
        minimum=limit.minimum,
        nominal=limit.nominal,
        maximum=limit.maximum,
        confirmed=limit.confirmed,
        scope=Scope(limit.scope),
        scope_key=limit.scope_key,
        source=limit.source,
        limit_id=limit.pk,
    )
