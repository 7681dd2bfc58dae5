"""Where the readings of one quantity at one place are going, and when they reach a limit.

Pure: times and numbers in, a ``Trend`` out. Readings are cut where work was done on the points or
the rod was changed, for what came before says nothing of what comes after; only the last piece is
followed, and never with fewer than five readings: of four, one series in twelve goes one way by
chance alone. Where chance explains the order of the readings there is no trend.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from inspections.upcoming.slope import Slope, level, robust_slope
from inspections.verdicts.finding import Bound, QuantityLimits

FEWEST = 5
MOST = 60  # of the last readings of a piece: older ones say little of where it is going
HORIZON_DAYS = 5 * 365  # nothing is foretold further ahead than this


@dataclass(frozen=True)
class Taken:
    """One value, in the quantity's unit, with the rod (its id) that was there."""

    at: datetime  # local
    value: float
    rod: int | None = None
    reading: int | None = None  # the reading's id

    @property
    def on(self) -> date:
        return self.at.date()


@dataclass(frozen=True)
class Reach:
    """When a limit is reached: by the steeper end of the interval, the slope, the flatter end.

    None for a day beyond the horizon.
    """

    bound: Bound
    limit: float  # in the quantity's unit
    soonest: date
    likely: date | None
    latest: date | None

    def span(self, today: date) -> str:
        """ "Mar 2027 to May 2027", "now to May 2027"; what is behind ``today`` is "now"."""
        first = _month(self.soonest, today, "%b %Y")
        last = _month(self.latest, today, "%b %Y") if self.latest else "later"
        return first if first == last else f"{first} to {last}"

    def words(self, today: date) -> str:
        """ "between March 2027 and May 2027", "in March 2027 at the earliest", "about now" ..."""
        first = _month(self.soonest, today, "%B %Y")
        if self.latest is None:
            return f"{'now' if first == 'now' else f'in {first}'} at the earliest"
        last = _month(self.latest, today, "%B %Y")
        return f"about {first}" if first == last else f"between {first} and {last}"


def _month(day: date, today: date, form: str) -> str:
    return "now" if day <= today else f"{day:{form}}"


@dataclass(frozen=True)
class Passed:
    """The worst limit that the last value is already past, on the side it is moving to."""

    bound: Bound
    limit: float  # in the quantity's unit


@dataclass(frozen=True)
class Trend:
    """The pieces of a series, the slope of the last one and what it leads to."""

    pieces: tuple[tuple[Taken, ...], ...] = ()
    slope: Slope | None = None  # per day; None with too few readings or all at one moment
    reach: Reach | None = None
    passed: Passed | None = None

    @property
    def last_piece(self) -> tuple[Taken, ...]:
        return self.pieces[-1] if self.pieces else ()

    @property
    def is_moving(self) -> bool:
        """Whether the readings have a trend at all."""
        return self.slope is not None and self.slope.is_real

    def value_on(self, day: date, slope: float | None = None) -> float:
        """The value that the line gives on a day, in the quantity's unit; only with a slope."""
        days, values = _series(self.last_piece)
        chosen = self.slope.slope if slope is None else slope
        at = (day - self.last_piece[0].on).days
        return level(days, values, chosen) + chosen * at

    def words(self, written: Callable[[float], str]) -> str:
        """What can be said, in one sentence; ``written`` puts an amount with its unit."""
        count = len(self.last_piece)
        if count < FEWEST:
            return f"too few readings since the last change: {count} of the {FEWEST} needed"
        if not self.is_moving:
            return "no trend"
        way = "rising" if self.slope.slope > 0 else "falling"
        ends = (self.slope.low, self.slope.high)
        least, most = sorted(365 * max(end if way == "rising" else -end, 0) for end in ends)
        year = written(abs(365 * self.slope.slope))
        return f"{way} by {year} a year ({written(least)} to {written(most)})"


def trend_of(
    taken: Sequence[Taken], limits: QuantityLimits, work: Sequence[datetime] = ()
) -> Trend:
    """The trend of values in order of time.

    ``work`` is when visits were made after work or after fitting a part: what is read then is read
    after the work, what is read before it on the same day before.
    """
    pieces = cut(taken, work)
    last = pieces[-1] if pieces else ()
    if len(last) < FEWEST:
        return Trend(pieces)
    slope = robust_slope(*_series(last))
    trend = Trend(pieces, slope)
    if not trend.is_moving:
        return trend
    return Trend(pieces, slope, _reach(trend, limits), _passed(trend, limits))


def cut(taken: Sequence[Taken], work: Sequence[datetime]) -> tuple[tuple[Taken, ...], ...]:
    """Pieces between which work was done or the rod was changed; the last is not too long."""
    pieces: list[list[Taken]] = []
    for now in taken:
        before = pieces[-1][-1] if pieces else None
        if before is None or now.rod != before.rod or _worked(before.at, now.at, work):
            pieces.append([])
        pieces[-1].append(now)
    return tuple(tuple(piece[-MOST:]) for piece in pieces)


def _worked(before: datetime, now: datetime, work: Sequence[datetime]) -> bool:
    return any(before < when <= now for when in work)


def _series(piece: Sequence[Taken]) -> tuple[list[float], list[float]]:
    """Days since the day on which the piece began, and values."""
    midnight = datetime.combine(piece[0].on, time(), piece[0].at.tzinfo)
    return [(t.at - midnight) / timedelta(days=1) for t in piece], [t.value for t in piece]


def _passed(trend: Trend, limits: QuantityLimits) -> Passed | None:
    last = trend.last_piece[-1].value
    for bound in reversed(limits.levels):
        rising = trend.slope.slope > 0
        limit = bound.maximum if rising else bound.minimum
        if limit is not None and (last > limit if rising else last < limit):
            return Passed(bound, limit)
    return None


def _reach(trend: Trend, limits: QuantityLimits) -> Reach | None:
    """The next limit ahead that the last value has not broken yet, with its days."""
    last = trend.last_piece[-1]
    for bound in limits.levels:
        limit = bound.maximum if trend.slope.slope > 0 else bound.minimum
        if limit is None or not bound.holds(last.value):
            continue
        days = [
            _day(trend, limit, s) for s in (trend.slope.low, trend.slope.slope, trend.slope.high)
        ]
        soonest, latest = (days[2], days[0]) if trend.slope.slope > 0 else (days[0], days[2])
        return Reach(bound, limit, soonest, days[1], latest) if soonest else None
    return None


def _day(trend: Trend, limit: float, slope: float) -> date | None:
    """When a line with this slope is at the limit; never before the last reading, which was not.

    None where it never is, or only beyond the horizon.
    """
    if slope * trend.slope.slope <= 0:
        return None
    first, last = trend.last_piece[0].on, trend.last_piece[-1].on
    ahead = (limit - trend.value_on(first, slope)) / slope
    day = max(first + timedelta(days=max(0, min(ahead, 100 * 365))), last)
    return day if (day - last).days <= HORIZON_DAYS else None
