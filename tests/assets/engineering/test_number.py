"""The number of stretchers is a fact of the points, and no reason against a spare."""

import pytest

from assets.engineering.suitability import RULES, Outcome, assess
from assets.engineering.suitability.number import number
from tests.assets.engineering.rods import (
    make_lock,
    make_place,
    make_points,
    make_position,
    make_rod,
)

SUITS, WORK, UNSURE, MISFIT = Outcome


def points(stretchers: int, needed: int | None):
    """Points with a lock stretcher and so many others."""
    others = (make_place(order, stretcher=make_rod()) for order in range(1, stretchers + 1))
    empty = make_place(stretchers + 1)
    lock = make_place(0, stretcher=make_lock())
    return make_points(lock, *others, empty, least_stretchers=needed)


@pytest.mark.parametrize(
    ("stretchers", "needed", "outcome", "says", "remedy"),
    [
        (2, 2, SUITS, "2 stretchers, not counting the lock stretcher; at least 2 are needed.", ""),
        (2, 3, WORK, "at least 3 are needed", "fit 1 more before the points are used"),
        (1, 1, WORK, "1 stretcher, not counting the lock stretcher; at least 2", "fit 1 more"),
        (0, 2, WORK, "No stretcher, not counting the lock stretcher", "fit 2 more"),
        (2, None, UNSURE, "what this switch design needs is not known", "length of the switch"),
        (1, None, WORK, "at least 2 are needed", "fit 1 more"),
    ],
)
def test_the_stretchers_of_the_points_are_counted(stretchers, needed, outcome, says, remedy):
    answer = number(points(stretchers, needed))
    assert answer.outcome is outcome
    assert says in answer.reason
    assert remedy in answer.remedy
    assert bool(answer.remedy) is (outcome is not SUITS)


@pytest.mark.parametrize("needed", [None, 2, 5])
def test_a_spare_suits_whatever_number_the_design_needs(needed):
    """Was "cannot say" for every spare of points whose design nobody knows."""
    assert assess(make_rod(), make_position(points={"least_stretchers": needed})).outcome is SUITS
    assert "number of stretchers" not in {rule.name for rule in RULES}
