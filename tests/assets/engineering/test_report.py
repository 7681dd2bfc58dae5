import json
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval
from assets.engineering.lie_report import FwcVerdict, LieReport
from assets.engineering.open_switch import Least
from assets.engineering.report import report, setting_up_sheet, what_if
from assets.engineering.shape import expected_gap
from assets.engineering.switch_inputs import LieReadings, Read, SwitchFacts, SwitchLimits
from assets.engineering.two_rails.certainty import Sure
from assets.engineering.wheels import Wheels
from assets.engineering.words import Adjustability, Heel, Lie

from .switches import (
    PLACES,
    STIFFNESS,
    back_forced,
    clearances,
    make_lie,
    make_rod,
    make_rods,
    make_shape,
    make_switch,
)


def numbers(thing):
    """Every number anywhere in a report as plain lists and dicts."""
    if isinstance(thing, dict):
        return [n for value in thing.values() for n in numbers(value)]
    if isinstance(thing, list | tuple):
        return [n for value in thing for n in numbers(value)]
    return [thing] if isinstance(thing, int | float) else []


def test_points_well_set_up_are_within_with_nothing_to_alter_and_nothing_missing():
    found = report(make_switch())
    for lie in found.lies:
        assert lie.verdict == FwcVerdict.WITHIN
        assert lie.least_fwc.mm == pytest.approx(57.4, abs=0.2)
        assert lie.least_fwc.at_mm == pytest.approx(2235, abs=1)
        assert lie.opening_mm == pytest.approx(108)
        assert lie.disagreements == ()
    assert found.advice.text == "Nothing to adjust."
    assert found.missing == ()


def test_clearance_fine_at_every_rod_but_not_between_is_an_alert_with_its_place():
    fwc = back_forced(3.0)
    assert min(fwc) > 50
    found = report(make_switch(fwc, clearances()))
    assert found.left_closed.verdict == FwcVerdict.ALERT
    assert found.left_closed.least_fwc.mm < 50
    assert found.left_closed.least_fwc.at_mm == pytest.approx(2235, abs=1)
    assert found.right_closed.verdict == FwcVerdict.WITHIN


def test_reading_under_the_limit_is_out_whatever_the_curve_says():
    assert report(make_switch([104, 80, 49.5, 111])).left_closed.verdict == FwcVerdict.OUT


def test_reading_under_the_limit_is_out_even_where_the_rest_cannot_be_worked_out():
    points = make_switch(left_closed=make_lie([None, None, 49.0, None]))
    assert report(points).left_closed.verdict == FwcVerdict.OUT


def test_reading_under_the_limit_is_out_where_the_place_of_its_rod_is_not_known():
    rods = list(make_rods())
    rods[1] = make_rod(1, distance_mm=None)
    points = make_switch([104, 45.0, 65, 111], rods=tuple(rods))
    assert report(points).left_closed.verdict == FwcVerdict.OUT


def test_clearance_exactly_at_the_limit_is_within():
    least = report(make_switch()).left_closed.least_fwc.mm
    points = make_switch(limits=SwitchLimits(least, 102, 108, 120))
    assert report(points).left_closed.verdict == FwcVerdict.WITHIN


def test_no_limit_gives_no_verdict():
    found = report(make_switch(limits=SwitchLimits()))
    assert found.left_closed.verdict == FwcVerdict.NO_LIMIT
    assert found.advice is None
    assert "The railway's minimum free wheel clearance is not known." in found.missing
    assert (
        "The railway's limits for switch opening are not known: none is applied." in found.missing
    )


def test_profile_is_ready_to_be_drawn():
    lie = report(make_switch()).left_closed
    assert len(lie.x_mm) == len(lie.fwc_mm) > 100
    assert lie.x_mm[0] == 0
    assert lie.x_mm[-1] == 6858
    assert set(PLACES) <= set(lie.x_mm)
    assert min(lie.fwc_mm) == pytest.approx(lie.least_fwc.mm, abs=0.01)
    assert lie.read_mm == tuple(zip(PLACES, clearances(), strict=True))


