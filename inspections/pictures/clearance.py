"""The picture of free wheel clearance along the switch, as plain numbers for a template.

Coordinates are those of a drawing 360 wide; x runs from the toe to the heel.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assets.engineering.report import LieReport

WIDTH, HEIGHT = 360, 250
LEFT, RIGHT, TOP, BOTTOM = 42, 10, 16, 42
STEP_MM = (10, 20, 25, 50, 100)


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
    """One lie's curve; ``before`` is the curve as read, where a change is being tried."""

    title: str
    description: str
    line: str
    before: str
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

    def x_of(mm: float) -> float:
        return round(LEFT + mm / heel * (WIDTH - LEFT - RIGHT), 1)

    def y_of(mm: float) -> float:
        inside = min(max(mm, 0.0), most)
        return round(HEIGHT - BOTTOM - inside / most * (HEIGHT - TOP - BOTTOM), 1)

    def line(one: "LieReport") -> str:
        pairs = zip(one.x_mm, one.fwc_mm, strict=True)
        return " ".join(f"{x_of(x)},{y_of(mm)}" for x, mm in pairs if mm <= most)

    least = report.least_fwc
    x, y = x_of(least.at_mm), y_of(least.mm)
    words = f"least {least.mm:.1f} at {least.at_mm:.0f}"
    anchor = "start" if x < WIDTH / 3 else "end" if x > 2 * WIDTH / 3 else "middle"
    return Curve(
        title=f"Free wheel clearance, {report.lie.label}",
        description=(
            f"From the toe to the heel at {heel:.0f} mm the clearance is least at "
            f"{least.at_mm:.0f} mm from the toe, {least.mm:.1f} mm"
            + ("." if limit_mm is None else f"; the limit is {limit_mm:g} mm.")
        ),
        line=line(report),
        before=line(before) if before and before.x_mm else "",
        limit_y=None if limit_mm is None else y_of(limit_mm),
        limit_words="" if limit_mm is None else f"limit {limit_mm:g}",
        least=Mark(x, y, words, anchor),
        readings=tuple(Mark(x_of(at), y_of(mm), f"{mm:g}") for at, mm in report.read_mm),
        rods=tuple(Tick(x_of(at), "L" if order == 0 else str(order)) for order, at in rods),
        x_ticks=tuple(Tick(x_of(1000 * m), f"{m}") for m in range(int(heel / 1000) + 1)),
        y_ticks=tuple(Tick(y_of(mm), f"{mm}") for mm in _steps(most)),
    )


def _steps(most: float) -> list[int]:
    """Round figures from 0 to ``most``, about five of them."""
    step = next((s for s in STEP_MM if most / s <= 6), STEP_MM[-1])
    return list(range(0, int(most) + 1, step))
