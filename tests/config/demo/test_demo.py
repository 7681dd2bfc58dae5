"""The demo railway: what it holds to be worth looking at; and it spares other registers."""

import itertools
from datetime import timedelta

import pytest
from django.contrib.auth import get_user_model
from django.utils import timezone

from assets.engineering.open_switch import OpenSwitch
from assets.engineering.separation import separation_mm
from assets.engineering.shape import expected_gap, head_width
from assets.engineering.words import Generation, Lie, MachineKind
from assets.models import Fitting, Location, Machine, Points, Position, Stretcher
from assets.switch_facts import shape_of
from config import demo
from config.demo import files
from config.demo.switches import Set
from config.suiting import suits
from defects import proposals
from defects.models import Defect, Event
from defects.words import Move, State
from inspections.models import Examination, Instrument, Reading
from inspections.upcoming.due import due_list
from tests import builders

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("demo_railway")]


def points_with_key(key: str) -> Points:
    return Points.objects.with_places().by_key(key)


def as_set(key: str, round_number: int = 7) -> Set:
    return Set(points_with_key(key), files.read("visits")["set"][key], round_number)


def least_fwc(key: str) -> float:
    """Least free wheel clearance (mm) anywhere along the points as they are set."""
    setting = as_set(key)
    return float(OpenSwitch(setting.shape, setting.blade).fwc_mm.min())


def test_it_has_the_layouts_rails_and_drives_of_a_mixed_railway():
    assert Points.objects.count() == 15
    assert set(Points.objects.values_list("layout", flat=True)) == {
        "turnout",
        "single_slip",
        "trap",
        "catch",
    }
    rails = set(Points.objects.values_list("rail_section__code", flat=True))
    assert rails == {"95RBH", "85RBH", "113A", "60E1"}
    kinds = set(Machine.objects.fitted().values_list("kind", flat=True))
    assert kinds == set(MachineKind) - {MachineKind.UNKNOWN}


def test_stretchers_of_every_generation_are_fitted_and_spare():
    assert Stretcher.objects.fitted().count() == 46
    spares = Stretcher.objects.spare()
    assert spares.count() == 21
    assert set(spares.values_list("generation", flat=True)) == set(Generation)


def test_skb_12_is_a_facing_bullhead_set_with_a_lock_and_an_empty_second_place():
    points = points_with_key("SKB 12")
    assert (points.use, points.track_circuited, points.rail_section.profile) == (
        "facing",
        True,
        "bullhead",
    )
    fitted = {
        position.order: [f.part.tag for f in position.current_fittings if f.stretcher_id]
        for position in points.positions.all()
    }
    assert fitted == {0: ["ST-001"], 1: ["ST-002"], 2: [], 3: ["ST-003"]}


def test_what_suits_skb_12_second_position_is_a_ranked_answer_with_every_outcome():
    offers = suits.spares_for(Position.objects.at(points_with_key("SKB 12"), 2))
    outcomes = [offer.assessment.outcome.value for offer in offers]
    assert (offers[0].part.tag, outcomes[0]) == ("ST-014", "suits")
    assert outcomes.count("suits_after_work") >= 3
    assert outcomes.count("cannot_say") >= 2
    assert outcomes.count("does_not_suit") >= 5


def test_readings_of_both_lies_tell_the_same_separation():
    """S = G + w - r - FWC must agree between the lies within what reading allows."""
    told = {}
    fwc = Reading.objects.standing().filter(quantity="fwc", position__isnull=False)
    points = {p.pk: p for p in Points.objects.with_places().prefetch_related("offsets")}
    shapes = {pk: shape_of(p).shape for pk, p in points.items()}
    closed = {
        (r.inspection_id, r.position_id, r.lie): r.value
        for r in Reading.objects.filter(quantity__in=["residual_opening", "closed_gap"])
    }
    gauges = {
        (r.inspection_id, r.lie): r.value for r in Reading.objects.filter(quantity="track_gauge")
    }
    for reading in fwc.select_related("inspection", "position"):
        place = (reading.inspection_id, reading.position_id)
        shape, at = shapes[reading.inspection.points_id], reading.position.distance_mm
        off = closed.get((*place, reading.lie))
        gauge = gauges.get((reading.inspection_id, reading.lie))
        if off is not None and gauge is not None:
            told.setdefault(place, {})[reading.lie] = separation_mm(
                gauge, float(head_width(shape, at)), off - expected_gap(shape, at), reading.value
            )
    both = [lies for lies in told.values() if len(lies) == 2]
    assert len(both) > 250  # a pair for each rod of each routine visit
    assert all(abs(lies[Lie.LEFT_CLOSED] - lies[Lie.RIGHT_CLOSED]) <= 2 for lies in both)