def test_wheels_have_their_margin_from_gauge_residual_and_clearance():
    """Gauge 1432, no residual opening, least FWC 57.4, least wheelset 1357 + 26."""
    lie = report(make_switch()).left_closed
    assert lie.wheel_margin.mm == pytest.approx(1357 + 26 - (1432 - lie.least_fwc.mm), abs=0.01)
    assert lie.wheels_touch is False


def test_wide_gauge_makes_wheels_touch():
    wide = make_lie(gauge=(Read(1442.0, 0), Read(1442.0, 3)))
    lie = report(make_switch(left_closed=wide)).left_closed
    assert lie.wheel_margin.mm == pytest.approx(-1.6, abs=0.1)
    assert lie.wheels_touch is True
    assert lie.verdict == FwcVerdict.WHEELS_TOUCH  # the clearance alone is judged by its limit


def test_worst_wheelset_that_cannot_be_is_said():
    found = report(make_switch(wheels=Wheels(1357, 22, 1410)))
    assert "both extremes cannot meet" in found.wheel_note


def test_wheels_are_not_judged_where_a_fact_is_missing():
    no_residual = make_lie(residual=())
    found = report(make_switch(left_closed=no_residual))
    assert found.left_closed.wheel_margin is None
    assert found.left_closed.wheels_touch is None
    assert (
        "With left closed: measure the residual opening of the closed switch rail at each "
        "stretcher over the planing." in found.missing
    )
    no_gauge = make_lie(gauge=())
    found = report(make_switch(left_closed=no_gauge, gauge_mm=None))
    assert found.left_closed.wheel_margin is None
    assert "With left closed: measure the track gauge." in found.missing
    found = report(make_switch(wheels=None))
    assert found.left_closed.wheel_margin is None
    assert "The railway's minimum back-to-back and flange thickness are not known." in found.missing


STANDS_OFF = [expected_gap(make_shape(), x) for x in PLACES]  # the closed rail, by nature


@pytest.mark.parametrize("read_as", ["residual", "closed_gap"])
def test_the_gap_that_is_there_by_nature_behind_the_planing_does_not_raise_the_wheel_margin(
    read_as,
):
    """Read honestly as residual openings of 18.5 and 97.8 mm they raised it from 8.4 to 20.4 mm."""
    at_home = tuple(Read(0.0, order) for order in (0, 1))
    behind = tuple(Read(round(STANDS_OFF[order], 1), order) for order in (2, 3))
    if read_as == "residual":
        lie = make_lie(residual=(*at_home, *behind), closed_gap=())
    else:
        lie = make_lie(residual=at_home, closed_gap=behind)
    bare = report(make_switch(left_closed=make_lie(residual=at_home, closed_gap=())))
    found = report(make_switch(left_closed=lie))
    assert [round(gap, 1) for gap in STANDS_OFF] == [0.0, 0.0, 18.5, 97.8]
    assert found.left_closed.wheel_margin.mm == pytest.approx(
        bare.left_closed.wheel_margin.mm, abs=0.1
    )
    assert found.missing == ()


def test_a_closed_rail_off_its_home_behind_the_planing_is_told_by_its_gap():
    """Every rod holds the same on both lies, though the right rail stands off by 4 mm there."""
    at_home = tuple(Read(0.0, order) for order in (0, 1))
    off = tuple(Read(STANDS_OFF[order] + 4.0, order) for order in (2, 3))
    found = report(make_switch(right_closed=make_lie(residual=at_home, closed_gap=off)))
    assert [rod.play_mm for rod in found.rods] == pytest.approx([0, 0, 4, 4], abs=1e-9)


