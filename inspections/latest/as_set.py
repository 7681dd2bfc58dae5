"""How a set of points was last read to stand: the gauge at its places, the opening on each lie.

A packing or regauging since then cannot be known here, so each figure goes with its day.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from django.utils.timezone import localdate

from assets.days import day
from assets.engineering.assumed import Assumed
from assets.engineering.words import Lie
from assets.models import Points, Position
from inspections.models import Reading
from inspections.words import QuantityCode

ASKED = (QuantityCode.TRACK_GAUGE.value, QuantityCode.SWITCH_OPENING.value)


@dataclass(frozen=True)
class Figure:
    """A figure (mm) with the words that say where it is from."""

    mm: float
    told: str


@dataclass(frozen=True)
class AsSet:
    """The last readings of gauge and opening of one set of points, whatever their limits say."""

    points: Points
    here_mm: float  # along the rail: no further is "here"
    gauges: tuple[Reading, ...] = ()
    openings: Mapping[str, Reading] = field(default_factory=dict)  # by lie

    def gauge_at(self, position: Position) -> Figure | None:
        """The gauge last read at the place, else nearest to it, else recorded."""
        far = [
            (abs(distance - position.distance_mm), one)
            for one in self.gauges
            if (distance := _distance(one)) is not None and position.distance_mm is not None
        ]
        here = [one for away, one in far if away <= self.here_mm]
        if here:
            return _gauge(max(here, key=_moment), "here")
        if far:
            away, nearest = min(far, key=lambda pair: (pair[0], -pair[1].pk))
            return _gauge(nearest, f"{away:.0f} mm from here")
        if self.points.gauge_mm is None:
            return None
        return Figure(self.points.gauge_mm, f"gauge {self.points.gauge_mm:g} mm as recorded")

    def both_openings(self) -> tuple[Figure, Figure] | None:
        """The opening read on each lie; None unless both were, since a part was last fitted."""
        fitted = self._last_fitted_on()
        read = [self.openings.get(lie.value) for lie in (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)]
        if fitted and any(one and localdate(one.inspection.at) < fitted for one in read):
            return None
        left, right = ((one and _opening(one)) for one in read)
        return (left, right) if left and right else None

    def _last_fitted_on(self) -> date | None:
        """The day on which the last of the parts there now was fitted; None: all were found."""
        fittings = (f for place in self.points.positions.all() for f in place.current_fittings)
        return max((f.fitted_on for f in fittings if not f.found_fitted), default=None)


def as_set_of_each(all_points: Iterable[Points], assumed: Assumed) -> dict[int, AsSet]:
    """How each set of points was last read, by its id, points ``with_places()``; one query."""
    all_points = list(all_points)
    gauges: dict[int, list[Reading]] = defaultdict(list)
    openings: dict[int, dict[str, Reading]] = defaultdict(dict)
    for reading in Reading.objects.filter(inspection__points__in=all_points).newest_along(ASKED):
        if reading.quantity == QuantityCode.TRACK_GAUGE:
            gauges[reading.inspection.points_id].append(reading)
        else:
            openings[reading.inspection.points_id][reading.lie] = reading
    return {
        points.pk: AsSet(
            points, assumed.gauge_here_mm, tuple(gauges[points.pk]), openings[points.pk]
        )
        for points in all_points
    }


def _distance(reading: Reading) -> float | None:
    """From the toe, mm; a reading with neither a place nor a distance was taken at the toe."""
    if reading.position is not None:
        return reading.position.distance_mm
    return 0.0 if reading.at_mm is None else reading.at_mm


def _moment(reading: Reading) -> tuple:
    return reading.inspection.at, reading.pk


def _gauge(reading: Reading, where: str) -> Figure:
    on = day(reading.inspection.at)
    return Figure(reading.value, f"gauge {reading.value:g} mm read {where} on {on}")


def _opening(reading: Reading) -> Figure:
    closed = {Lie.LEFT_CLOSED: "left closed", Lie.RIGHT_CLOSED: "right closed"}[Lie(reading.lie)]
    return Figure(
        reading.value, f"{reading.value:g} mm with {closed} on {day(reading.inspection.at)}"
    )
