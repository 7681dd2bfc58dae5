"""How often a trend is found where there is none, and where there is one, in whole millimetres."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from inspections.upcoming.trend import Taken, trend_of
from inspections.verdicts.finding import Bound, QuantityLimits
from inspections.words import Level

FIRST = datetime(2025, 1, 6, 10, 0)
QUARTER = 91  # days
LIMIT = QuantityLimits(intervention=Bound(Level.INTERVENTION, minimum=50))


def quarterly(chance: np.random.Generator, count: int, fall_mm: float, sigma: float):
    """Readings in whole mm, falling by so much a year; the day on which the truth is at 50 mm."""
    start = chance.uniform(57, 58)
    days = QUARTER * np.arange(count)
    read = np.round(start - fall_mm / 365 * days + chance.normal(0, sigma, count))
    taken = [
        Taken(FIRST + timedelta(days=int(day)), float(mm))
        for day, mm in zip(days, read, strict=True)
    ]
    ahead = (start - 50) / fall_mm * 365 if fall_mm else float("inf")
    return taken, ahead


@pytest.mark.parametrize("count", [5, 6, 7, 8, 12, 13, 20, 40])
def test_at_most_five_in_a_hundred_series_that_do_not_move_have_a_trend(count):
    chance = np.random.default_rng(count)
    tried = 300 if count < 20 else 150
    for sigma in (0.5, 1.0):
        found = sum(
            trend_of(quarterly(chance, count, 0.0, sigma)[0], LIMIT).is_moving for _ in range(tried)
        )
        assert found / tried <= 0.05 + 2 * (0.05 * 0.95 / tried) ** 0.5


def test_two_mm_a_year_over_eight_visits_is_found_at_least_eighty_times_in_a_hundred():
    chance = np.random.default_rng(1900)
    found = sum(trend_of(quarterly(chance, 8, 2.0, 0.5)[0], LIMIT).is_moving for _ in range(500))
    print(f"\n2 mm a year over eight visits: found {found / 5:.0f} times in 100")
    assert found >= 400


def test_the_range_of_days_covers_the_day_of_the_truth_at_least_ninety_times_in_a_hundred():
    chance = np.random.default_rng(1901)
    told = covered = 0
    for _ in range(500):
        taken, ahead = quarterly(chance, 8, 2.0, 0.5)
        reach = trend_of(taken, LIMIT).reach
        if reach is None:
            continue
        told += 1
        day = (FIRST + timedelta(days=ahead)).date()
        covered += reach.soonest <= day and (reach.latest is None or day <= reach.latest)
    print(f"\nthe range of days covers the truth {100 * covered / told:.0f} times in 100")
    assert told >= 400
    assert covered >= 0.9 * told
