"""Where a rail that may only push against its supports touches them."""

import numpy as np
import pytest

from assets.engineering.cannot_say import CannotSay
from assets.engineering.two_rails import contact
from assets.engineering.two_rails.contact import pushes


def test_clear_of_every_support_none_pushes():
    assert pushes(np.eye(3), np.array([0.0, 1.0, 2.0])).tolist() == [0, 0, 0]


def test_a_rail_over_one_support_is_pushed_by_it_alone():
    """A push of 2 at the first lifts the second by 1, more than it lacks."""
    flexible = np.array([[1.0, 0.5], [0.5, 1.0]])
    assert pushes(flexible, np.array([-2.0, -0.5])) == pytest.approx([2.0, 0.0])


def test_supports_by_chance_push_or_are_clear():
    """Against the definition, tried in full: every set of supports that could touch."""
    chance = np.random.default_rng(1974)
    for _ in range(200):
        root = chance.normal(size=(4, 4))
        flexible, free = root @ root.T + 0.1 * np.eye(4), chance.normal(size=4)
        found = pushes(flexible, free)
        answers = []
        for chosen in range(16):
            touching = [place for place in range(4) if chosen >> place & 1]
            pushed = np.zeros(4)
            if touching:
                part = flexible[np.ix_(touching, touching)]
                pushed[touching] = np.linalg.solve(part, -free[touching])
            if pushed.min() >= 0 and (flexible @ pushed + free).min() >= -1e-9:
                answers.append(pushed)
        assert len(answers) == 1
        assert found == pytest.approx(answers[0], abs=1e-6)


def test_a_shape_that_is_none_cannot_be_worked_out():
    """A push that drives the rail further through elsewhere: no rail bends so."""
    with pytest.raises(CannotSay, match="check the shape"):
        pushes(np.array([[1.0, -2.0], [-2.0, 1.0]]), np.array([-1.0, -1.0]))


def test_taking_longer_than_any_case_tried_ends_with_a_sentence(monkeypatch):
    monkeypatch.setattr(contact, "_ROUNDS_A_PLACE", 0)
    with pytest.raises(CannotSay, match="check the shape"):
        pushes(np.eye(2), np.array([-1.0, -1.0]))
