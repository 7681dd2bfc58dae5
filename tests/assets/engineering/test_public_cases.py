"""What a practitioner expects of the rules: common practice, no source, and arithmetic."""

from dataclasses import replace

import pytest

from assets.engineering.facts import Interval, LostMotionFacts, RailFacts, ShoeFacts
from assets.engineering.suitability import Outcome, assess
from assets.engineering.words import Ends, InsulationSide, Notches, Profile, ShoeColour
from tests.assets.engineering.rods import (
    FLAT_BOTTOM_SHOE,
    LUGS,
    make_lock,
    make_machine,
    make_position,
    make_rod,
    takes,
)

SUITS, WORK, UNSURE, MISFIT = Outcome
FITS_113A = ShoeFacts(Profile.FLAT_BOTTOM, ShoeColour.YELLOW, foot_mm=140.0)
FLAT_BOTTOM_113A = make_rod(left_shoe=FITS_113A, right_shoe=FITS_113A)
WRONG_SIDE = {"insulation_side": InsulationSide.RIGHT, "can_be_turned": True}


def flat_bottom(code: str, foot_mm: float | None, one_family: bool = False) -> dict:
    rail = RailFacts(code, Profile.FLAT_BOTTOM, 70.0, foot_mm)
    return {"rail": rail, "one_flat_bottom_family": one_family}


def driven(**place) -> dict:
    """Stroke 200, unlocking 60, internal 70, ratio 1; 90 mm here move the toe 108, 102 to 120."""
    machine = make_machine(stroke_mm=200.0, unlocking_stroke_mm=60.0, internal_lost_motion_mm=70.0)
    known = {"travel_mm": 90.0, "permitted_travel": Interval(85.0, 100.0), "drive_ratio": 1.0}
    return {**known, "machine": machine, **place}


def at_lock(**place) -> dict:
    return {"order": 0, "place": place}


CASES = {
    "a throw 30 mm too far, no fitting": (
        make_rod(), {"place": driven()}, "lost motion", WORK,
        ("The drive does not match: the throw goes 30 mm too far, which presses the closed rail "
        "against its stock rail; 10 mm spare for the lock. A lost-motion fitting of 30 to 45 mm, "
        "40 best would do; none is fitted."),
    ),
    "a 113A rod on 60E1": (
        FLAT_BOTTOM_113A, {"points": flat_bottom("60E1", 150.0)}, "left shoe", MISFIT,
        "made for a foot of 140 mm, the rail's is 150 mm",
    ),
    "a 113A rod on 109 lb": (
        FLAT_BOTTOM_113A, {"points": flat_bottom("109", 139.7)}, "left shoe", SUITS,
        "made for a foot of 140 mm, the rail's is 139.7 mm",
    ),
    "a flat-bottom rod of unknown family, the railway has both": (
        make_rod(left_shoe=FLAT_BOTTOM_SHOE), {"points": flat_bottom("113A", 140.0)}, "left shoe",
        UNSURE, "which foot the shoe is made for is not known",
    ),
    "a wrong-side rod whose drive lug would come to the far side": (
        make_rod(**WRONG_SIDE, lug_end=Ends.LEFT), {}, "turning end for end", MISFIT,
        "turning is no remedy",
    ),
    "a lock stretcher with cut notches to be turned": (
        make_lock(**WRONG_SIDE), {"order": 0, "others": (make_rod(),)}, "lock notches", UNSURE,
        "where they come to was never measured from the other end",
    ),
    "a straight rod, nothing between it and the timber": (
        make_rod(), {"place": {"space_ahead_mm": 0.0, "space_behind_mm": 0.0}}, "timber space",
        MISFIT, "there is 0 mm ahead and 0 mm behind",
    ),
    "adjustable 1290 to 1320, needed 1320 to 1330": (
        make_rod(length_max_mm=1320.0), {}, "length", WORK, "at the end of its thread",
    ),
    "shoes to be changed": (
        make_rod(left_shoe=FLAT_BOTTOM_SHOE, right_shoe=FLAT_BOTTOM_SHOE), {}, "length", WORK,
        "with the shoes it has now",
    ),
    "gauge recorded 1435, read 1472": (
        make_rod(),
        {"place": {"separation": Interval(1329.8, 1333.0),
                   "separation_from": "gauge 1472 mm read here on 5 Nov 2026"}},
        "length", SUITS, "needed here 1329.8 to 1333 mm (gauge 1472 mm read here on 5 Nov 2026)",
    ),
    "lock notches 112, opening measured 112, permitted 102 to 120": (
        make_lock(notch_distance_mm=112.0),
        at_lock(permitted_travel=Interval(102.0, 120.0), measured_travel=Interval(112.0, 112.0)),
        "lock notches", SUITS, "the lock moves 112 mm: 0 mm out",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("rod", "position", "rule", "outcome", "says"), CASES.values(), ids=CASES)
def test_the_answer_is_what_a_practitioner_expects(rod, position, rule, outcome, says):
    found = assess(rod, make_position(**position))
    assert found[rule].outcome is outcome
    assert says in found[rule].reason
    assert found.outcome.severity >= outcome.severity


@pytest.mark.parametrize("lost", [30.0, 40.0, 45.0])
def test_a_fitting_of_30_to_45_mm_matches_the_drive(lost):
    place = driven(lost_motion_fitting=LostMotionFacts("LM-1", lost, lost, suits_lugs=takes(*LUGS)))
    assert assess(make_rod(), make_position(place=place)).outcome is SUITS


def test_the_remedies_of_the_cases_are_named():
    straight = make_position(place={"space_ahead_mm": 0.0, "space_behind_mm": 0.0})
    assert "P-way to move" in assess(make_rod(), straight)["timber space"].remedy
    family = make_position(points=flat_bottom("113A", 140.0))
    rod = make_rod(left_shoe=FLAT_BOTTOM_SHOE)
    assert "measure the foot" in assess(rod, family)["left shoe"].remedy
    changed = assess(make_rod(left_shoe=FLAT_BOTTOM_SHOE), make_position())["length"].remedy
    assert changed.startswith("after the change of shoes, measure its length")


def test_turning_a_lock_stretcher_with_uncut_notches_is_work():
    lock = make_lock(**WRONG_SIDE)
    uncut = replace(lock, notches=Notches.UNCUT, notch_distance_mm=None)
    assert assess(uncut, make_position(0)).outcome is WORK
