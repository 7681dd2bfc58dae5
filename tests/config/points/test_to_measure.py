"""What the arithmetic finds is kept for lists, goes stale by itself, and nothing stale is shown."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from assets.models import Points, Position, Stretcher, WheelStandard
from config.points import to_measure
from config.points.list_page import marks_of
from config.today.register_check import check_register
from defects.models import Defect
from inspections.models import LeastClearance, Outlook, ToMeasure
from inspections.models.calculated import calculate_again
from inspections.recording.entries import ReadingEntry
from inspections.recording.visit import record_inspection
from tests import pages
from tests.builders import (
    make_fitting,
    make_points,
    make_position,
    make_rail,
    make_stretcher,
    noon,
    set_limit,
)

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 1)


def make_switch(number="12"):
    """The B switch, the back stretcher far from the first."""
    points = make_points(number, heel="held", rail_section=make_rail("95RBH", "bullhead"))
    for order, distance in ((0, 200), (1, 600), (2, 4400)):
        role = "lock" if order == 0 else "drive" if order == 1 else "back"
        place = make_position(points, order, role=role, distance_mm=distance)
        rod = make_stretcher(f"ST-{number}-{order}", for_lock=order == 0, form="straight")
        make_fitting(rod, place)
    return points


def read(points, fwc: dict, *, opening: float, at=None):
    places = {p.order: p for p in points.positions.all()}
    readings = [ReadingEntry("track_gauge", 1435.0)]
    for lie in ("left_closed", "right_closed"):
        readings.append(ReadingEntry("switch_opening", opening, lie=lie))
        readings += [ReadingEntry("fwc", mm, places[n], lie=lie) for n, mm in fwc.items()]
    return record_inspection(
        points=points,
        at=at or noon(2026, 3, 1),
        by="Lineman A",
        user=None,
        reason="routine",
        readings=readings,
        examinations=(),
    )


@pytest.fixture
def limits(db):
    set_limit("fwc", 50)
    set_limit("switch_opening", 102)


@pytest.fixture
def tight(limits):
    """Points within limits where they were read, and not between the stretchers."""
    points = make_switch()
    read(points, {1: 90.0, 2: 60.0}, opening=104)
    return points


def found(points=None) -> list[str]:
    rows = ToMeasure.objects.standing(TODAY)
    return [row.found for row in (rows.filter(points=points) if points else rows)]


def test_a_clearance_below_its_limit_between_the_stretchers_is_something_to_measure(tight):
    assert found() == []  # not calculated yet
    assert to_measure.keep_up(TODAY) == 0
    first, *others = ToMeasure.objects.standing(TODAY)
    assert first.found == "between"
    assert first.sentence.startswith("With left closed, measure ")
    assert "the limit is 50 mm" in first.sentence
    assert first.others == len(others)
    assert all(other.others is None for other in others)
    assert not Defect.objects.exists()


def test_healthy_points_have_nothing_to_measure(limits):
    points = make_switch()
    read(points, {1: 95.0, 2: 110.0}, opening=108)
    to_measure.keep_up(TODAY)
    assert found(points) == []
    assert [row.lie for row in points.least_clearances.all()] == ["left_closed", "right_closed"]
    assert all(row.mm > 60 and row.sigma_mm > 0 for row in points.least_clearances.all())


def test_a_reading_near_the_limit_is_too_close_to_call(limits):
    points = make_switch()
    read(points, {1: 95.0, 2: 110.0}, opening=108)
    to_measure.keep_up(TODAY)
    least = min(row.mm for row in points.least_clearances.all())
    set_limit("fwc", round(least - 0.3, 1), effective_from=date(2026, 5, 1))
    assert found(points) == []  # stale: nothing is said
    to_measure.keep_up(TODAY)
    assert set(found(points)) == {"too_close"}


def test_what_changed_makes_it_stale_and_nothing_stale_is_shown(tight):
    def is_stale_after(change) -> bool:
        to_measure.keep_up(TODAY)
        assert found()
        change()
        stale = Outlook.objects.to_calculate(TODAY).exists()
        assert bool(found()) is not stale
        return stale

    place = tight.positions.get(order=2)
    assert is_stale_after(lambda: read(tight, {1: 90.0, 2: 60.0}, opening=104, at=noon(2026, 4, 1)))
    assert is_stale_after(lambda: Position.objects.filter(pk=place.pk).update(driven=True))
    assert is_stale_after(lambda: Points.objects.update(gauge_mm=1440))
    assert is_stale_after(lambda: Stretcher.objects.update(form="straight", thread_pitch_mm=4))
    assert is_stale_after(lambda: type(tight.design).objects.update(head_mm=69))
    assert is_stale_after(lambda: set_limit("fwc", 51, effective_from=date(2026, 5, 1)))
    assert is_stale_after(calculate_again)
    standard = {"back_to_back_mm": 1357, "flange_mm": 22, "in_force": True, "source": "a test"}
    assert is_stale_after(lambda: WheelStandard.objects.create(name="a", **standard))


def test_what_only_the_arithmetic_looks_at_leaves_trends_and_what_is_owed(tight):
    Outlook.objects.update(followed=7, owed_followed=7, changes=7)
    Position.objects.filter(order=2).update(driven=True)
    row = Outlook.objects.get()
    assert (row.changes, row.followed, row.owed_followed) == (8, 8, 8)
    assert row.calculated != row.changes


def test_a_limit_of_a_later_day_ends_what_was_calculated(tight):
    set_limit("fwc", 20, effective_from=TODAY + timedelta(days=10))
    to_measure.keep_up(TODAY)
    later = TODAY + timedelta(days=10)
    assert ToMeasure.objects.standing(TODAY).exists()
    assert not ToMeasure.objects.standing(later).exists()
    to_measure.keep_up(later)
    assert {one.found for one in ToMeasure.objects.standing(later)}.isdisjoint({"between"})


def test_readings_from_before_work_find_nothing(tight):
    place = tight.positions.get(order=2)
    old = place.fittings.get()
    old.taken_out_on, old.taken_out_reason = date(2026, 4, 1), "worn"
    old.save()
    make_fitting(make_stretcher("ST-9", form="straight"), place, fitted_on=date(2026, 4, 1))
    to_measure.keep_up(TODAY)
    assert (found(), list(LeastClearance.objects.all())) == ([], [])


def test_too_many_are_calculated_a_part_at_a_time_and_the_rest_is_told(limits):
    for number in ("12", "13", "14"):
        read(make_switch(number), {1: 90.0, 2: 60.0}, opening=104)
    assert [to_measure.keep_up(TODAY, most=2) for _ in range(3)] == [1, 0, 0]


def test_nothing_changed_costs_one_query(tight, django_assert_num_queries):
    to_measure.keep_up(TODAY)
    with django_assert_num_queries(1):
        assert to_measure.keep_up(TODAY) == 0


def test_home_names_the_gravest_at_each_set_of_points(tight, as_technician):
    page = pages.shown(as_technician.get("/"))
    assert "To measure, according to the calculation" in page
    assert "none of these is a defect until a reading says so" in page
    assert "below the limit between the stretchers" in page
    assert page.count("SKB 12") >= 1
    more = ToMeasure.objects.get(others__isnull=False).more
    assert more in page


def test_home_says_how_many_are_not_calculated_yet(tight, as_technician, monkeypatch):
    monkeypatch.setattr(to_measure, "_calculate", lambda rows, at: None)
    page = pages.shown(as_technician.get("/"))
    assert "The switch of 1 more set of points will be calculated" in page
    assert "finds nothing to measure" not in page


def test_a_list_says_it_in_a_word_or_that_it_is_not_calculated_yet(tight, monkeypatch):
    [mark] = [m for m in marks_of([tight.pk])[tight.pk] if m.words.startswith("to measure")]
    assert mark.words.startswith("to measure: below the limit between the stretchers")
    assert mark.kind == "alert"
    Points.objects.update(gauge_mm=1440)
    monkeypatch.setattr(to_measure, "_calculate", lambda rows, at: None)
    words = [m.words for m in marks_of([tight.pk])[tight.pk]]
    assert "switch not calculated yet" in words
    assert not any(word.startswith("to measure") for word in words)


def test_the_points_page_lists_all_of_it(tight, as_technician):
    page = pages.shown(as_technician.get(tight.get_absolute_url()))
    assert "To measure, according to the calculation" in page
    assert "the clearance is calculated as" in page


def test_the_register_check_lists_it_apart_and_raises_none(tight, as_engineer):
    page = pages.shown(as_engineer.get(reverse("defects:register_check")))
    assert "To measure, according to the calculation" in page
    assert "never raised from here" in page
    assert "below the limit between the stretchers" in page
    checks = {one.check.value for one in check_register(noon(2026, 6, 1))}
    assert checks.isdisjoint({"between", "wheels", "too_close"})


def test_what_a_new_limit_would_do_between_the_stretchers_is_told_before_it_is_saved(
    limits, as_engineer
):
    points = make_switch()
    read(points, {1: 95.0, 2: 110.0}, opening=108)
    form = {
        "quantity": "fwc",
        "level": "intervention",
        "scope": "railway",
        "minimum": "75",
        "effective_from": date.today().isoformat(),
        "reason": "Wider wheels.",
        "source": "Made for a test.",
    }
    page = pages.shown(as_engineer.post(reverse("inspections:limit_new"), form))
    assert "1 set of points is not calculated yet between the stretchers" in page
    to_measure.keep_up(date.today())
    page = pages.shown(as_engineer.post(reverse("inspections:limit_new"), form))
    least = points.least_clearances.get(lie="left_closed")
    assert "Between the stretchers, these change" in page
    assert f"left closed: {least.mm:.1f} mm, {least.at_mm:.0f} mm from the toe." in page
    assert "Now within, clear; then <strong>below the limit, clear</strong>." in page
    assert "not calculated yet" not in page


def test_slips_are_not_calculated_and_found_nothing_at(tight):
    Points.objects.update(layout="single_slip")
    to_measure.keep_up(TODAY)
    assert found() == []
