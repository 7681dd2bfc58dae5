"""From the register and one visit to what the open switch does between the rods."""

import json
from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.facts import Interval
from assets.engineering.lie_report import FwcVerdict
from assets.engineering.report import report
from assets.engineering.words import Lie
from assets.models import Points, Stretcher, WheelStandard
from inspections.latest.as_set import as_set_of_each
from inspections.latest.open_switch import lie_readings, place_needs, read_points
from inspections.latest.taken_with import TakenWith
from inspections.models import Limit, Reading
from inspections.recording.entries import ReadingEntry
from inspections.recording.visit import record_inspection
from inspections.verdicts.limits import limits_of_each
from tests.builders import (
    make_design,
    make_fitting,
    make_fwc_visit,
    make_points,
    make_position,
    make_stretcher,
    make_visit,
    noon,
)

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 1)
RIGHT = Lie.RIGHT_CLOSED.value
LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)
NO_INSTRUMENT = TakenWith((), NOTHING_CONFIRMED)


def limit(quantity: str, **fields):
    return Limit.objects.create(
        quantity=quantity, source="made for a test", effective_from=date(2020, 1, 1), **fields
    )


@pytest.fixture
def switch(technician):
    """The B switch with a lock stretcher and a back stretcher far from it, and the limits."""
    limit("fwc", minimum=50)
    limit("switch_opening", minimum=102, nominal=108, maximum=120)
    points = make_points("12", heel="held")
    for order, distance in ((0, 200), (1, 600), (2, 4400)):
        role = "lock" if order == 0 else "drive" if order == 1 else "back"
        position = make_position(points, order, role=role, distance_mm=distance)
        make_fitting(make_stretcher(f"ST-{order}", for_lock=order == 0), position)
    return Points.objects.with_places().get(pk=points.pk)


def visit(points, technician, fwc: dict, *, opening=108, residual=0.0, at=None, reason="routine"):
    """One visit reading both lies alike; ``fwc`` by position."""
    places = {p.order: p for p in points.positions.all()}
    readings = [ReadingEntry("track_gauge", 1435.0)]
    for lie in ("left_closed", "right_closed"):
        readings.append(ReadingEntry("switch_opening", opening, lie=lie))
        for order, value in fwc.items():
            readings.append(ReadingEntry("fwc", value, places[order], lie=lie))
            readings.append(ReadingEntry("residual_opening", residual, places[order], lie=lie))
    return record_inspection(
        points=points,
        at=at or noon(2026, 3, 1),
        by="Lineman A",
        user=technician,
        reason=reason,
        readings=readings,
        examinations=(),
    )


def needs_of(points):
    stands = as_set_of_each([points], NOTHING_CONFIRMED)
    return place_needs([points], limits_of_each([points], TODAY), stands)


def test_a_clearance_fine_at_every_rod_may_fail_between_them(switch, technician):
    visit(switch, technician, {1: 94.0, 2: 108.0})
    result = report(read_points(switch).facts)
    assert result.left_closed.verdict in (FwcVerdict.WITHIN, FwcVerdict.ALERT)
    tight = Points.objects.with_places().get(pk=switch.pk)
    visit(tight, technician, {1: 90.0, 2: 60.0}, opening=104, at=noon(2026, 6, 1))
    result = report(read_points(tight).facts)
    assert all(value >= 50 for _, value in result.left_closed.read_mm)
    assert result.left_closed.verdict == FwcVerdict.ALERT
    assert result.left_closed.least_fwc.mm < 50
    assert 600 < result.left_closed.least_fwc.at_mm < 4400


def test_the_latest_visit_with_telling_readings_is_used(switch, technician):
    visit(switch, technician, {1: 90.0, 2: 60.0}, at=noon(2026, 1, 1))
    latest = visit(switch, technician, {1: 95.0, 2: 110.0}, at=noon(2026, 4, 1))
    read = read_points(switch)
    assert read.visit == latest
    assert {r.mm for r in read.facts.left_closed.fwc} == {95.0, 110.0}