@pytest.mark.parametrize("odd", [0.0, 3.0, 30.0])
def test_an_old_residual_opening_behind_the_planing_that_is_no_gap_is_left_out_and_said(odd):
    readings = (Read(0.0, 0), Read(0.0, 1), Read(18.5, 2), Read(odd, 3))
    found = report(make_switch(left_closed=make_lie(residual=readings, closed_gap=())))
    assert found.left_closed.wheel_margin.mm == pytest.approx(8.4, abs=0.1)
    said = (
        f"With left closed: the residual opening of {odd:g} mm at 4800 mm from the toe is left out:"
        " behind the planing there is a gap by the shape of the switch, here 97.8 mm. Measure the"
        " gap on the closed side there."
    )
    assert found.missing == (said,)


def test_a_gauge_read_without_its_lie_serves_both_and_is_asked_again():
    lie = make_lie(gauge_of_either=True)
    found = report(make_switch(left_closed=lie, right_closed=lie))
    assert found.left_closed.wheel_margin is not None
    assert (
        "With right closed: measure the track gauge again: it was read without saying on which "
        "lie, and the same reading serves both." in found.missing
    )


def test_recorded_gauge_is_used_and_said_where_none_was_read():
    found = report(make_switch(left_closed=make_lie(gauge=())))
    assert found.left_closed.wheel_margin is not None
    assert "With left closed: measure the track gauge (1432 mm recorded is used)." in found.missing


def test_each_rod_holds_the_same_separation_on_both_lies():
    for rod in report(make_switch()).rods:
        assert rod.play_mm == pytest.approx(0, abs=1e-9)
        assert rod.finding == ""
    assert report(make_switch()).rods[3].separation_mm == pytest.approx(
        1432 + 69.85 - clearances()[3]
    )


def test_play_shows_at_the_rod_that_has_it():
    found = report(make_switch(clearances({2: 3.0}), clearances({2: -3.0})))
    assert [rod.play_mm > 3 for rod in found.rods] == [False, False, True, False]
    assert "play in its joints" in found.rods[2].finding


def test_separation_of_a_rod_not_read_is_not_made_up():
    fwc = clearances()
    found = report(make_switch([fwc[0], None, fwc[2], fwc[3]]))
    assert found.rods[1].separation_mm is None
    assert found.rods[2].separation_mm is not None
    assert (
        "With left closed: measure free wheel clearance at the first stretcher; until then it is "
        "taken as holding the switch rail where it would lie anyway." in found.missing
    )
    assert found.left_closed.verdict == FwcVerdict.WITHIN


def test_lie_without_readings_cannot_say_and_the_other_still_can():
    found = report(make_switch(left_closed=LieReadings()))
    assert found.left_closed.verdict == FwcVerdict.CANNOT_SAY
    assert found.left_closed.x_mm == ()
    assert found.right_closed.verdict == FwcVerdict.WITHIN
    assert found.advice is None
    assert "With left closed: measure free wheel clearance at the third stretcher." in found.missing


@pytest.mark.parametrize(
    ("facts", "says"),
    [
        ({"shape": None}, "The shape of the switch is not known: find its design"),
        ({"shape": None, "shape_missing": "the switch radius is not known"}, "The switch radius"),
        ({"heel": Heel.UNKNOWN}, "Check whether the heel of the switch rail is held or pivoted."),
        ({"rods": ()}, "No stretcher is recorded"),
        ({"rods": (make_rod(0), make_rod(1, distance_mm=200))}, "is not beyond the lock"),
    ],
)
def test_points_that_lack_a_fact_say_it_once_and_judge_nothing(facts, says):
    found = report(make_switch(**facts))
    assert [lie.verdict for lie in found.lies] == [FwcVerdict.CANNOT_SAY] * 2
    assert sum(says in text for text in found.missing) == 1
    assert found.advice is None


def test_passages_are_checked_even_where_the_shape_is_not_known():
    lie = make_lie(fwp=(Read(1432 - clearances()[1] + 5, 1),))
    found = report(make_switch(shape=None, left_closed=lie))
    assert "likely a misreading" in found.left_closed.disagreements[0]


