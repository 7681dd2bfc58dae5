"""All the answers about one set of points, from its facts and readings."""

import json
from dataclasses import replace

import pytest

from assets.engineering.switch_inputs import LieReadings, Read, SwitchLimits
from assets.engineering.two_rails.advice import Advice
from assets.engineering.two_rails.answers import answers
from assets.engineering.two_rails.certainty import Sure
from assets.engineering.words import Adjustability, Heel, Lie
from tests.assets.engineering.switches import (
    back_forced,
    clearances,
    make_lie,
    make_rods,
    make_switch,
)


def tight(margin_mm: float) -> SwitchLimits:
    """A limit that the healthy switch keeps by so much."""
    least = answers(make_switch()).lies[0].least_fwc.mm
    return SwitchLimits(least - margin_mm, 102.0, 108.0, 120.0)


def test_healthy_points_are_clear_on_both_lies_and_nothing_must_be_turned():
    found = answers(make_switch())
    assert [one.sure for one in found.lies] == [Sure.CLEAR, Sure.CLEAR]
    assert all(one.clearance.clearly_within and one.at_toe.clearly_within for one in found.lies)
    assert found.advice == Advice()
    assert found.measure_next is None
    assert found.missing == ()


def test_a_clearance_near_its_limit_is_too_close_to_call_and_says_where_to_measure():
    found = answers(make_switch(limits=tight(0.4)))
    assert found.lies[0].clearance.within
    assert found.lies[0].sure == Sure.TOO_CLOSE
    assert found.measure_next.sigma_then_mm < found.measure_next.sigma_now_mm
    assert found.advice.must is not None


def test_points_that_are_out_get_turns_that_bring_every_case_within():
    found = answers(make_switch(back_forced(2.0)))
    assert not found.lies[0].clearance.within
    must = found.advice.must
    assert must.reached
    assert must.moves
    for end in must.ends:
        assert end.least_fwc_mm.least >= 50
        assert 102 <= end.opening_mm.least <= end.opening_mm.most <= 120


def test_readings_that_disagree_turn_nothing():
    lie = make_lie(back_forced(2.0), fwp=(Read(1390.0, 2),))
    found = answers(make_switch(left_closed=lie, right_closed=lie))
    assert found.advice.must is None
    assert "measure again" in found.advice.measure_again[0]
    assert "2800 mm" in found.lies[0].doubt


def test_play_turns_nothing():
    other = [mm + off for mm, off in zip(back_forced(2.0), [0, 0, 0, 6], strict=True)]
    found = answers(make_switch(back_forced(2.0), other))
    assert [one.order for one in found.play if one.shown] == [3]
    assert found.advice.must is None
    assert found.advice.measure_again[0].endswith("Measure again.")


def test_a_step_without_work_turns_nothing():
    step = "The back stretcher holds 2.0 mm longer since 4 May 2026: measure again."
    found = answers(make_switch(back_forced(2.0)), doubts=[step])
    assert found.advice == Advice(measure_again=(step,))


def test_what_is_lacking_is_said_for_the_lie_that_lacks_it():
    found = answers(make_switch(right_closed=LieReadings()))
    assert [one.lie for one in found.lies] == [Lie.LEFT_CLOSED]
    assert found.advice is None
    assert found.missing[0].startswith("With right closed: measure")


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"shape": None}, "the shape of the switch is not known"),
        ({"heel": Heel.UNKNOWN}, "held or pivoted"),
        ({"stiffness_n_mm2": None}, "what a gooseneck gives"),
        ({"limits": SwitchLimits()}, "minimum free wheel clearance"),
    ],
)
def test_a_fact_that_advice_needs_is_asked_for(facts, said):
    found = answers(make_switch(back_forced(2.0), **facts))
    assert found.advice is None
    assert any(said in sentence.lower() for sentence in found.missing)


def test_without_goosenecks_the_stiffness_of_the_rail_is_not_needed_for_turns():
    points = make_switch(back_forced(2.0), stiffness_n_mm2=None)
    straight = tuple(replace(rod, gooseneck=False) for rod in points.rods)
    must = answers(replace(points, rods=straight)).advice.must
    assert must.reached
    assert must.ends[0].force_most_n is None