def test_a_later_visit_that_read_only_a_part_leaves_the_report_standing_and_is_said(
    switch, technician, as_technician
):
    whole = visit(switch, technician, {1: 95.0, 2: 110.0}, at=noon(2026, 4, 1))
    place = switch.positions.get(order=2)
    make_visit(switch, noon(2026, 5, 4), readings=[("fwc", place, 90.0, {"lie": "left_closed"})])
    read = read_points(switch)
    assert read.visit == whole
    assert report(read.facts).left_closed.least_fwc is not None
    sentence = "1 reading of 4 May 2026 is left out: it does not agree with these."
    assert read.left_out == (sentence,)
    assert sentence in as_technician.get(switch.get_absolute_url()).content.decode()


def test_where_no_visit_read_enough_the_latest_is_used(switch, technician):
    make_fwc_visit(switch, noon(2026, 4, 1), 90.0)
    latest = make_fwc_visit(switch, noon(2026, 5, 1), 91.0, order=2)
    read = read_points(switch)
    assert (read.visit, read.left_out) == (latest, ())


def test_a_rod_changed_after_the_readings_is_said(switch, technician):
    visit(switch, technician, {1: 95.0, 2: 110.0}, at=noon(2026, 1, 1))
    old = switch.positions.get(order=2).fittings.get()
    old.taken_out_on, old.taken_out_reason = date(2026, 2, 1), "worn"
    old.save()
    [sentence] = read_points(switch).changed_since
    assert sentence.startswith("The second stretcher was changed after")


def test_wheels_are_judged_by_the_standard_in_force(switch, technician):
    WheelStandard.objects.create(
        name="made for a test",
        back_to_back_mm=1357,
        flange_mm=22,
        front_to_front_mm=1410,
        in_force=True,
        source="made for a test",
    )
    visit(switch, technician, {1: 95.0, 2: 110.0})
    result = report(read_points(switch).facts)
    # passage = 1435 - 0 - FWC, reach = 1357 + 22: what is spare is FWC less 56
    least = result.left_closed.least_fwc
    assert result.left_closed.wheel_margin.mm == pytest.approx(least.mm - 56, abs=1e-6)
    assert "both extremes cannot meet" in result.wheel_note


def test_without_readings_it_says_what_to_measure(switch):
    result = report(read_points(switch).facts)
    assert result.advice is None
    assert any("clearance" in sentence for sentence in result.missing)


def test_without_a_design_it_asks_for_offsets(technician):
    points = make_points("13", design=None, heel="held", heel_mm=6858)
    result = report(read_points(Points.objects.with_places().get(pk=points.pk)).facts)
    assert any("head" in s or "offset" in s for s in result.missing)


def test_what_a_place_asks_of_a_rod_comes_from_the_setting_up_sheet(switch):
    needs = needs_of(switch)
    at = {p.order: needs[p.pk] for p in switch.positions.all()}
    assert at[0].travel_mm == pytest.approx(105, abs=3)
    permitted = at[0].permitted_travel  # 102 to 120 mm at the toe, nominal 108
    assert permitted.least == pytest.approx(at[0].travel_mm * 102 / 108, abs=1)
    assert permitted.most == pytest.approx(at[0].travel_mm * 120 / 108, abs=1)
    # A wider opening needs a shorter rod: 102 to 120 mm at the toe is some 18 mm at the lock.
    spread = at[0].separation.most - at[0].separation.least
    assert 15 < spread < 18


def test_without_limits_nothing_is_asked_of_a_place():
    points = make_points("14", design=make_design(), heel="held")
    make_position(points, 0)
    points = Points.objects.with_places().get(pk=points.pk)
    [needs] = needs_of(points).values()
    assert needs.separation is None
    assert needs.travel_mm is None
    assert needs.permitted_travel == Interval(None, None)


def test_the_reading_of_a_set_of_points_takes_a_fixed_number_of_queries(
    switch, technician, django_assert_max_num_queries
):
    visit(switch, technician, {1: 95.0, 2: 110.0})
    with django_assert_max_num_queries(7):
        read_points(switch)


