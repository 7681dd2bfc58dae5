"""The arithmetic against the bare libraries underneath it, both timed in one run."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random
from time import process_time


@dataclass(frozen=True)
class Race:
    """The same work by the program and by the bare library, for one size of it."""

    work: str
    size: int
    ours: float  # seconds of the processor
    bare: float | None  # the same of the library alone; None where there is no such thing


def seconds(work: Callable[[], object], least: float = 0.1) -> float:
    """Processor seconds of one call, the best of three runs of at least so long each."""
    work()
    runs = []
    for _ in range(3):
        times, began = 0, process_time()
        while process_time() - began < least:
            work()
            times += 1
        runs.append((process_time() - began) / times)
    return min(runs)


def races() -> Iterator[Race]:
    yield from switch()
    yield from trend()
    yield from table_of_spares()


def switch() -> Iterator[Race]:
    """Shape, blade and least clearance on both lies; bare: a spline and its values on the grid."""
    import numpy as np
    from scipy.interpolate import CubicSpline

    from assets.engineering.blade import Blade
    from assets.engineering.open_switch import OpenSwitch
    from tests.assets.engineering.switches import PLACES, free_blade, make_shape

    displaced = free_blade().at(PLACES).tolist()
    grid = np.linspace(0.0, 6858.0, 1_000)

    def ours():
        shape = make_shape()
        for _ in range(2):
            OpenSwitch(shape, Blade.through(PLACES, displaced, 6858.0)).least_fwc  # noqa: B018

    def bare():
        for _ in range(2):
            CubicSpline([*PLACES, 6858.0], [*displaced, 0.0], bc_type=((2, 0.0), (1, 0.0)))(
                grid
            ).min()

    yield Race("profile of a switch, both lies", 1, seconds(ours), seconds(bare))


def trend() -> Iterator[Race]:
    """The slope of a series with its interval, and the day of the limit; bare: theilslopes."""
    from scipy.stats import theilslopes

    from inspections.upcoming.trend import Taken, trend_of
    from inspections.verdicts.finding import Bound, QuantityLimits
    from inspections.words import Level

    chance = Random(1884)
    limits = QuantityLimits(intervention=Bound(Level.INTERVENTION, minimum=50))
    for count in (15, 60):
        values = [62 - n / 10 + chance.gauss(0, 0.5) for n in range(count)]
        taken = [
            Taken(datetime(2024, 1, 1) + timedelta(days=45 * n), v) for n, v in enumerate(values)
        ]
        yield Race(
            "trend of readings",
            count,
            seconds(lambda taken=taken: trend_of(taken, limits)),
            seconds(lambda values=values: theilslopes(values, range(len(values)))),
        )


def table_of_spares() -> Iterator[Race]:
    """Every spare at every place; no library does that, so only its growth is told."""
    from assets.engineering.suitability import assess_table
    from tests.benchmarks.test_table_of_spares import any_points, any_rod

    chance = Random(1884)
    places = [place for _ in range(100) for place in any_points(chance)]
    rods = [any_rod(chance, number) for number in range(200)]
    for count in (20, 200):
        yield Race(
            "table of spares and places",
            count * len(places),
            seconds(lambda count=count: assess_table(rods[:count], places)),
            None,
        )