def test_the_dictionary_is_json_and_has_its_keys():
    told = json.loads(json.dumps(answers(make_switch(back_forced(2.0))).as_dict()))
    assert set(told) == {"lies", "rods", "measure_next", "advice"}
    lie = told["lies"]["left_closed"]
    assert set(lie) == {"least_sigma_mm", "sure", "least_fwc_range_mm"}
    assert lie["sure"] in ("clear", "too close to call")
    assert set(told["rods"]["0"]) == {"held_mm", "held_sigma_mm", "slack_not_seen_mm"}
    assert all(
        {"order", "change_mm", "turns", "flats"} <= set(move) for move in told["advice"]["must"]
    )


def test_healthy_points_that_force_a_rod_may_be_eased_where_asked():
    forced = [mm + off for mm, off in zip(clearances(), [0, 5, 0, 0], strict=True)]
    points = make_switch(forced)
    assert answers(points).advice == Advice()
    may = answers(points, ask_may=True).advice.may
    assert [move.order for move in may.moves] == [1]
    assert may.moves[0].change_mm > 0


def test_opening_too_wide_lengthens_the_lock_stretcher():
    must = answers(make_switch(clearances(opening_mm=123.0))).advice.must
    assert {move.order: move.change_mm for move in must.moves}[0] > 0
    assert all(end.opening_mm.most <= 120 for end in must.ends)


def test_moves_come_in_the_order_in_which_rods_are_set():
    must = answers(make_switch(back_forced(-2.0, 97.0))).advice.must
    orders = [move.order for move in must.moves]
    assert orders == [order for order in (0, 3, 1, 2) if order in orders]
    assert len(orders) >= 2


def altered(**facts):
    """The advice for points that are out, whose rods have these facts."""
    rods = tuple(replace(rod, **facts) for rod in make_rods())
    return answers(make_switch(back_forced(-2.0), rods=rods)).advice.must


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"adjustability": Adjustability.UNKNOWN}, "third stretcher, which is not known to be"),
        ({"adjustability": Adjustability.FIXED}, "the third stretcher, whose shims are not known"),
    ],
)
def test_rods_that_cannot_be_altered_are_named_as_what_is_in_the_way(facts, said):
    must = altered(**facts)
    assert not must.reached
    assert must.moves == ()
    assert said in must.reason


def test_the_nearest_is_given_where_shims_do_not_suffice():
    must = altered(adjustability=Adjustability.FIXED, shims_mm=2.0)
    assert not must.reached
    assert all(-2 <= move.change_mm <= 10 for move in must.moves)
    assert "which cannot be shortened any further" in must.reason
    assert "The nearest: " in must.text


def test_the_end_of_the_thread_is_reached_in_whole_flats():
    """1.5 mm are left either way; a flat is 0.667 mm, so two of them may be turned."""
    points = make_switch(back_forced(-2.0))
    holds = answers(points).held
    rods = tuple(
        replace(rod, length_min_mm=holds[at][1].mm - 1.5, length_max_mm=holds[at][1].mm + 1.5)
        for at, rod in enumerate(points.rods)
    )
    must = answers(replace(points, rods=rods)).advice.must
    assert not must.reached
    assert min(move.change_mm for move in must.moves) == pytest.approx(-2 * 4 / 6)


def test_no_rod_is_asked_for_more_than_it_is_given():
    """110 mm behind the blade would need 30 kN at the back rod of a 113A switch."""
    limits = SwitchLimits(110.0, 90.0, 92.0, 112.0)
    must = answers(make_switch(limits=limits)).advice.must
    assert all(end.force_most_n < 20_001 for end in must.ends) or not must.reached


def test_a_rod_whose_thread_cannot_be_is_asked_about():
    rods = tuple(replace(rod, thread_pitch_mm=0.0) for rod in make_rods())
    found = answers(make_switch(back_forced(-2.0), rods=rods))
    assert found.advice is None
    assert any("thread pitch" in sentence for sentence in found.missing)