def test_a_clearance_that_is_too_close_to_call_says_where_to_measure(
    switch, technician, as_technician
):
    visit(switch, technician, {1: 95.0, 2: 110.0})
    least = report(read_points(switch).facts).left_closed.least_fwc.mm
    day, source = date(2026, 4, 1), "made for a test"
    Limit.objects.create(quantity="fwc", minimum=least - 0.2, effective_from=day, source=source)
    response = as_technician.get(reverse("inspections:switch", args=["SKB", "12"]))
    page = " ".join(response.content.decode().split())
    assert "within, too close to call" in page
    assert "Too close to call. With left closed, free wheel clearance read at" in page


def answer(capsys, *args) -> dict:
    call_command("switch", "--points", "SKB 12", *args, "--json")
    return json.loads(capsys.readouterr().out)


def test_the_command_answers_in_json(switch, technician, capsys):
    visit(switch, technician, {1: 90.0, 2: 60.0}, opening=104)
    found = answer(capsys)
    lie = found["lies"]["left_closed"]
    assert set(lie) >= {"least_fwc_mm", "least_fwc_at_mm", "wheel_margin_mm", "verdict"}
    assert lie["verdict"] == "alert"
    assert found["rods"][1]["play_mm"] == 0
    assert found["advice"]["reached"] is True
    assert found["missing"]


def passages(points, technician, month: int, *, at_back: float, reason="routine", year=2025):
    """One visit reading the passage at the back stretcher, with what says where the rail lies."""
    places = {p.order: p for p in points.positions.all()}
    readings = []
    for lie in ("left_closed", "right_closed"):
        readings.append(ReadingEntry("switch_opening", 108.0, lie=lie))
        readings.append(ReadingEntry("fwc", 110.0, places[2], lie=lie))
        readings.append(ReadingEntry("fwp", at_back, places[2], lie=lie))
    return record_inspection(
        points=points,
        at=noon(year, month, 1),
        by="Lineman A",
        user=technician,
        reason=reason,
        readings=readings,
        examinations=(),
    )


STEP = "The second stretcher holds 3.0 mm longer since 1 July 2025 than before"


def test_what_a_rod_held_is_told_by_visit_and_a_step_without_work_is_a_thing_to_look_at(
    switch, technician, capsys
):
    for month in range(1, 7):
        passages(switch, technician, month, at_back=1325.0)
    for month in range(7, 10):
        passages(switch, technician, month, at_back=1328.0)
    found = answer(capsys)
    history = found["rods"][2]["held_mm_history"]
    assert len(history) == 9
    assert history[-1]["mm"] - history[0]["mm"] == pytest.approx(3.0, abs=0.01)
    assert history[0]["at"].startswith("2025-01-01")
    [step] = found["steps"]
    assert step.startswith(STEP)
    assert found["advice"]["measure_again"] == []
    call_command("switch", "--points", "SKB 12")
    assert f"To find out: {STEP}" in capsys.readouterr().out


def test_a_step_at_the_last_visit_turns_nothing_before_it_is_measured_again(
    switch, technician, capsys
):
    for month in range(1, 7):
        passages(switch, technician, month, at_back=1325.0)
    passages(switch, technician, 7, at_back=1328.0)
    found = answer(capsys)
    [again] = found["advice"]["measure_again"]
    assert again.startswith(STEP)
    assert again.endswith("Measure again.")
    assert found["advice"]["must"] == []


def test_a_step_after_work_is_explained(switch, technician, capsys):
    for month in range(1, 7):
        passages(switch, technician, month, at_back=1325.0)
    for month in range(7, 10):
        reason = "after_work" if month == 7 else "routine"
        passages(switch, technician, month, at_back=1328.0, reason=reason)
    assert answer(capsys)["steps"] == []


def test_the_advice_tried_as_a_change_meets_the_limit(switch, technician, capsys):
    visit(switch, technician, {1: 90.0, 2: 60.0}, opening=104)
    before = answer(capsys)
    moves = ",".join(f"{m['order']}:{m['change_mm']}" for m in before["advice"]["moves"])
    after = answer(capsys, "--whatif", moves)
    for lie in ("left_closed", "right_closed"):
        assert before["lies"][lie]["least_fwc_mm"] < 50
        assert after["lies"][lie]["least_fwc_mm"] >= 50
        assert after["lies"][lie]["verdict"] == "within"


