import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assets.engineering.blade import Blade
from assets.engineering.cannot_say import CannotSay
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import Measured, Straight

from .switches import PLACES, free_blade, make_shape


def test_clearance_is_the_gap_behind_and_the_opening():
    switch = OpenSwitch(make_shape(), free_blade())
    assert switch.opening_mm == pytest.approx(108)
    assert switch.fwc(1000) == pytest.approx(float(free_blade().at(1000)))  # over the planing
    assert switch.fwc(6858) == pytest.approx(float(make_shape().offset(6858)) - 69.85)


@given(st.floats(95, 110), st.lists(st.floats(-12, 12), min_size=3, max_size=3))
def test_least_clearance_is_the_least_of_a_hundred_times_finer_search(at_lock, off):
    shape = make_shape()
    free = free_blade().at(PLACES)
    displacements = [at_lock, *(free[1:] + off)]
    switch = OpenSwitch(shape, Blade.through(PLACES, displacements, shape.heel_mm))
    fine = switch.fwc(np.linspace(0, shape.heel_mm, 20_001))
    assert switch.least_fwc.mm == pytest.approx(fine.min(), abs=0.01)
    assert switch.least_fwc.mm <= fine.min() + 1e-3
    assert switch.fwc(switch.least_fwc.at_mm) == pytest.approx(switch.least_fwc.mm)


def test_clearance_that_is_fine_at_every_rod_can_fail_between_them():
    shape = make_shape()
    switch = OpenSwitch(shape, Blade.through([200, 4800], [104, 5], shape.heel_mm))
    assert min(switch.fwc(PLACES)) > 50
    assert switch.least_fwc.mm < 50
    assert switch.least_fwc.at_mm == pytest.approx(2235, abs=1)


def test_loose_heel_has_its_heel_clearance_at_the_heel():
    """Heel divergence 4 1/2 in less a head of 2 3/4 in: 1 3/4 in (gaugeoguild wiki)."""
    shape = Straight(114.3, 69.85, 3657.6)
    switch = OpenSwitch(shape, Blade.through([200, 1800], [103, 58], 3657.6, held=False))
    assert switch.least_fwc.mm == pytest.approx(44.45)
    assert switch.least_fwc.at_mm == pytest.approx(3657.6)


def test_measured_shape_gives_the_profile_of_the_drawing_it_was_measured_from():
    drawn = make_shape()
    places = np.linspace(300, 6858, 23)
    measured = Measured(tuple(places), tuple(drawn.offset(places)), 69.85, 6858.0)
    least = [OpenSwitch(shape, free_blade()).least_fwc.mm for shape in (drawn, measured)]
    assert least[0] == pytest.approx(least[1], abs=0.3)


def test_shape_and_blade_of_different_length_are_refused():
    with pytest.raises(CannotSay, match="measure from toe to heel"):
        OpenSwitch(make_shape(), Blade.through([200], [100], 6000))


def test_shape_and_blade_a_millimetre_apart_at_the_heel_are_refused():
    with pytest.raises(CannotSay, match="measure from toe to heel"):
        OpenSwitch(make_shape(), Blade.through([200], [100], 6859.0))
