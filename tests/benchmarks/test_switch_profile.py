"""How long the switch arithmetic takes. Prints its figures; run with --benchmarks -s."""

import subprocess
import sys
from time import process_time

import pytest

from assets.engineering.blade import Blade
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.report import report
from tests.assets.engineering.switches import (
    PLACES,
    back_forced,
    clearances,
    free_blade,
    make_shape,
    make_switch,
)
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


def test_railway_of_fourteen_points_takes_less_than_a_tenth_of_a_second():
    """Everything: profiles, wheels, separations and advice; half the points to be altered."""
    railway = [
        make_switch(clearances() if number % 2 else back_forced(2.0 + number / 10))
        for number in range(14)
    ]
    took = milliseconds(lambda: [report(points) for points in railway], rounds=5)
    print(f"\nwhole reports of 14 sets of points, 7 with advice: {took:.1f} ms")
    assert took < 100 * slowness()


def test_scipy_waits_until_a_blade_is_asked_for():
    """What only names the arithmetic does not load the large package behind it."""
    asks = "import sys, assets.engineering.report; sys.exit('scipy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", asks], check=False).returncode == 0
