import pytest

from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval
from assets.engineering.lost_motion import Drive, standing, window

DRIVE = Drive(stroke_mm=200, unlocking_mm=60, internal_mm=20)


def test_window_lets_the_lock_clear_and_the_switch_open_fully():
    found = window(DRIVE, 105)
    assert (found.least_mm, found.most_mm) == (40, 75)
    assert found.open


def test_margins_of_a_fitting_in_the_window():
    found = standing(DRIVE, 105, Interval(50, 60))
    assert (found.unlocking_margin_mm, found.opening_margin_mm) == (10, 15)
    assert found.in_window


def test_fitting_just_at_both_ends_of_the_window_stands_in_it():
    found = standing(DRIVE, 105, Interval(40, 75))
    assert (found.unlocking_margin_mm, found.opening_margin_mm) == (0, 0)
    assert found.in_window


def test_window_of_one_figure_is_open():
    assert window(Drive(180, 60, 20), 120).open


def test_fitting_with_too_little_drags_the_switch_while_still_locked():
    found = standing(DRIVE, 105, Interval(35, 60))
    assert found.unlocking_margin_mm == -5
    assert not found.in_window


def test_fitting_with_too_much_leaves_the_switch_short_of_its_opening():
    found = standing(DRIVE, 105, Interval(50, 80))
    assert found.opening_margin_mm == -5
    assert not found.in_window


def test_no_fitting_stands_at_no_lost_motion():
    assert standing(DRIVE, 105, None).unlocking_margin_mm == -40
    enough_inside = Drive(200, 60, 70)
    found = standing(enough_inside, 105, None)
    assert (found.unlocking_margin_mm, found.opening_margin_mm) == (10, 25)
    assert found.window.least_mm == 0


def test_short_stroke_has_no_window():
    assert not window(Drive(150, 60, 20), 105).open


def test_levers_scale_the_movements_of_the_machine():
    """Half the movement at the rod: unlocking asks 20 mm of the fitting, 90 mm are left."""
    found = window(Drive(200, 60, 20, lever_ratio=0.5), 60)
    assert (found.least_mm, found.most_mm) == (20, 30)


def test_fitting_measured_once_stands_at_that_figure():
    assert standing(DRIVE, 105, Interval(50, None)).opening_margin_mm == 25


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Drive(None, 60, 20), "the stroke of the machine is not known"),
        (lambda: Drive(200, None, 20), "the unlocking stroke of the machine is not known"),
        (lambda: Drive(200, 60, None), "the lost motion inside the machine is not known"),
        (lambda: Drive(200, 60, 20, None), "the lever ratio of the drive is not known"),
        (lambda: Drive(-1, 60, 20), "the stroke of the machine must be above 0"),
        (lambda: window(DRIVE, None), "the movement needed at the drive position is not known"),
        (lambda: standing(DRIVE, 105, Interval()), "measure the lost motion of the fitting"),
    ],
)
def test_drive_that_lacks_a_fact_says_which(make, says):
    with pytest.raises(CannotSay, match=says):
        make()


@pytest.mark.parametrize(
    "figures", [(0, 60, 20), (180, -1, 20), (180, 60, -1), (180, 60, 20, 0), (180, 60, 20, -0.5)]
)
def test_a_drive_that_cannot_be_is_refused(figures):
    """A machine moves, and so does the rod it moves; it may have no lock and no lost motion."""
    with pytest.raises(CannotSay, match="check it"):
        Drive(*figures)
    assert Drive(180, 0, 0).movement_mm(0) == 180
