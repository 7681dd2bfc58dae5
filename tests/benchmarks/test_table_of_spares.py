"""How long the table of every spare against every place takes, and how it grows.

Run with ``pytest tests/benchmarks/test_table_of_spares.py -s``. The store is a worst case: every
rod has a length of its own and every place its own separation, travel and machine figures.
"""

import random
import time
import tracemalloc
from dataclasses import replace

import pytest

from assets.engineering.facts import Interval, LostMotionFacts, PositionFacts
from assets.engineering.suitability import assess, assess_table
from assets.engineering.words import (
    Adjustability,
    Condition,
    Depth,
    DriveLug,
    Ends,
    Form,
    Generation,
    InsulationSide,
    MachineKind,
    Notches,
    Role,
    Side,
    Towards,
)
from tests.assets.engineering.rods import (
    BULLHEAD_RAIL,
    BULLHEAD_SHOE,
    FLAT_BOTTOM_RAIL,
    FLAT_BOTTOM_SHOE,
    make_lock,
    make_machine,
    make_place,
    make_points,
    make_rod,
)
from tests.benchmarks.machine import slowness

PLACES = 2_000
SPARES = (10, 100, 1_000)
MOST_SECONDS = 2.0
MOST_BYTES = 200 * 2**20

pytestmark = pytest.mark.benchmark


def any_rod(chance: random.Random, number: int):
    """A rod of the store: nearly one in six a lock stretcher, some facts of some unknown."""
    least = chance.uniform(1180.0, 1360.0)
    adjustable = chance.random() < 0.6
    shoe = chance.choice([BULLHEAD_SHOE, FLAT_BOTTOM_SHOE])
    make = make_lock if chance.random() < 0.16 else make_rod
    rod = make(
        f"ST-{number:03}",
        generation=chance.choice(list(Generation)),
        adjustability=Adjustability.ADJUSTABLE if adjustable else Adjustability.FIXED,
        form=chance.choice([Form.STRAIGHT, Form.STRAIGHT, Form.GOOSENECK, Form.UNKNOWN]),
        gooseneck_towards=chance.choice(list(Towards)),
        insulation_side=chance.choice(list(InsulationSide)),
        left_shoe=shoe,
        right_shoe=shoe,
        kicker=chance.choice([True, False, None]),
        kicker_end=chance.choice(list(Ends)),
        depth=chance.choice(list(Depth)),
        drive_lug=chance.choice(list(DriveLug)),
        lug_end=chance.choice(list(Ends)),
        torque_nm=chance.choice([None, 200.0, 220.0, 250.0]),
        length_min_mm=least,
        length_max_mm=least + (40.0 if adjustable else 0.0),
        shim_left_mm=chance.choice([None, 0.0, 2.0, 4.0]),
        shim_right_mm=chance.choice([None, 0.0, 2.0, 4.0]),
        can_be_turned=chance.choice([True, False, None]),
        condition=chance.choice(list(Condition)),
    )
    if rod.notches is Notches.CUT:
        return replace(rod, notch_distance_mm=chance.uniform(92.0, 120.0))
    return rod


def any_points(chance: random.Random) -> list[PositionFacts]:
    """One set of points with a lock stretcher and three others: its four positions."""
    machine = make_machine(
        kind=chance.choice(list(MachineKind)),
        stroke_mm=chance.uniform(150.0, 220.0),
        drive_insulated=chance.choice([True, True, True, False, None]),
        lock_rod_insulated=chance.choice([True, True, True, False, None]),
    )
    usual = chance.choice([InsulationSide.LEFT, InsulationSide.RIGHT])
    places = []
    for order in range(4):
        least = chance.uniform(1200.0, 1350.0)
        side = usual if chance.random() < 0.8 else chance.choice(list(InsulationSide))
        fitted = any_rod(chance, order) if chance.random() < 0.8 else None
        places.append(
            make_place(
                order,
                role=(Role.LOCK, Role.DRIVE, Role.INTERMEDIATE, Role.BACK)[order],
                driven=order in (1, 3),
                machine=machine if order == 1 else None,
                lost_motion_fitting=chance.choice([None, LostMotionFacts("", 10.0, 20.0)]),
                space_ahead_mm=chance.choice([None, chance.uniform(20.0, 150.0)]),
                space_behind_mm=chance.choice([None, chance.uniform(20.0, 150.0)]),
                kicker_required=chance.choice([True, False, None]),
                separation=Interval(least, least + 10.0),
                travel_mm=chance.uniform(60.0, 120.0),
                measured_travel=Interval(chance.uniform(96.0, 108.0), 110.0),
                stretcher=fitted and replace(fitted, insulation_side=side),
            )
        )
    points = make_points(
        *places,
        rail=chance.choice([BULLHEAD_RAIL, FLAT_BOTTOM_RAIL, None]),
        track_circuited=chance.choice([True, True, False, None]),
        machine_side=chance.choice(list(Side)),
        depth=chance.choice(list(Depth)),
        one_depth=False,
        least_stretchers=chance.choice([None, 2, 3]),
    )
    return [PositionFacts(points, order) for order in range(4)]


@pytest.fixture(scope="module")
def railway() -> tuple[list, list[PositionFacts]]:
    chance = random.Random(1884)
    spares = [any_rod(chance, number) for number in range(max(SPARES))]
    places = [place for _ in range(PLACES // 4) for place in any_points(chance)]
    assert len(set(spares)) == max(SPARES)
    assert len(set(places)) == PLACES
    return spares, places


def test_the_whole_railway_in_two_seconds(railway):
    spares, places = railway
    assess_table(spares[:2], places[:2])  # the lazy imports are not what is measured
    print(f"\n{'spares':>7}{'places':>8}{'pairs':>11}{'seconds':>9}{'us a pair':>11}")
    taken = []
    for count in SPARES:
        start = time.process_time()
        assess_table(spares[:count], places)
        taken.append(time.process_time() - start)
        pairs = count * PLACES
        print(f"{count:>7}{PLACES:>8}{pairs:>11}{taken[-1]:>9.3f}{taken[-1] / pairs * 1e6:>11.2f}")
    print(f"growth from {SPARES[0]} to {SPARES[-1]} spares: {taken[-1] / taken[0]:.1f} times")
    start = time.process_time()
    for place in places[:10]:
        for rod in spares[:50]:
            assess(rod, place)
    print(f"one pair with its answers: {(time.process_time() - start) / 500 * 1e6:.0f} us")
    assert taken[-1] < MOST_SECONDS * slowness()


def test_the_whole_railway_in_two_hundred_megabytes(railway):
    spares, places = railway
    tracemalloc.start()
    table = assess_table(spares, places)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(f"\npeak {peak / 2**20:.1f} MB for {table.severity.size} pairs")
    assert peak < MOST_BYTES
