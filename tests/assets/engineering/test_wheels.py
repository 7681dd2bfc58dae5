import pytest

from assets.engineering.cannot_say import CannotSay
from assets.engineering.wheels import Wheels, clearance_mm, passage_mm


def test_margin_is_what_the_wheelset_reaches_beyond_the_passage():
    assert Wheels(1357, 26).reach_mm == 1383
    assert Wheels(1357, 26).margin_mm(1380) == 3
    assert Wheels(1357, 26).margin_mm(1385) == -2


def test_wheelset_that_can_be_needs_no_note():
    assert Wheels(1357, 27, 1410).note == ""
    assert Wheels(1357, 22).note == ""


@pytest.mark.parametrize("sizes", [(0, 22), (1357, -1), (float("nan"), 22), (None, 22)])
def test_wheelset_that_cannot_be_is_refused(sizes):
    with pytest.raises(CannotSay, match="of the wheels"):
        Wheels(*sizes)


def test_passage_and_clearance_take_gauge_and_residual_opening_between_them():
    assert passage_mm(1435.0, 2.0, 55.0) == 1378.0
    assert clearance_mm(1435.0, 2.0, 1378.0) == 55.0


def test_the_note_says_what_the_other_flange_must_measure():
    assert Wheels(1357, 22, 1410).note.endswith("the other must be at least 31 mm.")


def test_a_wheelset_just_at_the_least_over_both_flanges_can_be():
    assert Wheels(1357, 26.5, 1410).note == ""


def test_a_flange_of_no_thickness_is_refused():
    with pytest.raises(CannotSay, match="of the wheels"):
        Wheels(1357, 0)
