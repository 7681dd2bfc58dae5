"""What the facts and the answers answer for a name that is not there."""

import pytest

from assets.engineering.suitability import Outcome, assess
from assets.engineering.words import Side
from tests.assets.engineering.rods import make_place, make_points, make_position, make_rod


def test_points_without_a_place_of_that_number_say_so():
    with pytest.raises(KeyError, match="SKB 12 has no position 4"):
        make_points(make_place(0), make_place(1)).place(4)


def test_an_assessment_gives_the_finding_of_a_rule_and_no_other():
    found = assess(make_rod(), make_position())
    assert found["role"].outcome is Outcome.SUITS
    with pytest.raises(KeyError, match="paint"):
        found["paint"]


def test_the_opposite_of_a_side_nobody_knows_is_not_known():
    assert Side.LEFT.opposite is Side.RIGHT
    assert Side.RIGHT.opposite is Side.LEFT
    assert Side.UNKNOWN.opposite is Side.UNKNOWN


@pytest.mark.parametrize(
    ("order", "name"),
    [(0, "lock stretcher"), (1, "first stretcher"), (6, "sixth stretcher"), (7, "7th stretcher")],
)
def test_rods_are_called_by_their_number_from_the_toe(order, name):
    assert make_place(order).name == name