def test_a_change_may_be_written_in_inches(switch, technician, capsys):
    visit(switch, technician, {1: 90.0, 2: 60.0}, opening=104)
    assert answer(capsys, "--whatif", "2:−1/8 in") == answer(capsys, "--whatif", "2:-3.175")


@pytest.mark.parametrize(
    ("args", "sentence"),
    [
        (["--points", "SKB 99"], "There are no points 'SKB 99'"),
        (["--points", "SKB 12", "--whatif", "two"], 'like "2:-4"'),
        (["--points", "SKB 12", "--whatif", "7:-4"], "there is no stretcher 7"),
        (["--points", "SKB 12", "--whatif", "2:4 Nm"], "2:4 Nm: .* is a torque, and a length"),
        (["--points", "SKB 12", "--whatif", "2:1 1/2"], "1 1/2 mm or as 1 1/2 in"),
        (["--points", "SKB 12", "--whatif", "2:inf"], "is not a length"),
    ],
)
def test_a_wrong_question_is_answered_with_a_sentence(switch, args, sentence):
    with pytest.raises(CommandError, match=sentence):
        call_command("switch", *args)


def test_the_gauge_of_each_lie_is_its_own_and_one_without_a_lie_serves_where_none_was_read(switch):
    readings = [("track_gauge", None, 1436.0), ("track_gauge", None, 1438.0, {"lie": RIGHT})]
    make_visit(switch, noon(2026, 3, 1), readings=readings)
    both = list(Reading.objects.select_related("position"))
    left, right = (lie_readings(both, lie, NO_INSTRUMENT) for lie in LIES)
    assert ([one.mm for one in left.gauge], left.gauge_of_either) == ([1436.0], True)
    assert ([one.mm for one in right.gauge], right.gauge_of_either) == ([1438.0], False)


def test_the_gap_on_the_closed_side_is_read_for_the_arithmetic(switch, technician):
    back = switch.positions.get(order=2)
    gap = ("closed_gap", back, 84.0, {"lie": RIGHT})
    made = visit(switch, technician, {1: 95.0, 2: 110.0})
    make_visit(switch, noon(2026, 4, 1), readings=[gap])
    assert read_points(switch).visit == made
    gaps = Reading.objects.filter(quantity="closed_gap").select_related("position")
    [read] = lie_readings(gaps, Lie.RIGHT_CLOSED, NO_INSTRUMENT).closed_gap
    assert (read.mm, read.order) == (84.0, 2)


def switch_page(client, query: str = "") -> str:
    response = client.get(reverse("inspections:switch", args=["SKB", "12"]) + query)
    return " ".join(response.content.decode().split())


def test_the_page_says_that_nothing_on_it_is_a_measurement_and_draws_the_band(
    switch, technician, as_technician
):
    visit(switch, technician, {1: 95.0, 2: 110.0})
    page = switch_page(as_technician)
    assert "No figure on this page is a measurement" in page
    assert page.count('class="band"') == 4  # along the whole and where it is least, on each lie
    assert "within, clear" in page
    spread = report(read_points(switch).facts).left_closed.how_sure.spread_mm
    assert f"± {spread:.1f} mm" in page


def test_must_comes_with_its_range_and_may_only_when_asked(switch, technician, as_technician):
    Stretcher.objects.update(form="straight")
    visit(switch, technician, {1: 90.0, 2: 60.0}, opening=104)
    page = switch_page(as_technician)
    assert "Must be adjusted" in page
    assert "ease the switch rail" not in page
    visit(switch, technician, {1: 95.0, 2: 110.0}, at=noon(2026, 4, 1), reason="after_work")
    page = switch_page(as_technician)
    assert "Nothing has to be adjusted" in page
    assert "Must be adjusted" not in page
    assert 'href="?may=1#advice"' in page
    asked = switch_page(as_technician, "?may=1")
    assert 'href="?may=1#advice"' not in asked


