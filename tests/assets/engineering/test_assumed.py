"""The railway's figures: assumed until it confirms its own, and told with what they rest on."""

from dataclasses import fields, replace

import pytest

from assets.engineering.assumed import ASSUMPTIONS, BY_CODE, NOTHING_CONFIRMED, Assumed, FigureCode
from assets.engineering.facts import Interval, RailFacts, ShoeFacts
from assets.engineering.suitability import Outcome, assess, assess_table
from assets.engineering.switch_inputs import SwitchLimits
from assets.engineering.two_rails.answers import answers
from assets.engineering.two_rails.certainty import Sure
from assets.engineering.words import Adjustability, Form, Profile
from tests.assets.engineering.rods import make_position, make_rod
from tests.assets.engineering.switches import make_switch

LETTER = "engineer's letter of 3 May 2026"


def own(**figures: float) -> Assumed:
    return Assumed.with_own({code: (value, LETTER) for code, value in figures.items()})


def test_every_figure_is_one_row_of_the_catalogue_and_can_be_what_is_assumed():
    names = [field.name for field in fields(Assumed) if field.name != "confirmed"]
    assert names == [row.code.value for row in ASSUMPTIONS] == [code.value for code in FigureCode]
    assert all(row.least <= row.value <= row.most for row in ASSUMPTIONS)
    assert all(row.used and row.code.label for row in ASSUMPTIONS)


def test_a_figure_is_told_as_assumed_until_its_source_is_known():
    assert NOTHING_CONFIRMED.told("straight_space_mm") == "20 mm (assumed)"
    figures = own(straight_space_mm=35)
    assert figures.told("straight_space_mm") == f"35 mm ({LETTER})"
    assert figures.told("gooseneck_space_mm") == "60 mm (assumed)"
    assert figures.filled("at least {straight_space_mm}.") == f"at least 35 mm ({LETTER})."


def test_braces_in_a_source_are_left_as_they_are():
    figures = Assumed.with_own({"shim_most_mm": (4, "letter {feet_agree_mm}")})
    assert figures.filled("{shim_most_mm}") == "4 mm (letter {feet_agree_mm})"


def test_figures_are_written_with_their_units():
    assert NOTHING_CONFIRMED.figure("rod_force_n") == "20000 N"
    assert NOTHING_CONFIRMED.figure("visit_share") == "0.5"
    assert BY_CODE["torque_again_days"].range == "1 to 90 days"


def judged(rule: str, assumed: Assumed, rod, place=None, points=None):
    """What one rule says of a rod at a place, pair by pair; the table must say the same."""
    there = make_position(1, place, {**(points or {}), "assumed": assumed})
    said = assess(rod, there)[rule]
    table = assess_table([rod], [there])
    assert table.outcome(0, 0) is assess(rod, there).outcome
    return said


def test_the_space_to_the_timbers_that_the_railway_asks_decides():
    place = {"space_ahead_mm": 30, "space_behind_mm": 30}
    rod = make_rod(form=Form.STRAIGHT)
    said = judged("timber space", NOTHING_CONFIRMED, rod, place)
    assert said.outcome is Outcome.SUITS
    assert "needs 20 mm (assumed) to the timbers" in said.reason
    said = judged("timber space", own(straight_space_mm=35), rod, place)
    assert said.outcome is Outcome.DOES_NOT_SUIT
    assert f"needs 35 mm ({LETTER}) to the timbers" in said.reason
    assert f"35 mm ({LETTER})" in said.source
    assert "60 mm (assumed)" in said.source


def test_the_thread_to_spare_that_the_railway_asks_decides():
    rod = make_rod(adjustability=Adjustability.ADJUSTABLE, length_min_mm=1316, length_max_mm=1332)
    place = {"separation": Interval(1320, 1328)}
    assert judged("length", NOTHING_CONFIRMED, rod, place).outcome is Outcome.SUITS
    said = judged("length", own(thread_margin_mm=6), rod, place)
    assert said.outcome is Outcome.SUITS_AFTER_WORK
    assert f"less than 6 mm ({LETTER}) to spare" in said.reason


@pytest.mark.parametrize(
    ("figures", "outcome", "told"),
    [
        ({}, Outcome.SUITS_AFTER_WORK, ""),
        ({"shim_most_mm": 2}, Outcome.DOES_NOT_SUIT, f"2 mm at most ({LETTER})"),
    ],
)
def test_the_shims_that_the_railway_allows_decide(figures, outcome, told):
    rod = make_rod(
        adjustability=Adjustability.FIXED,
        length_min_mm=1316,
        length_max_mm=1316,
        shim_left_mm=1,
        shim_right_mm=1,
    )
    said = judged("length", own(**figures), rod, {"separation": Interval(1320, 1328)})
    assert said.outcome is outcome
    assert told in said.remedy


def test_how_near_feet_must_be_is_the_railways_figure():
    shoe = ShoeFacts(Profile.FLAT_BOTTOM, foot_mm=140)
    rod = make_rod(left_shoe=shoe, right_shoe=shoe)
    rail = RailFacts("113A", Profile.FLAT_BOTTOM, foot_mm=141.5)
    points = {"rail": rail, "one_flat_bottom_family": False}
    said = judged("left shoe", NOTHING_CONFIRMED, rod, points=points)
    assert said.outcome is Outcome.DOES_NOT_SUIT
    assert judged("left shoe", own(feet_agree_mm=2), rod, points=points).outcome is Outcome.SUITS


def test_a_railway_that_reads_finer_is_surer_of_the_same_readings():
    least = answers(make_switch()).lies[0].least_fwc.mm
    points = make_switch(limits=SwitchLimits(least - 0.6, 102.0, 108.0, 120.0))
    assert answers(points).lies[0].sure is Sure.TOO_CLOSE
    finer = own(repeat_fwc_mm=0.2, repeat_opening_mm=0.2, repeat_fwp_mm=0.2, repeat_residual_mm=0.2)
    assert answers(replace(points, assumed=finer)).lies[0].clearance.sure is Sure.CLEAR


def test_what_is_assumed_is_told_with_its_unit():
    assert BY_CODE["straight_space_mm"].assumed == "20 mm"
    assert BY_CODE["visit_share"].assumed == "0.5"