def test_reading_that_cannot_be_is_said_and_the_other_lie_still_judged():
    found = report(make_switch(left_closed=make_lie(opening_mm=-4.0)))
    assert found.left_closed.verdict == FwcVerdict.CANNOT_SAY
    assert any("the switch opening must be at least 0, not -4" in text for text in found.missing)
    assert found.right_closed.verdict == FwcVerdict.WITHIN


def test_forces_come_from_the_stiffness_and_are_lacking_without_it():
    """Held 8 mm too far open, the second stretcher pulls by kilonewtons, its neighbours push."""
    forces = dict(report(make_switch(clearances({2: 8.0}))).left_closed.rod_forces_n)
    assert forces[2].least == forces[2].most > 2000
    assert forces[1].most < 0
    found = report(make_switch(stiffness_n_mm2=None))
    assert found.left_closed.rod_forces_n == ()
    assert any("lateral stiffness of the rail is not known" in text for text in found.missing)


def test_forces_are_a_range_from_the_bounds_of_a_bullhead_rail():
    points = make_switch(clearances({2: 8.0}), stiffness_n_mm2=Interval(1.8e11, 3.9e11))
    force = dict(report(points).left_closed.rod_forces_n)[2]
    assert force.most / force.least == pytest.approx(3.9 / 1.8)


def test_what_is_not_known_of_a_rod_is_asked_for_where_it_is_to_be_altered():
    rods = list(make_rods())
    rods[1] = make_rod(1, adjustability=Adjustability.UNKNOWN)
    rods[2] = make_rod(2, adjustability=Adjustability.FIXED)
    rods[3] = make_rod(3, thread_pitch_mm=None)
    found = report(make_switch(back_forced(3.0), rods=tuple(rods)))
    assert "Check whether the first stretcher is fixed or adjustable." in found.missing
    assert "Check what shims the second stretcher has." in found.missing
    assert "Measure how much one turn of the nut changes the third stretcher." in found.missing
    well = report(make_switch(rods=tuple(rods)))
    assert well.missing == ()


def test_advice_is_bounded_by_the_separation_that_the_rod_holds_now():
    held = report(make_switch(back_forced(0.0))).rods[3].separation_mm
    rods = list(make_rods())
    rods[3] = make_rod(3, length_min_mm=held - 1.0, length_max_mm=held + 30.0)
    found = report(make_switch(back_forced(0.0), rods=tuple(rods)))
    moved = {move.order: move.change_mm for move in found.advice.must.moves}
    assert moved.get(3, 0.0) >= -1.0


def test_rod_shortened_opens_the_switch_there_on_both_lies():
    points = make_switch(back_forced(6.0))
    before, found = report(points), what_if(points, {2: -4.0})
    for old, new in zip(before.lies, found.lies, strict=True):
        at = old.x_mm.index(PLACES[2])
        assert 1.0 < new.fwc_mm[at] - old.fwc_mm[at] < 4.0  # the closed rail takes the rest
        assert new.least_fwc.mm > old.least_fwc.mm
    assert before.left_closed.verdict == FwcVerdict.ALERT
    assert found.left_closed.verdict == FwcVerdict.WITHIN
    change = found.rods[2].separation_mm - before.rods[2].separation_mm
    assert change == pytest.approx(-4.0)


def test_readings_that_no_longer_hold_are_left_out_of_what_if():
    points = make_switch([104, 80, 49.0, 111])
    assert report(points).left_closed.verdict == FwcVerdict.OUT
    found = what_if(points, {2: -12.0})
    assert found.left_closed.read_mm == ()
    assert found.left_closed.verdict == FwcVerdict.WITHIN