def test_readings_from_before_work_advise_nothing_but_to_measure_again(
    switch, technician, as_technician, capsys
):
    visit(switch, technician, {1: 90.0, 2: 60.0}, opening=104)
    old = switch.positions.get(order=2).fittings.get()
    old.taken_out_on, old.taken_out_reason = date(2026, 4, 1), "worn"
    old.save()
    make_fitting(make_stretcher("ST-9"), old.position, fitted_on=date(2026, 4, 1))
    page = switch_page(as_technician)
    assert "Measure again before adjusting anything." in page
    assert "Must be adjusted" not in page
    assert "within, clear" not in page
    found = answer(capsys)
    assert found["advice"]["must"] == found["advice"]["moves"] == []
    assert found["advice"]["measure_again"] == found["changed_since"] != []


def test_what_each_stretcher_held_is_drawn_with_the_step_that_no_work_explains(
    switch, technician, as_technician
):
    for month in range(1, 7):
        passages(switch, technician, month, at_back=1325.0)
    for month in range(7, 10):
        passages(switch, technician, month, at_back=1328.0)
    page = switch_page(as_technician)
    assert STEP in page
    assert "+3.0 mm, no work" in page
    assert "3.0 mm longer between 1 Jun 2025 and 1 Jul 2025, with no work recorded." in page
    passages(switch, technician, 10, at_back=1328.0, reason="after_work")
    later = switch_page(as_technician)
    assert STEP not in later  # whoever worked there set the stretchers anew
    assert "Work recorded: 1 Mar 2025, 1 Oct 2025." in later
    assert ">work</text>" in later


def test_slack_that_could_not_have_shown_is_said_for_each_stretcher(
    switch, technician, as_technician
):
    passages(switch, technician, 3, at_back=1325.0)
    page = switch_page(as_technician)
    assert "Slack of any size at the second stretcher could not have shown in these" in page


@pytest.mark.parametrize("layout", ["single_slip", "double_slip"])
def test_a_slip_is_refused_with_a_sentence(switch, technician, as_technician, capsys, layout):
    visit(switch, technician, {1: 95.0, 2: 110.0})
    Points.objects.update(layout=layout)
    sentence = "Cannot say: stretchers that carry four rails are not calculated."
    page = switch_page(as_technician)
    assert sentence in page
    assert "within" not in page.split("<main")[1].split("Adjustment")[0]
    found = answer(capsys)
    assert sentence in found["missing"]
    assert found["advice"] is None
    assert found["lies"]["left_closed"]["verdict"] == "cannot_say"


def test_the_command_keeps_its_contract(switch, technician, capsys):
    visit(switch, technician, {1: 95.0, 2: 110.0})
    day, source = date(2026, 4, 1), "made for a test"
    least = report(read_points(switch).facts).left_closed.least_fwc.mm
    Limit.objects.create(quantity="fwc", minimum=least - 0.2, effective_from=day, source=source)
    found = answer(capsys)
    for lie in found["lies"].values():
        assert lie["sure"] in ("clear", "too close to call")
        assert lie["least_sigma_mm"] > 0
        assert lie["least_fwc_range_mm"] == [lie["least_fwc_mm"]] * 2
    advice = found["advice"]
    assert {"must", "may", "moves", "reached"} <= set(advice)
    assert all({"change_mm", "turns", "flats"} <= set(move) for move in advice["must"])
    assert set(found["measure_next"]) == {"at_mm", "lie", "why"}
    for rod in found["rods"]:
        assert {"held_mm_history", "slack_not_seen_mm"} <= set(rod)
    tried = answer(capsys, "--whatif", "2:-4")
    for lie in tried["lies"].values():
        least, most = lie["least_fwc_range_mm"]
        assert least == lie["least_fwc_mm"] <= most


def test_the_page_keeps_to_its_budget_of_queries(
    switch, technician, as_technician, django_assert_max_num_queries
):
    for month in range(1, 7):
        passages(switch, technician, month, at_back=1325.0)
    switch_page(as_technician)
    with django_assert_max_num_queries(18):
        switch_page(as_technician)
