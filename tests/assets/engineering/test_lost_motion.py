import pytest

from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval
from assets.engineering.lost_motion import Drive, Movement, standing, window

DRIVE = Drive(stroke_mm=200, unlocking_mm=60, internal_mm=20)
NEED = Movement(least_mm=105, greatest_mm=150)


def test_window_lets_the_lock_clear_and_the_switch_open_fully():
    found = window(DRIVE, NEED)
    assert (found.least_mm, found.most_mm) == (40, 75)
    assert found.open


def test_margins_of_a_fitting_in_the_window():
    found = standing(DRIVE, NEED, Interval(50, 60))
    assert (found.unlocking_margin_mm, found.opening_margin_mm) == (10, 15)
    assert found.in_window


def test_fitting_just_at_both_ends_of_the_window_stands_in_it():
    found = standing(DRIVE, NEED, Interval(40, 75))
    assert (found.unlocking_margin_mm, found.opening_margin_mm) == (0, 0)
    assert found.in_window


def test_window_of_one_figure_is_open():
    assert window(Drive(180, 60, 20), Movement(120, 150)).open


def test_fitting_with_too_little_drags_the_switch_while_still_locked():
    found = standing(DRIVE, NEED, Interval(35, 60))
    assert found.unlocking_margin_mm == -5
    assert not found.in_window


def test_fitting_with_too_much_leaves_the_switch_short_of_its_opening():
    found = standing(DRIVE, NEED, Interval(50, 80))
    assert found.opening_margin_mm == -5
    assert not found.in_window


def test_no_fitting_stands_at_no_lost_motion():
    assert standing(DRIVE, NEED, None).unlocking_margin_mm == -40
    enough_inside = Drive(200, 60, 70)
    found = standing(enough_inside, NEED, None)
    assert (found.unlocking_margin_mm, found.opening_margin_mm) == (10, 25)
    assert found.window.least_mm == 0


def test_short_stroke_has_no_window():
    assert not window(Drive(150, 60, 20), NEED).open


def test_levers_scale_the_movements_of_the_machine():
    """Half the movement at the rod: unlocking asks 20 mm of the fitting, 90 mm are left."""
    found = window(Drive(200, 60, 20, lever_ratio=0.5), Movement(60, 80))
    assert (found.least_mm, found.most_mm) == (20, 30)


def test_fitting_measured_once_stands_at_that_figure():
    assert standing(DRIVE, NEED, Interval(50, None)).opening_margin_mm == 25


def test_throw_too_long_is_a_third_side_of_the_window():
    """90 mm at the drive move the toe 108, and 102 to 120 are permitted: 85 to 100 at the drive.

    Common practice, no source. Once told as right, with 40 mm for the opening.
    """
    worked, asked = Drive(stroke_mm=200, unlocking_mm=60, internal_mm=70), Movement(85, 100, 90)
    assert worked.movement_mm(0) == 130
    found = standing(worked, asked, None)
    assert (found.window.least_mm, found.window.best_mm, found.window.most_mm) == (30, 40, 45)
    assert (found.unlocking_margin_mm, found.throw_margin_mm) == (10, -30)
    assert found.too_long
    assert not found.in_window
    assert standing(worked, asked, Interval(30, 45)).in_window
    assert not standing(worked, asked, Interval(29.9, 45)).in_window
    assert not standing(worked, asked, Interval(30, 45.1)).in_window


def test_without_a_greatest_movement_a_long_throw_cannot_be_told():
    found = standing(DRIVE, Movement(105), Interval(40, 70))
    assert found.too_long is None
    assert not found.in_window
    assert standing(DRIVE, Movement(105), Interval(75, 75)).too_long is False


def test_no_more_is_borne_than_the_greatest_permitted_opening_needs():
    """Was 93 for a greatest of 91: 3 mm of overtravel were taken to be borne."""
    assert Movement(85, 91, 90).most_mm == 91
    assert Movement(85, 100, 90).most_mm == 100
    assert Movement(85, None, 90).most_mm == 90
    assert Movement(85).most_mm == 85


def test_best_fitting_stays_in_the_window():
    assert window(Drive(150, 60, 20), Movement(85, 110, 100)).best_mm == 40  # the lock needs it
    assert window(Drive(150, 60, 60), Movement(85, 110, 100)).best_mm == 0


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: Drive(None, 60, 20), "the stroke of the machine is not known"),
        (lambda: Drive(200, None, 20), "the unlocking stroke of the machine is not known"),
        (lambda: Drive(200, 60, None), "the lost motion inside the machine is not known"),
        (lambda: Drive(200, 60, 20, None), "the lever ratio of the drive is not known"),
        (lambda: Drive(-1, 60, 20), "the stroke of the machine must be above 0"),
        (
            lambda: Movement(None),
            "the movement needed at the drive position is not known",
        ),
        (lambda: standing(DRIVE, NEED, Interval()), "measure the lost motion of the fitting"),
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
