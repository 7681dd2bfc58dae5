"""Who mends what was found: the routing table as delivered, and what happens outside it."""

import json
from datetime import date

import pytest

from defects import checks, proposals
from defects.models import Route
from defects.moves.raising import found_by_hand
from defects.routing import routing
from defects.routing.routing import found_of
from defects.words import Check
from inspections.verdicts.stored import finding_of
from tests.builders import (
    make_defect,
    make_examination,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    set_limit,
)

pytestmark = pytest.mark.django_db

S, P = "signalling", "permanent_way"


@pytest.mark.parametrize(
    ("found", "mends", "works_with", "checks_it", "remedy"),
    [
        ("kicker_clearance.below", P, "", S, "Do not bend the kicker"),
        ("kicker_clearance.above", S, "", S, "Shim or re-drill the shoe"),
        ("fwc.below", S, "", S, "check the gooseneck and shoes for cracks"),
        ("fwc.below.gauge_out", P, S, S, "Correct the gauge first"),
        ("switch_opening.below", S, "", S, "Adjust the drive"),
        ("switch_opening.above", S, "", S, "Adjust the drive"),
        ("residual_opening.above", S, P, S, "creep and the slide chairs"),
        ("item.gooseneck_crack", S, "", S, "Take out of use and replace"),
        ("item.shoe_crack", S, "", S, "Take out of use and replace"),
        ("item.weld", S, "", S, "Take out of use and replace"),
        ("item.timber_fouling", P, "", S, "do not cut it"),
        ("item.ballast", P, "", S, "Dig out"),
        ("track_gauge.above", P, "", P, ""),
        ("item.switch_creep", P, S, P, ""),
        ("item.rail_damage", P, "", P, ""),
        ("insulation_resistance.below", S, "", S, ""),
        ("lock_go.below", S, "", S, "Secure out of use at once"),
        ("detect_go.below", S, "", S, "Adjust the detector"),
        ("detect_no_go.above", S, "", S, "Secure out of use at once"),
        ("lock_no_go.above", S, "", S, "Secure out of use at once"),
    ],
)
def test_the_delivered_table_routes_as_the_trade_does(found, mends, works_with, checks_it, remedy):
    """Common practice, no source."""
    route = Route.objects.get(**found_of(found).columns)
    assert (route.mends, route.works_with, route.checks) == (mends, works_with, checks_it)
    assert remedy in route.remedy


@pytest.mark.parametrize(
    "found",
    ["lock_go.below", "lock_no_go.above", "detect_no_go.above", "item.gooseneck_crack"],
)
def test_what_cannot_wait_is_at_once(found):
    assert Route.objects.get(**found_of(found).columns).urgency == "at_once"


def test_detection_that_does_not_make_is_unreliable_and_not_unsafe():
    """Common practice, no source: the points cannot be proved, so nothing runs over them."""
    assert Route.objects.get(**found_of("detect_go.below").columns).urgency == "urgent"


@pytest.mark.parametrize(
    "found", ["torque.below", "item.fixings", "item.lock_nuts", "item.captive_nut"]
)
def test_a_loose_or_broken_fixing_needs_its_cause(found):
    assert Route.objects.get(**found_of(found).columns).needs_cause


def test_everything_that_can_be_found_has_a_row():
    assert checks.every_finding_is_routed(None) == []
    assert {route.found for route in Route.objects.all()} == set(routing.all_found())


@pytest.mark.parametrize(
    ("spoil", "number"),
    [
        (lambda rows: rows.pop(0), "defects.E002"),
        (lambda rows: rows[0].update(found="fwc.sideways"), "defects.E003"),
        (lambda rows: rows.append(rows[0]), "defects.E004"),
        (lambda rows: rows[0].update(mends="nobody"), "defects.E005"),
        (lambda rows: rows[0].pop("found"), "defects.E001"),
    ],
)
def test_a_spoilt_table_is_told_at_the_start(tmp_path, monkeypatch, spoil, number):
    rows = json.loads(routing.DELIVERED.read_text(encoding="utf-8"))
    spoil(rows)
    spoilt = tmp_path / "routes.json"
    spoilt.write_text(json.dumps(rows), encoding="utf-8")
    monkeypatch.setattr(routing, "DELIVERED", spoilt)
    assert number in {error.id for error in checks.every_finding_is_routed(None)}


