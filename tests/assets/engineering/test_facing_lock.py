"""Used facing without a lock stretcher in the register: said of the points, never of a rod."""

from dataclasses import replace

import pytest

from assets.engineering import words as w
from assets.engineering.facts import MachineFacts
from assets.engineering.suitability import RULES, Outcome
from assets.engineering.suitability.facing_lock import facing_lock
from tests.assets.engineering.rods import make_lock, make_place, make_points, make_rod

SUITS, WORK, UNSURE, MISFIT = Outcome


def points(use: w.Use, *kinds: w.MachineKind, **facts):
    """Points with two stretchers, none of them a lock, driven by machines of these kinds."""
    first, second = (make_place(order, stretcher=make_rod()) for order in (1, 2))
    machines = [MachineFacts(kind=kind) for kind in kinds]
    places = [
        replace(place, machine=machine)
        for place, machine in zip((first, second), [*machines, None, None], strict=False)
    ]
    return make_points(*places, **{"use": use, **facts})


@pytest.mark.parametrize("use", [w.Use.FACING, w.Use.BOTH])
@pytest.mark.parametrize("kind", [w.MachineKind.RODDING, w.MachineKind.HAND_LEVER])
def test_facing_points_worked_by_hand_without_a_lock_stretcher_are_said(use, kind):
    answer = facing_lock(points(use, kind))
    assert answer.outcome is WORK
    assert answer.reason == "Used facing, and no lock stretcher is recorded here."
    assert "find out how the points are locked or secured" in answer.remedy


@pytest.mark.parametrize(
    ("here", "says"),
    [
        (points(w.Use.FACING, w.MachineKind.MOTOR), "the machine may have the lock inside it"),
        (
            points(w.Use.FACING, w.MachineKind.HAND_LEVER, w.MachineKind.MOTOR),
            "the machine may have the lock inside it",
        ),
        (points(w.Use.FACING), "what drives these points is not known"),
        (points(w.Use.BOTH, w.MachineKind.UNKNOWN), "what drives these points is not known"),
        (points(w.Use.FACING, w.MachineKind.SUPPLEMENTARY), "what drives these points is not"),
        (points(w.Use.UNKNOWN, w.MachineKind.RODDING), "facing is not known"),
        (
            points(w.Use.FACING, w.MachineKind.RODDING, layout=w.Layout.TRAP),
            "whether trap points need one is for the railway's rules",
        ),
        (
            points(w.Use.FACING, w.MachineKind.RODDING, layout=w.Layout.CATCH),
            "whether catch points need one is for the railway's rules",
        ),
        (
            make_points(make_place(0), make_place(1, stretcher=make_rod()), use=w.Use.FACING),
            "nothing is recorded at the place of the lock stretcher",
        ),
        (make_points(use=w.Use.FACING), "no places for stretchers are recorded"),
    ],
)
def test_what_could_make_it_false_is_said_as_not_known(here, says):
    answer = facing_lock(here)
    assert answer.outcome is UNSURE
    assert says in answer.reason
    assert answer.remedy.startswith("go and check: ")


def test_trailing_points_and_those_with_a_lock_stretcher_are_quiet():
    assert facing_lock(points(w.Use.TRAILING, w.MachineKind.RODDING)).outcome is SUITS
    locked = make_points(make_place(0, stretcher=make_lock()), use=w.Use.FACING)
    assert facing_lock(locked).outcome is SUITS


def test_filling_in_what_is_unknown_never_takes_back_what_suits():
    for use in w.Use:
        for layout in w.Layout:
            here = points(use, w.MachineKind.UNKNOWN, layout=layout)
            if facing_lock(here).outcome is SUITS:
                assert use is w.Use.TRAILING
                for kind in w.MachineKind:
                    assert facing_lock(points(use, kind, layout=layout)).outcome is SUITS


def test_it_is_no_rule_for_spares():
    assert "facing point lock" not in {rule.name for rule in RULES}
