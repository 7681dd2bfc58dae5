"""The reading that makes the least clearance surest."""

import numpy as np
import pytest

from assets.engineering.switch_inputs import Read
from assets.engineering.two_rails.read_next import measure_next
from assets.engineering.words import Lie
from tests.assets.engineering.switches import PLACES, clearances
from tests.assets.engineering.two_rails.test_combining import ERRORS, combine, make_readings, reads

LEFT, RIGHT = Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED


def few(fwc=None, more=()):
    """Clearance alone, at the rods unless told otherwise."""
    fwc = reads(clearances() if fwc is None else fwc)
    return combine(make_readings(fwc=(*fwc, *more), fwp=(), gauge=(), residual=()))


def test_the_sigma_promised_is_the_one_that_the_reading_gives():
    before = few()
    told = measure_next({LEFT: before}, ERRORS.fwc_mm)
    after = few(more=(Read(float(before.switch.fwc(told.at_mm)), at_mm=told.at_mm + 2),))
    assert told.sigma_now_mm == pytest.approx(before.least_sigma_mm)
    assert after.least_sigma_mm == pytest.approx(told.sigma_then_mm, abs=2e-3)
    assert told.sigma_then_mm < told.sigma_now_mm


def test_no_other_place_does_better():
    before = few()
    told = measure_next({LEFT: before}, ERRORS.fwc_mm)
    for x in np.arange(25.0, 6800.0, 150.0):
        after = few(more=(Read(float(before.switch.fwc(x)), at_mm=float(x)),))
        assert after.least_sigma_mm > told.sigma_then_mm * 0.98


def test_it_is_near_the_least_clearance():
    before = few()
    assert abs(measure_next({LEFT: before}, ERRORS.fwc_mm).at_mm - before.least_fwc.at_mm) < 700


def test_a_rod_that_is_as_good_is_told_rather_than_a_place_beside_it():
    fwc = [mm + off for mm, off in zip(clearances(), [0, 0, -30, 0], strict=True)]
    before = few(fwc)
    assert 100 < PLACES[2] - before.least_fwc.at_mm < 300
    assert measure_next({LEFT: before}, ERRORS.fwc_mm).at_mm == PLACES[2]


def test_the_lie_with_the_less_clearance_is_read_first():
    tighter = few([mm - 3 for mm in clearances()])
    assert measure_next({LEFT: few(), RIGHT: tighter}, ERRORS.fwc_mm).lie == RIGHT
    assert measure_next({LEFT: tighter, RIGHT: few()}, ERRORS.fwc_mm).lie == LEFT


def test_it_says_what_for():
    told = measure_next({LEFT: few()}, ERRORS.fwc_mm)
    assert told.why.startswith(f"With left closed, free wheel clearance read at {told.at_mm:.0f}")
