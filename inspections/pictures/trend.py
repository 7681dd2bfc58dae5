"""The picture of a trend: readings over time, the limits, the cuts, and where the line leads.

Everything is worked out here in the picture's own units, so that the template only writes it down.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor, log10

from assets.days import day
from inspections.catalogue.quantities import Quantity
from inspections.upcoming.trend import Trend
from inspections.verdicts.finding import QuantityLimits, judge
from inspections.words import Verdict

WIDTH, HEIGHT = 480, 330
LEFT, RIGHT, TOP, BOTTOM = 46, 12, 14, 44
FORESEEN_DAYS = 730  # of the line ahead that is drawn at most
MONTHS_APART = (1, 2, 3, 6, 12, 24, 36, 60, 120)


@dataclass(frozen=True)
class Line:
    """A straight line from one place to another, with words at its end."""

    x1: float
    y1: float
    x2: float
    y2: float
    words: str = ""


@dataclass(frozen=True)
class Dot:
    """One reading."""

    x: float
    y: float
    words: str
    verdict: Verdict
    followed: bool  # in the piece that the line is drawn through


@dataclass(frozen=True)
class Picture:
    """What the template draws; lengths in the picture's own units."""

    dots: list[Dot]
    across: list[Line]  # the value axis, with its figures
    upright: list[Line]  # the time axis, with its days
    limits: list[Line]
    cuts: list[Line]
    lines: list[Line]  # the slope first, then the ends of its interval
    band: tuple[float, float, float, float] | None  # x, y, width, height of what is within
    reach: tuple[float, float, float] | None  # from x, to x, at y
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM
    plot_width: int = WIDTH - LEFT - RIGHT
    plot_height: int = HEIGHT - TOP - BOTTOM


def picture_of(trend: Trend, quantity: Quantity, limits: QuantityLimits) -> Picture | None:
    """The picture of a trend; None where nothing was read."""
    taken = [t for piece in trend.pieces for t in piece]
    if not taken:
        return None
    first, last = taken[0].on, _last_day(trend, taken[-1].on)
    values = [t.value for t in taken] + [v for b in limits.levels for v in _ends(b)]
    plane = _Plane(first, last, min(values), max(values))
    ends = [
        Line(LEFT, plane.y(value), WIDTH - RIGHT, plane.y(value), f"{bound.level.label} {value:g}")
        for bound in limits.levels
        for value in _ends(bound)
    ]
    return Picture(
        dots=[
            Dot(
                plane.x(t.on),
                plane.y(t.value),
                f"{day(t.on)}: {quantity.written(t.value)}",
                _verdict(t.value, limits),
                piece is trend.last_piece,
            )
            for piece in trend.pieces
            for t in piece
        ],
        across=plane.across(),
        upright=plane.upright(),
        limits=ends,
        cuts=[
            Line(plane.x(piece[0].on), TOP, plane.x(piece[0].on), HEIGHT - BOTTOM)
            for piece in trend.pieces[1:]
        ],
        lines=_lines(trend, plane, last),
        band=_band(limits, plane),
        reach=_reach(trend, plane, last),
    )


def _last_day(trend: Trend, last: date) -> date:
    """Far enough to see the limit reached, but not for ever."""
    reach = trend.reach
    ahead = (reach.latest or reach.likely or reach.soonest) if reach else last
    margin = timedelta(days=30)
    return min(max(ahead, last) + margin, last + timedelta(days=FORESEEN_DAYS))


def _ends(bound) -> list[float]:
    return [end for end in (bound.minimum, bound.maximum) if end is not None]


def _verdict(value: float, limits: QuantityLimits) -> Verdict:
    return judge(value, limits).verdict


def _lines(trend: Trend, plane: "_Plane", last: date) -> list[Line]:
    if not trend.is_moving:
        return []
    start = trend.last_piece[0].on
    slopes = (trend.slope.slope, trend.slope.low, trend.slope.high)
    return [
        Line(
            plane.x(start),
            plane.y(trend.value_on(start, slope)),
            plane.x(last),
            plane.y(trend.value_on(last, slope)),
        )
        for slope in slopes
    ]


def _band(limits: QuantityLimits, plane: "_Plane") -> tuple[float, float, float, float] | None:
    bound = limits.mildest
    if bound is None:
        return None
    top = plane.y(bound.maximum) if bound.maximum is not None else TOP
    foot = plane.y(bound.minimum) if bound.minimum is not None else HEIGHT - BOTTOM
    return LEFT, top, WIDTH - LEFT - RIGHT, foot - top


def _reach(trend: Trend, plane: "_Plane", last: date) -> tuple[float, float, float] | None:
    reach = trend.reach
    if reach is None or reach.soonest > last:
        return None
    latest = min(reach.latest or last, last)
    return plane.x(reach.soonest), plane.x(latest), plane.y(reach.limit)


class _Plane:
    """Days and values to places on the picture."""

    def __init__(self, first: date, last: date, low: float, high: float):
        self.first, self.days = first, max((last - first).days, 1)
        self.last = last
        # Values that are all alike still need some height, in proportion to what they are.
        spread = max(high - low, max(abs(low), abs(high)) / 1000) or 1.0
        step = _step(spread * 1.15 / 5)
        self.step = step
        self.low = floor((low - 0.05 * spread) / step) * step
        self.high = max(ceil((high + 0.05 * spread) / step) * step, self.low + step)

    def x(self, day: date) -> float:
        share = (day - self.first).days / self.days
        return round(LEFT + share * (WIDTH - LEFT - RIGHT), 2)

    def y(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return round(HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM), 2)

    def across(self) -> list[Line]:
        count = round((self.high - self.low) / self.step)
        values = [self.low + n * self.step for n in range(count + 1)]
        return [Line(LEFT, self.y(v), WIDTH - RIGHT, self.y(v), f"{v:.6g}") for v in values]

    def upright(self) -> list[Line]:
        months = next((m for m in MONTHS_APART if self.days / (m * 30.4) <= 5), MONTHS_APART[-1])
        return [
            Line(self.x(day), TOP, self.x(day), HEIGHT - BOTTOM, f"{day:%b %Y}")
            for day in _month_starts(self.first, self.last, months)
        ]


def _month_starts(first: date, last: date, apart: int) -> Iterable[date]:
    """First days of months within a span, some months apart, counted from January."""
    count = first.year * 12 + first.month - 1
    count += -count % apart
    while (day := date(count // 12, count % 12 + 1, 1)) <= last:
        if day >= first:
            yield day
        count += apart


def _step(rough: float) -> float:
    """The next of 1, 2, 5, 10 ... that is not below."""
    power = 10 ** floor(log10(rough))
    return next(power * n for n in (1, 2, 5, 10) if power * n >= rough * 0.999)
