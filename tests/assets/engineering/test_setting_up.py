import numpy as np
import pytest

from assets.engineering.blade import Blade
from assets.engineering.cannot_say import CannotSay
from assets.engineering.setting_up import sheet
from assets.engineering.shape import Straight
from assets.engineering.switch_inputs import SwitchLimits

from .switches import LIMITS, PLACES, free_blade, make_rod, make_rods, make_shape

GAUGE = dict.fromkeys(range(4), 1432.0)


def make_sheet(limits=LIMITS, rods=None, gauge=GAUGE, **sizes):
    return sheet(make_shape(**sizes), True, make_rods() if rods is None else rods, limits, gauge)


def test_rods_are_set_lock_first_then_back_then_front_then_middle():
    steps = make_sheet().steps
    assert [step.number for step in steps] == [1, 2, 3, 4]
    assert [step.order for step in steps] == [0, 3, 1, 2]


def test_easy_switch_is_set_where_its_lock_alone_leaves_it():
    """A B switch keeps 57.4 mm by its lock alone, so no rod has to force it."""
    found = make_sheet()
    assert found.opening_mm == pytest.approx(108)
    assert found.least_fwc.mm == pytest.approx(57.4, abs=0.2)
    free = free_blade()
    for step in found.steps:
        gap = max(0.0, float(make_shape().offset(step.distance_mm)) - 69.85)
        assert step.opening_mm == pytest.approx(gap + float(free.at(step.distance_mm)), abs=1e-6)


def test_back_rod_is_opened_just_so_far_that_a_stricter_limit_is_met():
    found = make_sheet(SwitchLimits(60.0, 102.0, 108.0, 120.0))
    assert found.opening_mm == pytest.approx(108)
    assert found.least_fwc.mm == pytest.approx(60.0, abs=0.01)


def test_middle_rods_hold_the_blade_where_lock_and_back_leave_it():
    found = make_sheet(SwitchLimits(60.0, 102.0, 108.0, 120.0))
    shape = make_shape()
    at = {step.distance_mm: step.opening_mm for step in found.steps}
    gap = {x: max(0.0, float(shape.offset(x)) - 69.85) for x in PLACES}
    displaced = [at[x] - gap[x] for x in PLACES]
    forces = Blade.through(PLACES, displaced, shape.heel_mm, True, 1e12).reactions_n
    assert np.abs(forces[1:3]).max() < 1e-3
    assert forces[3] > 100


def test_separation_is_what_both_lies_share_with_the_closed_side_home():
    steps = {step.order: step for step in make_sheet().steps}
    shape = make_shape()
    for order, step in steps.items():
        head = min(float(shape.offset(PLACES[order])), 69.85)
        assert step.separation_mm == pytest.approx(1432 + head - step.opening_mm)


def test_separation_is_not_made_up_where_the_gauge_is_not_known():
    steps = {step.order: step for step in make_sheet(gauge={0: 1432.0}).steps}
    assert steps[0].separation_mm is not None
    assert steps[3].separation_mm is None


def test_switch_with_one_rod_has_one_step():
    found = make_sheet(rods=(make_rod(0),))
    assert [step.order for step in found.steps] == [0]
    assert found.opening_mm == pytest.approx(108)


@pytest.mark.parametrize(
    ("limits", "says"),
    [
        (SwitchLimits(50, 102, None, 120), "nominal switch opening is not known"),
        (SwitchLimits(None, 102, 108, 120), "minimum free wheel clearance is not known"),
    ],
)
def test_sheet_says_which_limit_it_lacks(limits, says):
    with pytest.raises(CannotSay, match=says):
        make_sheet(limits)


def test_loose_heel_whose_heel_clearance_is_under_the_limit_cannot_be_set():
    shape = Straight(114.3, 69.85, 3657.6)  # heel clearance 44.45 mm
    rods = (make_rod(0), make_rod(1))
    with pytest.raises(CannotSay, match=r"no setting of the stretchers gives 50 mm .* at 3658 mm"):
        sheet(shape, False, rods, LIMITS, {})


def test_an_opening_of_nothing_cannot_be_set_up():
    with pytest.raises(CannotSay, match="nominal switch opening must be above 0"):
        sheet(make_shape(), True, make_rods(), SwitchLimits(50.0, 0.0, 0.0, 120.0), {})
