"""The table of spares and places read from the register: 2,000 positions and 500 spares.

Run with ``pytest tests/benchmarks/test_table_from_the_register.py -s``.
"""

import random
import time
import tracemalloc
from datetime import date
from io import BytesIO

import pytest

from assets.engineering import words as w
from assets.models import Fitting, Points, Position, Stretcher
from config.suiting import spares as spares_table
from config.suiting import spares_sheet
from config.suiting.best_use import best_use_of_store
from config.suiting.spares import Asked, places_asked, spares_asked, table_of, window
from tests.benchmarks.machine import slowness
from tests.builders import make_design, make_location, make_rail

SETS = 500
PLACES = 4
SPARES = (10, 100, 500)
MOST_SECONDS = 2.0  # of one core, for the outcomes
MOST_BYTES = 200 * 2**20

pytestmark = [pytest.mark.benchmark, pytest.mark.django_db]


def any_stretcher(chance: random.Random, tag: str) -> Stretcher:
    shoe = chance.choice(["bullhead", "flat_bottom"])
    least = chance.uniform(1380, 1430)
    side = chance.choice(list(w.InsulationSide))
    return Stretcher(
        tag=tag,
        for_lock=chance.random() < 0.2,
        for_drive=chance.random() < 0.5,
        for_intermediate=chance.random() < 0.8,
        for_back=chance.random() < 0.8,
        generation=chance.choice(list(w.Generation)),
        adjustability=chance.choice(["fixed", "adjustable"]),
        form=chance.choice(["straight", "gooseneck", "unknown"]),
        insulation_side=side,
        insulation_kind="none" if side == "none" else "bush_and_plates",
        left_shoe=shoe,
        right_shoe=shoe,
        kicker=chance.choice([True, False, None]),
        drive_lug=chance.choice(list(w.DriveLug)),
        left_fixings="full_and_half_nut",
        right_fixings="full_and_half_nut",
        torque_nm=chance.choice([None, 220]),
        length_min_mm=least,
        length_max_mm=least + 30,
        notches=chance.choice(list(w.Notches)),
        condition=chance.choice(["good", "good", "worn", "unknown", "scrap"]),
    )


@pytest.fixture
def railway(db):
    chance = random.Random(1884)
    design, rail, location = make_design(), make_rail(), make_location()
    sets = Points.objects.bulk_create(
        Points(
            location=location,
            number=str(n),
            number_order=n,
            design=design,
            rail_section=rail,
            gauge_mm=1435,
            track_circuited=chance.choice([True, True, None]),
            machine_side="left",
        )
        for n in range(SETS)
    )
    roles = ("lock", "drive", "intermediate", "back")
    positions = Position.objects.bulk_create(
        Position(
            points=points,
            order=n,
            role=roles[n],
            distance_mm=200 + 1200 * n + chance.random(),
            space_ahead_mm=chance.uniform(20, 200),
            space_behind_mm=chance.uniform(20, 200),
            kicker_required=n == 1,
            driven=n == 1,
            separation_mm=chance.uniform(1390, 1450),
        )
        for points in sets
        for n in range(PLACES)
    )
    fitted = Stretcher.objects.bulk_create(
        any_stretcher(chance, f"F-{n:05}") for n in range(len(positions))
    )
    Fitting.objects.bulk_create(
        Fitting(position=place, stretcher=rod, fitted_on=date(2020, 1, 1))
        for place, rod in zip(positions, fitted, strict=True)
        if chance.random() < 0.85
    )
    Stretcher.objects.filter(fittings__isnull=True).delete()
    Stretcher.objects.bulk_create(any_stretcher(chance, f"S-{n:05}") for n in range(max(SPARES)))


def timed(work):
    """What it gives, and the seconds of one core it takes, whatever else the machine does."""
    start = time.process_time()
    found = work()
    return found, time.process_time() - start


def test_from_the_register_to_the_outcomes(railway):
    window(Asked())  # the lazy imports are not what is measured
    places, reading = timed(lambda: places_asked(Asked()))
    print(f"\nreading {len(places)} places with their facts: {reading:.2f} s")
    assert len(places) == SETS * PLACES
    spares = list(spares_asked(Asked()))
    for count in SPARES:
        _, outcomes = timed(lambda count=count: table_of(spares[:count], places))
        print(f"{count:>4} spares: outcomes {outcomes:.2f} s")
    assert outcomes < MOST_SECONDS * slowness()


def test_each_page_of_it(railway):
    window(Asked())
    for name, work in {
        "a window of the table": lambda: window(Asked()),
        "its last window": lambda: window(Asked(), 999, 999),
        "the places that want a rod": lambda: window(Asked(wanting=True)),
        "an outcome over the whole": lambda: window(Asked(outcome="suits_after_work")),
        "the best use of the store": best_use_of_store,
    }.items():
        _, taken = timed(work)
        print(f"\n{name}: {taken:.2f} s", end="")
    print()
    table, _ = timed(spares_table.whole_table)
    _, taken = timed(lambda: spares_sheet.write(table, BytesIO()))
    print(f"the workbook of {table.outcomes.severity.size} pairs: {taken:.1f} s")


def test_the_whole_of_it_in_two_hundred_megabytes(railway):
    window(Asked())
    tracemalloc.start()
    table = spares_table.whole_table()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    print(f"\npeak {peak / 2**20:.0f} MB for {table.outcomes.severity.size} pairs, facts and all")
    assert peak < MOST_BYTES