@pytest.mark.parametrize(("key", "least"), [("SKB 12", 57.4), ("SKB 15", 65.0)])
def test_the_usual_opening_leaves_what_the_beam_says(key, least):
    """A and B switches opened 108 mm at the toe alone: least 65.0 and 57.4 mm, worked out by two
    independent routes."""
    assert least_fwc(key) == pytest.approx(least, abs=0.2)


def test_one_set_of_points_is_well_at_every_rod_and_low_between_them():
    at_rods = [
        reading.value
        for reading in Reading.objects.filter(quantity="fwc", inspection__points__number="5")
        if str(reading.inspection.points) == "TRN 5"
    ]
    assert min(at_rods) > 70
    assert 45 < least_fwc("TRN 5") < 50


def test_one_clearance_falls_by_a_millimetre_a_visit_towards_fifty():
    points = points_with_key("QRY 1")
    values = [
        reading.value
        for reading in Reading.objects.filter(
            quantity="fwc", inspection__points=points, position__order=2, lie="left_closed"
        ).in_time()
    ]
    assert (values[0], values[-1], len(values)) == (59.5, 51.5, 8)
    steps = [before - after for before, after in itertools.pairwise(values)]
    assert all(0 <= step <= 2 for step in steps)


def test_defects_are_in_every_state_and_some_cross_the_departments():
    assert set(Defect.objects.values_list("state", flat=True)) == set(State)
    crossing = [d for d in Defect.objects.all() if d.crosses_departments]
    assert len(crossing) >= 5
    assert Event.objects.filter(move=Move.HAND_OVER).exists()
    assert Event.objects.filter(move=Move.RETURN).exists()


def test_the_low_kicker_went_to_the_permanent_way_was_measured_again_closed_and_came_back():
    first, again = Defect.objects.filter(
        points__location__code="SKB", points__number="14"
    ).order_by("number")
    assert [(e.move, e.by, e.owner) for e in first.events.in_time()] == [
        ("raise", "Lineman A", "permanent_way"),
        ("accept", "Ganger B", "permanent_way"),
        ("work_done", "Ganger B", "signalling"),
        ("close", "Lineman A", "signalling"),
    ]
    assert first.events.get(move="close").reading.value == 4
    assert again.repeat_of == first
    assert (first.urgency, again.urgency) == ("urgent", "at_once")


def test_two_visits_found_what_nobody_has_raised():
    unhandled = [*proposals.unhandled(Reading), *proposals.unhandled(Examination)]
    assert sorted(str(finding.inspection.points) for finding in unhandled) == ["SKB 16", "WHN 4"]


def test_an_instrument_is_past_its_check_and_its_readings_say_so():
    tester = Instrument.objects.get(tag="IT-1")
    assert tester.past_check(timezone.localdate())
    assert tester.readings.filter(instrument_past_check=True).exists()
    assert tester.readings.filter(instrument_past_check=False).exists()


def test_some_inspections_are_overdue_and_some_come_up():
    rows = due_list(timezone.localdate(), within_days=21)
    assert {str(row.points) for row in rows if row.is_overdue} == {"QRY 1", "QRY 4"}
    assert any(not row.is_overdue for row in rows)


def test_every_part_was_found_at_the_survey_or_fitted_for_a_reason():
    assert not Fitting.objects.filter(found_fitted=False, fitted_reason="").exists()
    oldest = Fitting.objects.order_by("fitted_on").first()
    assert timezone.localdate() - oldest.fitted_on == timedelta(days=748)


def test_the_record_names_people_by_their_post():
    names = set(Event.objects.values_list("by", flat=True))
    assert names == {"Lineman A", "Ganger B", "Engineer C"}


def test_loading_again_changes_nothing():
    before = (Reading.objects.count(), Event.objects.count(), Stretcher.history.count())
    loaded = demo.load()
    assert (loaded.new, loaded.points, loaded.stretchers) == (False, 15, 67)
    after = (Reading.objects.count(), Event.objects.count(), Stretcher.history.count())
    assert before == after


def test_a_register_with_a_location_of_its_own_is_left_alone():
    builders.make_location("OWN", name="A real place")
    with pytest.raises(demo.OtherRailwayError):
        demo.load()


def test_every_opening_of_the_demo_is_read_the_same_each_time_it_is_built():
    first, second = as_set("SKB 12"), as_set("SKB 12")
    assert first.lies == second.lies
    assert Location.objects.count() == 4


def test_the_accounts_hold_one_post_each():
    posts = {
        user.username: [group.name for group in user.groups.all()]
        for user in get_user_model().objects.prefetch_related("groups")
    }
    assert posts == {
        "technician": ["signalling"],
        "ganger": ["permanent way"],
        "engineer": ["responsible engineer"],
        "viewer": ["viewer"],
    }
