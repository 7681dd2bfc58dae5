"""How long the switch arithmetic takes. Prints its figures; run with --benchmarks -s."""

import subprocess
import sys
from time import process_time

import numpy as np
import pytest

from assets.engineering.blade import Blade
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.report import report
from assets.engineering.two_rails.advice import advise
from tests.assets.engineering.switches import (
    PLACES,
    clearances,
    free_blade,
    make_shape,
    make_switch,
)
from tests.assets.engineering.two_rails.mis_set import ALL_LIMITS, any_mis_set
from tests.benchmarks.machine import slowness

pytestmark = pytest.mark.benchmark


def milliseconds(function, rounds=300):
    """Processor time of one call in the best of five runs."""
    function()
    runs = []
    for _ in range(5):
        start = process_time()
        for _ in range(rounds):
            function()
        runs.append((process_time() - start) / rounds * 1000)
    return min(runs)


def test_profile_of_both_lies_takes_less_than_a_millisecond():
    displaced = free_blade().at(PLACES).tolist()

    def profile():
        shape = make_shape()
        for _ in range(2):
            assert OpenSwitch(shape, Blade.through(PLACES, displaced, 6858.0)).least_fwc.mm > 57

    took = milliseconds(profile)
    print(f"\nprofile (shape, blade, least FWC), both lies: {took:.3f} ms")
    assert took < 1.0 * slowness()


def test_report_where_nothing_is_out_takes_ten_milliseconds():
    """Both lies, with what is not known of studs and goosenecks."""
    points = make_switch()
    assert report(points).advice.must is None
    took = milliseconds(lambda: report(points), rounds=30)
    print(f"\nwhole report of one set of points, nothing out: {took:.1f} ms")
    assert took < 10 * slowness()


def test_must_takes_fifty_milliseconds_on_average_and_two_hundred_at_worst():
    chance = np.random.default_rng(1829)
    took = []
    while len(took) < 60:
        cases = any_mis_set(chance).cases()
        began = process_time()
        must = advise(cases, ALL_LIMITS, {}).must
        if must is not None:
            took.append((process_time() - began) * 1000)
    print(f"\nmust: {np.mean(took):.0f} ms on average, {max(took):.0f} ms at worst")
    slow = slowness()
    assert np.mean(took) < 50 * slow
    assert max(took) < 200 * slow


def test_a_thousand_sets_of_points_take_eight_seconds_and_grow_evenly():
    """Each a little different, none with anything out."""

    def railway(count: int) -> float:
        sets = [make_switch(clearances({2: number / 500})) for number in range(count)]
        began = process_time()
        for points in sets:
            assert report(points).advice.must is None
        return process_time() - began

    few, many = railway(250), railway(1000)
    print(f"\nreports of 1,000 sets of points: {many:.1f} s; of 250: {few:.1f} s")
    assert many < 8 * slowness()
    assert many < 6 * few


def test_scipy_waits_until_a_blade_is_asked_for():
    """What only names the arithmetic does not load the large package behind it."""
    asks = "import sys, assets.engineering.report; sys.exit('scipy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asks], check=False).returncode == 0
