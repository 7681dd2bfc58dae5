"""How far one rod can be altered, in which steps, and how that is told."""

import pytest

from assets.engineering.adjustment import bounds, end_of, move, step_mm, whole_steps
from assets.engineering.cannot_say import CannotSay
from assets.engineering.words import Adjustability

from .switches import make_rod


def test_range_of_length_bounds_the_change():
    rod = make_rod(1, length_min_mm=1380.0, length_max_mm=1400.0)
    assert bounds(rod, 1390.0, 6.0) == (-10.0, 10.0)
    assert bounds(rod, None, 6.0) == (-float("inf"), float("inf"))
    assert bounds(make_rod(1), 1390.0, 6.0) == (-float("inf"), float("inf"))


def test_a_rod_beyond_its_range_already_goes_no_further_and_is_not_forced_back():
    rod = make_rod(1, length_min_mm=1380.0, length_max_mm=1400.0)
    assert bounds(rod, 1410.0, 6.0) == (-30.0, 0.0)
    assert bounds(rod, 1370.0, 6.0) == (0.0, 30.0)


def test_fixed_rod_gives_back_its_shims_and_takes_no_more_than_fit():
    rod = make_rod(1, adjustability=Adjustability.FIXED, shims_mm=4.0)
    assert bounds(rod, None, 6.0) == (-4.0, 8.0)
    assert bounds(rod, None, 3.0) == (-4.0, 2.0)
    full = make_rod(1, adjustability=Adjustability.FIXED, shims_mm=13.0)
    assert bounds(full, None, 6.0) == (-13.0, 0.0)
    assert bounds(make_rod(1, adjustability=Adjustability.FIXED), None, 6.0) == (0.0, 0.0)
    assert bounds(make_rod(1, adjustability=Adjustability.UNKNOWN), None, 6.0) == (0.0, 0.0)


def test_steps_are_flats_shims_or_tenths():
    assert step_mm(make_rod(1)) == pytest.approx(4 / 6)
    assert step_mm(make_rod(1, adjustability=Adjustability.FIXED)) == 1.0
    assert step_mm(make_rod(1, thread_pitch_mm=None)) == 0.1
    with pytest.raises(CannotSay, match="thread pitch of the first stretcher"):
        step_mm(make_rod(1, thread_pitch_mm=0.0))


def test_bounds_are_drawn_in_to_whole_steps():
    assert whole_steps((-1.5, 1.5), 4 / 6) == pytest.approx((-4 / 3, 4 / 3))
    assert whole_steps((-float("inf"), 0.5), 1.0) == (-float("inf"), 0.0)


def test_a_move_is_told_in_turns_in_shims_or_in_what_to_measure():
    assert move(make_rod(2), -16 / 3).text == (
        "shorten the second stretcher by 5.3 mm: 1 turn and 2 flats of the nut"
    )
    fixed = make_rod(2, adjustability=Adjustability.FIXED, shims_mm=9.0)
    assert move(fixed, -6.0).text == (
        "shorten the second stretcher by 6.0 mm: take out 6 mm of shims"
    )
    assert move(fixed, 2.0).text.endswith("add 2 mm of shims")
    unknown = move(make_rod(2, thread_pitch_mm=None), 1.0)
    assert unknown.turning is None
    assert unknown.text.endswith("its thread pitch is not known, measure the length for one turn")


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"adjustability": Adjustability.UNKNOWN}, "which is not known to be adjustable"),
        ({"adjustability": Adjustability.FIXED}, "whose shims are not known"),
        ({}, "which cannot be shortened any further"),
    ],
)
def test_the_end_of_a_rod_says_why(facts, said):
    assert end_of(make_rod(3, **facts), "shortened") == f"the third stretcher, {said}"