def test_advice_tried_as_a_change_comes_to_what_it_promised():
    points = make_switch(back_forced(1.0))
    must = report(points).advice.must
    followed = what_if(points, {move.order: move.change_mm for move in must.moves})
    assert followed.advice is None  # the readings no longer hold
    for lie, end in zip(followed.lies, must.ends, strict=True):
        assert lie.least_fwc.mm == pytest.approx(end.least_fwc.mm)
        assert lie.least_fwc.mm > 50


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({7: 1.0}, "there is no stretcher 7 on these points; its stretchers are: 0, 1, 2, 3"),
        ({1: float("nan")}, "the change of the first stretcher is not a number"),
    ],
)
def test_change_that_cannot_be_made_is_refused(changes, says):
    with pytest.raises(CannotSay, match=says):
        what_if(make_switch(), changes)


def test_change_of_a_rod_whose_place_is_not_known_is_refused():
    rods = list(make_rods())
    rods[1] = make_rod(1, distance_mm=None)
    points = make_switch(rods=tuple(rods))
    with pytest.raises(CannotSay, match="distance of the first stretcher from the toe"):
        what_if(points, {1: 2.0})
    assert any("it is left out" in text for text in report(points).missing)
    assert what_if(points, {2: -4.0}).left_closed.least_fwc.mm > 57


def test_setting_up_sheet_takes_the_gauge_as_read():
    wide = make_lie(gauge=(Read(1440.0, 0),))
    sheets = [
        setting_up_sheet(make_switch(left_closed=lie, right_closed=lie))
        for lie in (
            make_lie(),
            wide,
        )
    ]
    wider = sheets[1].steps[0].separation_mm - sheets[0].steps[0].separation_mm
    assert wider == pytest.approx(8.0)


def test_setting_up_sheet_says_what_it_lacks():
    with pytest.raises(CannotSay, match="held or pivoted"):
        setting_up_sheet(make_switch(heel=Heel.UNKNOWN))


def test_points_set_up_to_the_sheet_are_within_with_nothing_to_alter():
    steps = sorted(setting_up_sheet(make_switch()).steps, key=lambda step: step.order)
    found = report(make_switch([step.opening_mm for step in steps]))
    assert found.left_closed.verdict == FwcVerdict.WITHIN
    assert found.advice.must is None
    for step, rod in zip(steps, found.rods, strict=True):
        assert rod.separation_mm == pytest.approx(step.separation_mm)


def test_plain_form_is_what_a_command_prints():
    plain = report(make_switch(back_forced(3.0))).as_dict()
    text = json.dumps(plain, allow_nan=False)
    assert set(plain) == {"lies", "rods", "advice", "measure_next", "missing"}
    assert set(plain["lies"]) == {Lie.LEFT_CLOSED.value, Lie.RIGHT_CLOSED.value}
    left = plain["lies"]["left_closed"]
    assert {"least_fwc_mm", "least_fwc_at_mm", "wheel_margin_mm", "verdict"} <= set(left)
    assert left["verdict"] == "alert"
    assert left["least_fwc_at_mm"] == pytest.approx(2235.2, abs=0.1)
    assert plain["advice"]["moves"][0]["flats"] != 0
    assert plain["rods"][2]["play_mm"] == 0
    assert "-0.0," not in text


def test_nothing_known_is_still_a_report():
    found = report(SwitchFacts())
    assert [lie.verdict for lie in found.lies] == [FwcVerdict.NO_LIMIT] * 2
    assert found.missing
    assert json.dumps(found.as_dict(), allow_nan=False)


MAYBE_FWC = st.one_of(st.none(), st.floats(-5, 160), st.just(float("nan")))


