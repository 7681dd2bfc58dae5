"""The gauge last read and the openings measured decide what a place asks of a stretcher."""

from datetime import date

import pytest

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.facts import Interval, PositionFacts
from assets.engineering.suitability import Outcome, assess
from assets.models import Points
from config.points.reader import facts_of
from inspections.latest.as_set import as_set_of_each
from inspections.latest.open_switch import place_needs
from inspections.verdicts.limits import limits_of_each
from tests.assets.engineering.rods import make_lock
from tests.builders import (
    make_fitting,
    make_points,
    make_position,
    make_stretcher,
    make_visit,
    noon,
    set_limit,
)

pytestmark = pytest.mark.django_db
TODAY = date(2026, 12, 1)
READ = noon(2026, 11, 5)


@pytest.fixture
def switch(technician):
    """The B switch, gauge 1435 mm as recorded, with three places and the usual limits."""
    set_limit("fwc", minimum=50)
    set_limit("switch_opening", minimum=102, nominal=108, maximum=120)
    points = make_points("12", heel="held", gauge_mm=1435)
    for order, distance in ((0, 200), (1, 600), (2, 4400)):
        role = ("lock", "drive", "back")[order]
        make_position(points, order, role=role, distance_mm=distance)
    return Points.objects.with_places().get(pk=points.pk)


def needs(points):
    stands = as_set_of_each([points], NOTHING_CONFIRMED)
    needs = place_needs([points], limits_of_each([points], TODAY), stands)
    return {p.order: needs[p.pk] for p in points.positions.all()}


def test_the_gauge_read_at_the_place_is_used_and_named_with_its_day(switch):
    """Was the gauge of 1435 mm that is recorded: a stretcher 29.8 mm too long that fits."""
    recorded = needs(switch)[1]
    assert recorded.separation_from == "gauge 1435 mm as recorded"
    make_visit(switch, READ, readings=[("track_gauge", None, 1472, {"at_mm": 600})])
    read = needs(switch)[1]
    assert read.separation_from == "gauge 1472 mm read here on 5 Nov 2026"
    assert read.separation.least == pytest.approx(recorded.separation.least + 37)
    assert read.separation.most == pytest.approx(recorded.separation.most + 37)


def test_elsewhere_the_nearest_gauge_read_is_used(switch):
    readings = [
        ("track_gauge", None, 1440),
        ("track_gauge", None, 1438, {"at_mm": 4000}),
    ]
    make_visit(switch, READ, readings=readings)
    found = needs(switch)
    assert found[1].separation_from == "gauge 1440 mm read 600 mm from here on 5 Nov 2026"
    assert found[2].separation_from == "gauge 1438 mm read 400 mm from here on 5 Nov 2026"


def test_the_later_of_two_readings_at_a_place_counts(switch):
    for day, value in ((3, 1436), (5, 1439), (4, 1437)):
        reading = ("track_gauge", None, value, {"at_mm": 600 + day})
        make_visit(switch, noon(2026, 11, day), readings=[reading])
    assert needs(switch)[1].separation_from == "gauge 1439 mm read here on 5 Nov 2026"


def test_without_any_gauge_no_separation_is_asked(switch):
    switch.gauge_mm = None
    found = needs(switch)[1]
    assert found.separation is None
    assert found.separation_from == ""


def opened(points, left, right):
    readings = [("switch_opening", None, left, {"lie": "left_closed"})]
    if right is not None:
        readings.append(("switch_opening", None, right, {"lie": "right_closed"}))
    make_visit(points, READ, readings=readings)
    return needs(points)[0]


def test_the_opening_measured_on_each_lie_gives_the_movement_at_the_lock(switch):
    found = opened(switch, 108, 120)
    assert found.measured_travel.least == pytest.approx(found.travel_mm)
    assert found.measured_travel.most == pytest.approx(found.permitted_travel.most)
    assert found.measured_travel_from == (
        "opening 108 mm with left closed on 5 Nov 2026, 120 mm with right closed on 5 Nov 2026"
    )
    assert needs(switch)[1].measured_travel is None  # no lock acts there


def test_an_opening_on_one_lie_only_says_nothing_of_the_other(switch):
    assert opened(switch, 108, None).measured_travel is None


def test_an_opening_outside_the_limits_is_no_measure_for_notches(switch):
    found = opened(switch, 108, 121)
    assert found.measured_travel is None
    assert "121 mm with right closed" in found.measured_travel_from


def test_an_opening_read_before_a_part_was_fitted_is_no_measure_for_notches(switch):
    """Was a "suits" on a reading that the plan shows grey: the points may be set otherwise now."""
    place = switch.positions.get(order=1)
    make_fitting(make_stretcher(), place, fitted_on=date(2026, 11, 6), found_fitted=False)
    fitted = Points.objects.with_places().get(pk=switch.pk)
    assert opened(fitted, 108, 120).measured_travel is None
    again = noon(2026, 11, 6)
    both = [("switch_opening", None, 108, {"lie": lie}) for lie in ("left_closed", "right_closed")]
    make_visit(fitted, again, readings=both)
    assert needs(fitted)[0].measured_travel is not None


def test_notches_for_the_opening_that_is_set_suit(switch):
    """Was "does not suit": 112 mm against the nominal opening of 108."""
    opened(switch, 112, 112)
    [facts] = facts_of([switch], TODAY)
    moves = facts.place(0).measured_travel
    assert moves == Interval(moves.least, moves.least)
    lock = make_lock(notch_distance_mm=moves.least)
    answer = assess(lock, PositionFacts(facts, 0))["lock notches"]
    assert answer.outcome is Outcome.SUITS
    assert "112 mm with left closed on 5 Nov 2026" in answer.reason


def test_the_answer_on_length_names_the_gauge_and_its_day(switch):
    make_visit(switch, READ, readings=[("track_gauge", None, 1472, {"at_mm": 600})])
    [facts] = facts_of([switch], TODAY)
    answer = assess(make_lock(), PositionFacts(facts, 1))["length"]
    assert "(gauge 1472 mm read here on 5 Nov 2026)" in answer.reason