def test_what_the_railway_changed_is_not_delivered_over(capsys):
    Route.objects.filter(**found_of("item.ballast").columns).update(mends=S)
    Route.objects.filter(**found_of("item.weld").columns).delete()
    routing.deliver()
    assert Route.objects.get(**found_of("item.ballast").columns).mends == S
    assert Route.objects.filter(**found_of("item.weld").columns).exists()


def test_the_delivered_table_is_delivered_once():
    for _ in range(2):
        routing.deliver()
    assert Route.objects.count() == len(routing.all_found())


@pytest.fixture
def visit(db):
    points = make_points("12")
    make_position(points, 1)
    return make_inspection(points)


def test_a_reading_is_below_or_above_by_the_limit_that_judged_it(visit):
    set_limit("kicker_clearance", 3, 6)
    place = visit.points.positions.get()
    for value, found in ((2, "kicker_clearance.below"), (7, "kicker_clearance.above")):
        reading = make_reading(visit, place, value, quantity="kicker_clearance", side="left")
        assert routing.code_of(finding_of(reading).found) == found


def test_low_clearance_with_the_gauge_out_is_the_permanent_ways_first(visit):
    set_limit("track_gauge", 1430, 1437)
    low = make_reading(visit, visit.points.positions.get(), 46)
    assert proposals._gauge_is_out(visit) is False
    make_reading(visit, None, 1440, quantity="track_gauge")
    assert proposals._gauge_is_out(visit) is True
    assert routing.routing_of(finding_of(low, gauge_out=False)).mends == S
    assert routing.routing_of(finding_of(low, gauge_out=True)).mends == P


def test_without_the_row_for_the_gauge_the_plain_row_is_taken(visit):
    Route.objects.filter(**found_of("fwc.below.gauge_out").columns).delete()
    low = make_reading(visit, visit.points.positions.get(), 46)
    assert routing.routing_of(finding_of(low, gauge_out=True)).row.found == found_of("fwc.below")


def test_without_any_row_it_goes_to_signalling_and_says_so(visit):
    Route.objects.filter(**found_of("item.ballast").columns).delete()
    found = routing.routing_of(finding_of(make_examination(visit, item="ballast")))
    assert found.mends == S
    assert 'No routing row was found for "item.ballast"' in found.note


@pytest.mark.parametrize(
    ("level", "urgency", "due"), [("immediate", "at_once", 1), ("intervention", "urgent", 8)]
)
def test_immediate_action_is_at_once_whatever_the_table_says(visit, level, urgency, due):
    """Immediate action is a level of EN 13848-5; that it is due the same day is common practice,
    no source."""
    set_limit("track_gauge", 1430, 1470, level=level)
    reading = make_reading(visit, None, 1480, quantity="track_gauge")
    assert routing.routing_of(finding_of(reading)).row.urgency == "urgent"
    [proposal] = proposals.proposals_for(visit)
    assert proposal.urgency == urgency
    assert make_defect(reading=reading).due_on == date(2025, 6, due)


def test_register_checks_are_routed():
    found = found_by_hand(make_points("12"), routing.found_by_check(Check.TOO_FEW_RODS))
    assert routing.routing_of(found).urgency == "at_once"


def test_a_routing_row_keeps_its_history(as_engineer):
    as_engineer.post(
        "/routing/item.ballast/",
        {"title": "Ballast", "mends": S, "works_with": "", "checks": S, "remedy": "Dig.",
         "urgency": "urgent", "source": "own practice"},
    )  # fmt: skip
    route = Route.objects.get(**found_of("item.ballast").columns)
    assert route.mends == S
    assert route.history.first().history_user.username == "engineer"
    assert route.history.first().prev_record.mends == P
