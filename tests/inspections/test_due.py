"""When points are to be inspected next, over the closed season and the clock changes."""

from datetime import UTC, date, datetime
from math import ceil

import pytest

from inspections.catalogue.looks import items_at, items_of_points
from inspections.catalogue.rod_places import rod_places_of
from inspections.catalogue.spots import spots_of
from inspections.models import Season
from inspections.recording.entries import ExaminationEntry, ReadingEntry
from inspections.recording.visit import record_inspection
from inspections.upcoming.due import due_date, due_list, due_of
from tests import builders, pages

pytestmark = pytest.mark.django_db
TODAY = date(2026, 5, 4)


def summer_and_next():
    return [
        Season.objects.create(
            name="2026", first_use=date(2026, 3, 28), last_use=date(2026, 10, 31)
        ),
        Season.objects.create(
            name="2027", first_use=date(2027, 3, 27), last_use=date(2027, 10, 30)
        ),
    ]


def seen(points, at, reason="routine"):
    return builders.make_inspection(points, at, reason=reason)


@pytest.mark.parametrize(
    ("last", "days", "due", "moved"),
    [
        (date(2026, 5, 4), 90, date(2026, 8, 2), False),
        (date(2026, 8, 2), 90, date(2026, 10, 31), False),
        (date(2026, 8, 3), 90, date(2027, 3, 26), True),
        (date(2026, 12, 27), 90, date(2027, 3, 27), False),
        (date(2026, 12, 26), 90, date(2027, 3, 26), True),
        (date(2027, 9, 1), 90, date(2027, 11, 30), False),
    ],
)
def test_a_date_in_the_closed_season_moves_to_the_day_before_first_use(last, days, due, moved):
    assert due_date(last, days, summer_and_next()) == (due, moved)


def test_without_a_calendar_no_date_moves():
    assert due_date(date(2026, 8, 3), 90, []) == (date(2026, 11, 1), False)


def test_points_have_their_own_interval_or_the_railways():
    usual = builders.make_rigged_points()
    own = builders.make_rigged_points(inspection_interval_days=28)
    for points in (usual, own):
        seen(points, builders.noon(2026, 4, 1))
    assert due_of(usual, TODAY).due_on == date(2026, 6, 30)
    assert due_of(own, TODAY).due_on == date(2026, 4, 29)
    assert due_of(own, TODAY).words == "overdue by 5 days"


@pytest.mark.parametrize(
    ("reason", "counts"),
    [
        ("routine", True),
        ("before_use", True),
        ("joint_visit", True),
        ("after_work", False),
        ("after_fitting", False),
    ],
)
def test_a_visit_after_work_does_not_put_the_inspection_off(reason, counts):
    points = builders.make_rigged_points()
    seen(points, builders.noon(2026, 1, 10))
    seen(points, builders.noon(2026, 4, 1), reason)
    last = date(2026, 4, 1) if counts else date(2026, 1, 10)
    assert due_of(points, TODAY).last == last


def recorded(points, at, share: float):
    """A routine visit that answers a share of what the form asks, in order from the toe."""
    rod_places = rod_places_of(points, at.date())
    spots = spots_of(points, rod_places, {})
    looks = [
        (item.code.value, rod_place.position)
        for rod_place in rod_places
        for item in items_at(rod_place)
    ]
    looks += [(item.code.value, None) for item in items_of_points()]
    total = len(spots) + len(looks)
    answers = [
        ReadingEntry(
            spot.quantity.code.value,
            position=spot.position,
            at_mm=2000.0 if spot.between else None,
            side=spot.side,
            lie=spot.lie,
            not_taken_reason="no time",
        )
        for spot in spots
    ] + [ExaminationEntry(item, "not_seen", position) for item, position in looks]
    answers = answers[: ceil(total * share)]
    return record_inspection(
        points=points,
        at=at,
        by="Lineman A",
        user=None,
        reason="routine",
        readings=[a for a in answers if isinstance(a, ReadingEntry)],
        examinations=[a for a in answers if isinstance(a, ExaminationEntry)],
    )


@pytest.mark.parametrize(
    ("share", "counts"), [(0.01, False), (0.45, False), (0.5, True), (1, True)]
)
def test_a_visit_that_answers_less_than_half_leaves_the_inspection_overdue(
    as_technician, share, counts
):
    points = builders.make_rigged_points()
    seen(points, builders.noon(2026, 1, 10))
    visit = recorded(points, builders.noon(2026, 4, 30), share)
    assert due_of(points, TODAY).is_overdue is not counts
    page = pages.shown(as_technician.get(visit.get_absolute_url()))
    assert ("This visit does not count as the routine inspection" in page) is not counts


def test_points_never_inspected_are_due_at_once():
    due = due_of(builders.make_rigged_points(), TODAY)
    assert (due.due_on, due.words) == (TODAY, "never inspected")


@pytest.mark.parametrize("state", ["out_of_use", "lifted"])
def test_points_out_of_use_or_lifted_are_not_due(state):
    points = builders.make_rigged_points(service_state=state)
    assert due_of(points, TODAY) is None
    assert due_list(TODAY) == []


def test_the_list_has_the_soonest_first_and_can_stop_at_a_day():
    soon, later = builders.make_rigged_points(), builders.make_rigged_points()
    seen(later, builders.noon(2026, 5, 1))
    seen(soon, builders.noon(2026, 2, 1))
    assert [row.points for row in due_list(TODAY)] == [soon, later]
    assert [row.points for row in due_list(TODAY, within_days=14)] == [soon]


def test_a_visit_just_after_midnight_of_summer_time_counts_for_its_own_day():
    # 23:30 UTC on 29 March 2026, the night after the clocks went forward, is 00:30 on the 30th.
    points = builders.make_rigged_points(inspection_interval_days=1)
    seen(points, datetime(2026, 3, 29, 23, 30, tzinfo=UTC))
    due = due_of(points, date(2026, 3, 30))
    assert (due.last, due.due_on) == (date(2026, 3, 30), date(2026, 3, 31))


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 6, 30), "due today"),
        (date(2026, 6, 29), "due in 1 day"),
        (date(2026, 7, 1), "overdue by 1 day"),
    ],
)
def test_a_due_date_is_put_in_words(day, words):
    points = builders.make_rigged_points()
    seen(points, builders.noon(2026, 4, 1))
    assert due_of(points, day).words == words


def test_the_list_takes_two_queries_however_many_points(django_assert_num_queries):
    summer_and_next()
    for _ in range(5):
        seen(builders.make_rigged_points(), builders.noon(2026, 4, 1))
    with django_assert_num_queries(2):
        assert len([row.points.key for row in due_list(TODAY)]) == 5
