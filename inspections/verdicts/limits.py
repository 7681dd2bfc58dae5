"""Which limits judge the readings of a set of points on a day.

The most specific limit in force on the day holds, each level on its own.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from assets.models import Points
from inspections.models import Limit
from inspections.verdicts.finding import Bound, Judgement, QuantityLimits, judge
from inspections.words import Level, QuantityCode, Scope

_MOST_SPECIFIC_FIRST = tuple(reversed(Scope))


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


def limits_of_each(all_points: list[Points], at: date) -> dict[int, Limits]:
    """What holds on a day at each of these points, by their id; one query."""
    book = LimitBook.of(Limit.objects.all(), at)
    return {points.pk: book.for_points(points) for points in all_points}


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