@settings(max_examples=80)
@given(
    st.lists(MAYBE_FWC, min_size=4, max_size=4),
    st.one_of(st.none(), st.floats(-5, 160)),
    st.sampled_from([Heel.HELD, Heel.PIVOTED, Heel.UNKNOWN]),
    st.sampled_from([STIFFNESS, None]),
    st.sampled_from([None, 1432.0]),
)
def test_whatever_was_read_there_is_a_report_without_a_figure_that_is_none(
    fwc, opening, heel, stiffness, gauge
):
    lie = make_lie(fwc, opening_mm=opening, gauge=())
    points = make_switch(left_closed=lie, heel=heel, stiffness_n_mm2=stiffness, gauge_mm=gauge)
    found = report(points)
    assert all(math.isfinite(n) for n in numbers(found.as_dict()))
    for report_of_lie in found.lies:
        known = report_of_lie.least_fwc is not None
        assert known == bool(report_of_lie.x_mm)
        assert known or found.missing


def test_loose_heel_is_a_pivot():
    held, pivoted = (report(make_switch(heel=heel)) for heel in (Heel.HELD, Heel.PIVOTED))
    assert held.left_closed.fwc_mm != pivoted.left_closed.fwc_mm


def test_facts_of_points_stay_comparable():
    assert make_switch() == make_switch()
    assert replace(make_switch(), gauge_mm=1.0) != make_switch()


def test_setting_up_sheet_has_no_separation_where_no_gauge_is_known():
    lie = make_lie(gauge=())
    sheet = setting_up_sheet(make_switch(left_closed=lie, right_closed=lie, gauge_mm=None))
    assert [step.separation_mm for step in sheet.steps] == [None] * 4
    assert sheet.opening_mm == pytest.approx(108.0)


def test_what_if_leaves_a_lie_that_was_not_read_as_it_is():
    found = what_if(make_switch(right_closed=LieReadings()), {2: -4.0})
    assert found.right_closed.verdict == FwcVerdict.CANNOT_SAY
    assert found.right_closed.x_mm == ()
    assert found.left_closed.least_fwc.mm > 57
    assert found.advice is None


def test_a_reading_that_equals_the_limit_is_not_under_it():
    fwc = clearances({2: -14.3})
    points = make_switch(fwc, limits=SwitchLimits(min(fwc), 102, 108, 120))
    assert report(points).left_closed.verdict != FwcVerdict.OUT
    under = make_switch(fwc, limits=SwitchLimits(min(fwc) + 1e-9, 102, 108, 120))
    assert report(under).left_closed.verdict == FwcVerdict.OUT


def test_a_least_clearance_that_comes_to_the_limit_to_the_last_digit_is_within():
    least = round(report(make_switch()).left_closed.least_fwc.mm, 6)
    points = make_switch(limits=SwitchLimits(least, 102, 108, 120))
    assert report(points).left_closed.verdict == FwcVerdict.WITHIN


@pytest.mark.parametrize(("spare", "touch"), [(0.0, False), (0.5, False), (-0.1, True)])
def test_wheels_touch_where_less_than_nothing_is_spare(spare, touch):
    lie = LieReport(Lie.LEFT_CLOSED, FwcVerdict.WITHIN, wheel_margin=Least(spare, 1200.0))
    assert lie.wheels_touch is touch


@pytest.mark.parametrize(
    "limits", [SwitchLimits(50.0, None, 108.0, 120.0), SwitchLimits(50.0, 102.0, 108.0, None)]
)
def test_one_limit_of_opening_alone_is_said_to_be_half_of_them(limits):
    found = report(make_switch(limits=limits))
    assert any("limits for switch opening are not known" in text for text in found.missing)


def test_what_is_not_known_of_a_rod_is_asked_for_where_altering_it_will_do():
    rods = list(make_rods())
    rods[2] = make_rod(2, thread_pitch_mm=None)
    found = report(make_switch(back_forced(3.0), rods=tuple(rods)))
    assert found.advice.must.reached
    assert found.missing == ("Measure how much one turn of the nut changes the second stretcher.",)


def test_a_fixed_rod_has_no_thread_to_be_asked_for():
    rods = list(make_rods())
    fixed = {"adjustability": Adjustability.FIXED, "shims_mm": 9.0, "thread_pitch_mm": None}
    rods[2] = make_rod(2, **fixed)
    assert report(make_switch(clearances({2: -8.0}), rods=tuple(rods))).missing == ()


