"""The picture of free wheel clearance along the switch, as plain numbers for a template.

Coordinates are those of a drawing 360 wide; x runs from the toe to the heel.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assets.engineering.report import LieReport

WIDTH, HEIGHT = 360, 250
LEFT, RIGHT, TOP, BOTTOM = 42, 10, 16, 42
STEP_MM = (2, 5, 10, 20, 25, 50, 100)
CLOSE_MM, CLOSE_HIGH_MM, CLOSE_HEIGHT = 700.0, 8.0, 180  # of the close-up: either way, and high


@dataclass(frozen=True)
class Mark:
    """A point with words."""

    x: float
    y: float
    words: str
    anchor: str = "middle"


@dataclass(frozen=True)
class Tick:
    at: float
    words: str


@dataclass(frozen=True)
class Curve:
    """One lie's curve; ``before`` is the curve as read, where a change is being tried, and ``band``
    the outline of where the clearance is likely to be.
    """

    title: str
    description: str
    line: str
    before: str
    band: str
    limit_y: float | None
    limit_words: str
    least: Mark
    readings: tuple[Mark, ...]
    rods: tuple[Tick, ...]
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM


def curve(
    report: "LieReport",
    limit_mm: float | None,
    rods: list[tuple[int, float]],
    before: "LieReport | None" = None,
) -> Curve | None:
    """The drawing of a lie's profile, or None where there is none to draw.

    ``rods`` are (order, distance in mm).
    """
    if not report.x_mm:
        return None
    heel = max(report.x_mm)
    shown = [*report.fwc_mm, *(before.fwc_mm if before else ()), limit_mm or 0]
    # The heel end rises far beyond what matters; the picture is of the low part.
    most = min(max(shown), max(140.0, 2 * (limit_mm or 0)))
    plane = _Plane(0.0, heel, 0.0, most, HEIGHT)
    least = report.least_fwc
    description = (
        f"From the toe to the heel at {heel:.0f} mm the clearance is least at "
        f"{least.at_mm:.0f} mm from the toe, {least.mm:.1f} mm"
        + ("." if limit_mm is None else f"; the limit is {limit_mm:g} mm.")
    )
    title = f"Free wheel clearance, {report.lie.label}"
    return _drawn(report, limit_mm, rods, before, plane, title, description)


def close_up(
    report: "LieReport", limit_mm: float | None, rods: list[tuple[int, float]]
) -> Curve | None:
    """The same about its least, so large that what is not sure of it can be seen; None where
    nothing says how sure it is."""
    sure, least = report.how_sure, report.least_fwc
    if sure is None or least is None or sure.doubted:
        return None
    from_mm = max(0.0, least.at_mm - CLOSE_MM)
    to_mm = min(max(report.x_mm), least.at_mm + CLOSE_MM)
    low, high = least.mm - sure.spread_mm, least.mm + sure.spread_mm
    if limit_mm is not None and abs(limit_mm - least.mm) < CLOSE_HIGH_MM:
        low, high = min(low, limit_mm), max(high, limit_mm)
    plane = _Plane(from_mm, to_mm, low - 4, max(high, low + CLOSE_HIGH_MM) + 4, CLOSE_HEIGHT)
    description = (
        f"The clearance is {least.mm:.1f} mm, {least.at_mm:.0f} mm from the toe, known to "
        f"{sure.spread_mm:.1f} mm either way, each way 95 % sure."
    )
    title = f"Free wheel clearance where it is least, {report.lie.label}"
    return _drawn(report, limit_mm, rods, None, plane, title, description)


@dataclass(frozen=True)
class _Plane:
    """What of the switch is shown (mm), and where on the picture."""

    from_mm: float
    to_mm: float
    low_mm: float
    high_mm: float
    height: int

    def x(self, mm: float) -> float:
        share = (mm - self.from_mm) / (self.to_mm - self.from_mm)
        return round(LEFT + share * (WIDTH - LEFT - RIGHT), 1)

    def y(self, mm: float) -> float:
        inside = min(max(mm, self.low_mm), self.high_mm)
        share = (inside - self.low_mm) / (self.high_mm - self.low_mm)
        return round(self.height - BOTTOM - share * (self.height - TOP - BOTTOM), 1)

    def shows(self, x: float, mm: float) -> bool:
        return self.from_mm <= x <= self.to_mm and self.low_mm <= mm <= self.high_mm

    def line(self, one: "LieReport", along: Iterable[float]) -> list[str]:
        """Places of these figures, as far along as the profile itself is shown."""
        return [
            f"{self.x(x)},{self.y(mm)}"
            for x, likely, mm in zip(one.x_mm, one.fwc_mm, along, strict=True)
            if self.shows(x, likely)
        ]

    def x_ticks(self) -> tuple[Tick, ...]:
        length = self.to_mm - self.from_mm
        every = next(step for step in (100, 200, 500, 1000) if length / step <= 12 or step == 1000)
        first = ceil(self.from_mm / every)
        return tuple(
            Tick(self.x(n * every), f"{n * every / 1000:g}")
            for n in range(first, int(self.to_mm / every) + 1)
        )

    def y_ticks(self) -> tuple[Tick, ...]:
        """Round figures, about five of them."""
        height = self.high_mm - self.low_mm
        step = next((s for s in STEP_MM if height / s <= 6), STEP_MM[-1])
        first = ceil(self.low_mm / step)
        return tuple(
            Tick(self.y(n * step), f"{n * step}")
            for n in range(first, int(self.high_mm / step) + 1)
        )


def _drawn(
    report: "LieReport",
    limit_mm: float | None,
    rods: list[tuple[int, float]],
    before: "LieReport | None",
    plane: _Plane,
    title: str,
    description: str,
) -> Curve:
    least = report.least_fwc
    x, y = plane.x(least.at_mm), plane.y(least.mm)
    words = f"least {least.mm:.1f} at {least.at_mm:.0f}"
    anchor = "start" if x < WIDTH / 3 else "end" if x > 2 * WIDTH / 3 else "middle"
    limit_shown = limit_mm is not None and plane.low_mm <= limit_mm <= plane.high_mm
    band: list[str] = []
    if report.how_sure is not None:
        band = plane.line(report, report.how_sure.low_mm)
        band += reversed(plane.line(report, report.how_sure.high_mm))
    return Curve(
        title=title,
        description=description,
        line=" ".join(plane.line(report, report.fwc_mm)),
        before=" ".join(plane.line(before, before.fwc_mm)) if before else "",
        band=" ".join(band),
        limit_y=plane.y(limit_mm) if limit_shown else None,
        limit_words=f"limit {limit_mm:g}" if limit_shown else "",
        least=Mark(x, y, words, anchor),
        readings=tuple(
            Mark(plane.x(at), plane.y(mm), f"{mm:g}")
            for at, mm in report.read_mm
            if plane.shows(at, mm) or plane.low_mm == 0
        ),
        rods=tuple(
            Tick(plane.x(at), "L" if order == 0 else str(order))
            for order, at in rods
            if plane.from_mm <= at <= plane.to_mm
        ),
        x_ticks=plane.x_ticks(),
        y_ticks=plane.y_ticks(),
        height=plane.height,
        bottom=plane.height - BOTTOM,
    )
