"""The picture of what one stretcher held from visit to visit, as plain numbers for a template."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil, floor

from assets.days import day
from assets.engineering.two_rails.certainty import GUARD
from assets.engineering.two_rails.held_lengths import HeldThen, Step
from inspections.upcoming.held import Held

WIDTH, HEIGHT = 360, 170
LEFT, RIGHT, TOP, BOTTOM = 46, 12, 20, 24
LEAST_SPREAD_MM = 6.0  # so that what reading alone does looks as small as it is
STEPS_MM = (1, 2, 5, 10, 20, 50, 100)
FEWEST_VISITS = 2


@dataclass(frozen=True)
class Dot:
    """What was held at one visit, and how sure."""

    x: float
    y: float
    low_y: float
    high_y: float
    words: str


@dataclass(frozen=True)
class Tick:
    y: float
    words: str


@dataclass(frozen=True)
class Moved:
    """A step that no work explains, between the visits before and after it."""

    x: float
    width: float
    middle: float
    words: str
    anchor: str


@dataclass(frozen=True)
class HeldPicture:
    """One stretcher; lengths in the picture's own units."""

    order: int
    name: str
    title: str
    description: str
    dots: tuple[Dot, ...]
    work: tuple[float, ...]
    moved: tuple[Moved, ...]
    ticks: tuple[Tick, ...]
    first: str  # day
    last: str  # day
    width: int = WIDTH
    height: int = HEIGHT
    left: int = LEFT
    right: int = WIDTH - RIGHT
    top: int = TOP
    bottom: int = HEIGHT - BOTTOM
    plot_height: int = HEIGHT - TOP - BOTTOM


def held_picture(name: str, order: int, held: Held) -> HeldPicture | None:
    """What the stretcher ``order`` held, or None where fewer than two visits tell it."""
    visits = held.history.get(order, [])
    if len(visits) < FEWEST_VISITS:
        return None
    steps = [step for step in held.steps if step.order == order]
    first, last = visits[0].at, visits[-1].at
    work = [at for at in held.work if first < at <= last]
    plane = _Plane(visits)
    return HeldPicture(
        order=order,
        name=name,
        title=f"What the {name} held, over the backs",
        description=_words(visits, work, steps),
        dots=tuple(plane.dot(visit) for visit in visits),
        work=tuple(plane.x(at) for at in work),
        moved=tuple(plane.moved(step) for step in steps),
        ticks=plane.ticks(),
        first=day(first),
        last=day(last),
    )


def _words(visits: Sequence[HeldThen], work: Sequence[datetime], steps: Sequence[Step]) -> str:
    first, last = visits[0], visits[-1]
    then, now = (f"{one.held.mm:.1f} mm on {day(one.at)}" for one in (first, last))
    told = [f"{len(visits)} visits: {then}, {now}."]
    if work:
        told.append(f"Work recorded: {', '.join(dict.fromkeys(day(at) for at in work))}.")
    told += [
        f"{abs(step.change.mm):.1f} mm {'longer' if step.change.mm > 0 else 'shorter'} between "
        f"{day(step.after)} and {day(step.by)}, with no work recorded."
        for step in steps
    ]
    return " ".join(told)


class _Plane:
    """Times and lengths to places on the picture."""

    def __init__(self, visits: Sequence[HeldThen]) -> None:
        self.first = visits[0].at
        self.seconds = max((visits[-1].at - self.first).total_seconds(), 1.0)
        low = min(one.held.mm - GUARD * one.held.sigma_mm for one in visits)
        high = max(one.held.mm + GUARD * one.held.sigma_mm for one in visits)
        wider = max(0.0, LEAST_SPREAD_MM - (high - low)) / 2
        low, high = low - wider, high + wider
        self.step = next((s for s in STEPS_MM if (high - low) / s <= 5), STEPS_MM[-1])
        self.low = floor(low / self.step) * self.step
        self.high = ceil(high / self.step) * self.step

    def x(self, at: datetime) -> float:
        share = (at - self.first).total_seconds() / self.seconds
        return round(LEFT + 8 + share * (WIDTH - LEFT - RIGHT - 16), 1)

    def y(self, mm: float) -> float:
        share = (mm - self.low) / (self.high - self.low)
        return round(HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM), 1)

    def dot(self, visit: HeldThen) -> Dot:
        mm, spread = visit.held.mm, GUARD * visit.held.sigma_mm
        words = f"{day(visit.at)}: {mm:.1f} mm, give or take {spread:.1f} mm"
        return Dot(self.x(visit.at), self.y(mm), self.y(mm - spread), self.y(mm + spread), words)

    def moved(self, step: Step) -> Moved:
        x, until = self.x(step.after), self.x(step.by)
        middle = round((x + until) / 2, 1)
        anchor = "start" if middle < WIDTH / 3 else "end" if middle > 2 * WIDTH / 3 else "middle"
        words = f"{step.change.mm:+.1f} mm, no work".replace("-", "\N{MINUS SIGN}")
        return Moved(x, round(until - x, 1), middle, words, anchor)

    def ticks(self) -> tuple[Tick, ...]:
        count = round((self.high - self.low) / self.step)
        lengths = [self.low + n * self.step for n in range(count + 1)]
        return tuple(Tick(self.y(mm), f"{mm:g}") for mm in lengths)