def test_one_lie_that_lacks_readings_is_all_that_is_said_to_be_lacking():
    found = report(make_switch(right_closed=LieReadings()))
    assert found.advice is None
    assert all(text.startswith("With right closed: ") for text in found.missing)


def test_moves_are_written_with_turns_where_the_thread_is_known():
    turned = report(make_switch(back_forced(1.0))).as_dict()["advice"]["must"][0]
    rods = list(make_rods())
    rods[turned["order"]] = make_rod(turned["order"], thread_pitch_mm=None)
    must = report(make_switch(back_forced(1.0), rods=tuple(rods))).as_dict()["advice"]["must"]
    plain = next(move for move in must if move["order"] == turned["order"])
    assert turned["change_mm"] == pytest.approx(turned["flats"] * 4 / 6, abs=1e-3)
    assert turned["turns"] == pytest.approx(turned["flats"] / 6, abs=1e-3)
    assert (plain["turns"], plain["flats"]) == (None, None)


def test_a_clearance_within_where_wheels_touch_is_not_called_within():
    lie = make_lie(gauge=(Read(1450.0, 0),))
    found = report(make_switch(left_closed=lie, right_closed=lie)).left_closed
    assert found.wheel_margin.mm < 0
    assert found.verdict == FwcVerdict.WHEELS_TOUCH
    assert found.words == "clearance within, but wheels touch"
    assert found.level == FwcVerdict.OUT


def test_a_clearance_that_is_too_close_to_call_says_so_and_where_to_measure():
    least = report(make_switch()).left_closed.least_fwc.mm
    found = report(make_switch(limits=SwitchLimits(least - 0.3, 102, 108, 120)))
    lie = found.left_closed
    assert lie.words == "within, too close to call"
    assert lie.level == FwcVerdict.ALERT
    assert found.as_dict()["lies"]["left_closed"]["sure"] == "too close to call"
    assert found.as_dict()["measure_next"]["why"].startswith("With left closed, free wheel")
    well = report(make_switch()).left_closed
    assert (well.words, well.level) == ("within, clear", FwcVerdict.WITHIN)


def test_rods_that_carry_four_rails_are_not_calculated():
    found = report(make_switch(four_rails=True))
    assert "Cannot say: stretchers that carry four rails are not calculated." in found.missing
    assert found.advice is None
    assert all(lie.least_fwc is None and lie.rod_forces_n == () for lie in found.lies)
    assert [lie.verdict for lie in found.lies] == [FwcVerdict.CANNOT_SAY] * 2
    with pytest.raises(CannotSay, match="stretchers that carry four rails are not calculated"):
        setting_up_sheet(make_switch(four_rails=True))
    with pytest.raises(CannotSay, match="stretchers that carry four rails are not calculated"):
        what_if(make_switch(four_rails=True), {1: 2.0})


def test_a_reading_under_the_limit_stays_out_where_four_rails_are_carried():
    lie = make_lie([41.0, 90.0, 70.0, 70.0])
    found = report(make_switch(four_rails=True, left_closed=lie)).left_closed
    assert found.verdict == FwcVerdict.OUT


def test_the_band_holds_the_clearance_and_is_as_wide_as_it_is_unsure():
    lie = report(make_switch()).left_closed
    sure = lie.how_sure
    assert all(
        low <= mm <= high
        for low, mm, high in zip(sure.low_mm, lie.fwc_mm, sure.high_mm, strict=True)
    )
    at = lie.x_mm.index(min(lie.x_mm, key=lambda x: abs(x - lie.least_fwc.at_mm)))
    width = sure.high_mm[at] - sure.low_mm[at]
    assert width == pytest.approx(2 * 1.645 * sure.least_sigma_mm, rel=0.02)


def test_readings_that_disagree_are_never_called_clear():
    lie = make_lie(opening_mm=118.0)
    found = report(make_switch(left_closed=lie)).left_closed
    assert found.doubted
    assert found.words.endswith("; the readings disagree")
    assert found.level != FwcVerdict.WITHIN


def test_a_trial_gives_a_range_where_studs_and_goosenecks_are_not_known():
    unknown = make_switch(studs_mm=None)
    tried = what_if(unknown, {3: 6.0}).left_closed
    least, most = tried.least_fwc_range_mm
    assert least < most
    assert tried.least_fwc.mm == least
    assert tried.as_dict()["least_fwc_range_mm"] == [round(least, 3), round(most, 3)]
    as_read = report(unknown).left_closed
    assert as_read.least_fwc_range_mm == (as_read.least_fwc.mm, as_read.least_fwc.mm)
    assert any("studs behind the planing" in way for way in map(str.lower, report(unknown).ways))


def test_each_lie_of_the_dictionary_has_its_keys_also_where_nothing_can_be_said():
    keys = {"least_fwc_mm", "least_fwc_range_mm", "least_sigma_mm", "sure"}
    for found in (report(make_switch()), what_if(make_switch(), {1: 1.0}), report(SwitchFacts())):
        for lie in found.as_dict()["lies"].values():
            assert keys <= set(lie)
    assert report(SwitchFacts()).as_dict()["lies"]["left_closed"]["sure"] is None


def test_what_if_says_why_it_cannot_where_nothing_is_read():
    points = make_switch(left_closed=LieReadings(), right_closed=LieReadings())
    with pytest.raises(CannotSay, match="With left closed: "):
        what_if(points, {2: -4.0})


def test_what_is_not_known_of_studs_and_goosenecks_is_said_and_what_is_known_is_not():
    unknown = make_switch(studs_mm=None, rods=tuple(make_rod(n) for n in range(4)))
    said = report(unknown).ways
    assert said[0].startswith("Studs behind the planing are not recorded")
    assert "The second stretcher may be a gooseneck: rigid, and giving way." in said
    rods = tuple(make_rod(n, gooseneck=False) for n in range(4))
    assert report(make_switch(studs_mm=(), rods=rods)).ways == ()


def test_the_opening_has_a_verdict_of_its_own_with_how_sure_it_is():
    lie = report(make_switch()).left_closed
    assert lie.opening_words == "within limits, clear"
    tight = SwitchLimits(50.0, lie.opening_mm + 1.5, None, 120.0)
    assert report(make_switch(limits=tight)).left_closed.opening_words == "out of limits, clear"
    assert report(make_switch(limits=SwitchLimits(50.0))).left_closed.opening_words == ""


def test_the_least_clearance_is_told_with_how_far_off_it_may_be():
    sure = report(make_switch()).left_closed.how_sure
    assert sure.spread_mm == pytest.approx(1.645 * sure.least_sigma_mm)


def test_a_figure_that_is_printed_too_near_its_limit_is_never_called_clear():
    """Whatever all readings together come to: the sentence shows this figure with its spread."""
    fwc = clearances()
    passage = tuple(Read(1432.0 - mm - 1.4, order) for order, mm in enumerate(fwc))
    lie = make_lie(fwc, fwp=passage)  # the passages put the rail further open than it was read
    seen = set()
    for above in (0.2, 0.5, 0.8, 1.5, 4.0):
        least = report(make_switch(left_closed=lie)).left_closed.least_fwc.mm
        limits = SwitchLimits(least - above, 102.0, 108.0, 120.0)
        told = report(make_switch(left_closed=lie, limits=limits)).left_closed
        assert told.verdict == FwcVerdict.WITHIN
        assert told.sure == Sure.TOO_CLOSE or above >= told.how_sure.spread_mm
        seen.add(told.sure)
    assert seen == {Sure.TOO_CLOSE, Sure.CLEAR}
