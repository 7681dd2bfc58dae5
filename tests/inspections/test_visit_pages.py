"""The list of visits, the page of one, and correcting an entry."""

import re
from datetime import UTC, datetime
from html import unescape

import pytest
from django.urls import reverse

from config.points.pieces import measured
from inspections.models import Examination, Reading
from tests import builders, pages

pytestmark = pytest.mark.django_db
LIST = reverse("inspections:list")


def page_of(response) -> str:
    return unescape(pages.shown(response))


def shown(client, **query) -> list[str]:
    """Points of the visits on the list, in order."""
    return re.findall(r'<th scope="row"><a[^>]*>([^<]+)</a>', page_of(client.get(LIST, query)))


@pytest.fixture
def three_visits():
    """12 in April with a reading out, 2 in May with a thing defective, 10 in June clear."""
    builders.set_limit("fwc", 50)
    twelve, two, ten = (builders.make_rigged_points(number) for number in ("12", "2", "10"))
    builders.make_fwc_visit(twelve, builders.noon(2026, 4, 1), 46)
    builders.make_visit(
        two,
        builders.noon(2026, 5, 1),
        looks=[("weld", two.positions.get(order=1), "defective")],
        by="Ganger B",
    )
    builders.make_fwc_visit(ten, builders.noon(2026, 6, 1), 52, reason="after_work")
    return twelve, two, ten


@pytest.mark.parametrize(
    ("query", "numbers"),
    [
        ({}, ["10", "2", "12"]),
        ({"sort": "oldest"}, ["12", "2", "10"]),
        ({"sort": "points"}, ["2", "10", "12"]),
        ({"sort": "who"}, ["2", "10", "12"]),
        ({"found": "out"}, ["2", "12"]),
        ({"found": "clear"}, ["10"]),
        ({"reason": "after_work"}, ["10"]),
        ({"by": "ganger"}, ["2"]),
        ({"first_day": "2026-05-01"}, ["10", "2"]),
        ({"last_day": "2026-05-01"}, ["2", "12"]),
        ({"first_day": "2026-04-02", "last_day": "2026-05-31"}, ["2"]),
    ],
)
def test_the_list_is_narrowed_and_sorted(as_technician, three_visits, query, numbers):
    assert shown(as_technician, **query) == [f"SKB {number}" for number in numbers]


def test_the_list_narrows_to_one_set_of_points_and_to_a_location(as_technician, three_visits):
    elsewhere = builders.make_rigged_points("1", location=builders.make_location("TRH"))
    builders.make_visit(elsewhere, looks=[("switch_creep", None, "good")])
    assert shown(as_technician, points="SKB 12") == ["SKB 12"]
    assert shown(as_technician, location=elsewhere.location_id) == ["TRH 1"]


def test_a_day_is_the_railways_own_not_that_of_utc(as_technician):
    points = builders.make_rigged_points("12")
    builders.make_visit(
        points, datetime(2026, 5, 31, 23, 30, tzinfo=UTC), looks=[("switch_creep", None, "good")]
    )
    assert shown(as_technician, first_day="2026-06-01") == ["SKB 12"]
    assert shown(as_technician, last_day="2026-05-31") == []


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"first_day": "soon"}, "Enter a valid date."),
        ({"first_day": "2026-06-01", "last_day": "2026-05-01"}, "The last day is before the first"),
        ({"reason": "whim"}, "whim is not in the list"),
        ({"points": "x"}, "There are no points"),
        ({"sort": "colour"}, "colour is not in the list"),
    ],
)
def test_a_filter_that_makes_no_sense_says_so_instead_of_showing_an_empty_list(
    as_technician, three_visits, query, words
):
    page = page_of(as_technician.get(LIST, query))
    assert words in page
    assert "No visits here" not in page


def test_a_corrected_reading_no_longer_counts_as_out(as_technician, three_visits):
    from inspections.recording.corrections import correct_reading

    correct_reading(Reading.objects.out().get(), value=52, by="Lineman A", reason="slip")
    assert shown(as_technician, found="out") == ["SKB 2"]


def test_the_list_is_paged_and_takes_the_same_queries_for_one_row_and_for_fifty(
    as_technician, django_assert_max_num_queries
):
    points = builders.make_rigged_points("12")
    for day in range(1, 29):
        for month in (3, 4):
            builders.make_visit(
                points, builders.noon(2026, month, day), looks=[("switch_creep", None, "good")]
            )
    with django_assert_max_num_queries(11):
        page = page_of(as_technician.get(LIST))
    assert "Page 1 of 2 · 56 in all" in page
    assert len(shown(as_technician, page=2)) == 6


def test_the_page_of_a_visit_says_verdicts_in_words_and_never_that_points_are_safe(
    as_technician, three_visits
):
    twelve, _, ten = three_visits
    page = page_of(as_technician.get(twelve.inspections.get().get_absolute_url()))
    assert '<span class="verdict intervention">out of limits: too small by 4 mm</span>' in page
    assert "limit not confirmed" in page
    clear = page_of(as_technician.get(ten.inspections.get().get_absolute_url()))
    assert "This does not declare the points fit for traffic." in clear


def test_what_was_not_entered_is_not_called_within_limits(as_technician, three_visits):
    _, two, ten = three_visits
    page = page_of(as_technician.get(ten.inspections.get().get_absolute_url()))
    assert re.search(r"1 of \d\d readings entered: none out of limits\. 0 of \d+ things", page)
    page = page_of(as_technician.get(two.inspections.get().get_absolute_url()))
    assert re.search(r"0 of \d\d readings entered\. 1 of \d+ things examined\.", page)


def test_readings_for_immediate_action_are_counted_apart(as_technician):
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 40, level="immediate")
    points = builders.make_rigged_points("12")
    first, second = points.positions.filter(order__gt=0)[:2]
    lie = {"lie": "left_closed"}
    visit = builders.make_visit(
        points, readings=[("fwc", first, 46, lie), ("fwc", second, 38, lie)]
    )
    page = page_of(as_technician.get(visit.get_absolute_url()))
    assert "1 reading for immediate action</span>" in page
    assert "1 reading out of limits</span>" in page
    listed = page_of(as_technician.get(LIST))
    assert "1 for immediate action" in listed
    assert "1 out of limits" in listed
    marks = [mark.words for mark in measured.marks([points.pk])[points.pk]]
    assert marks[:2] == ["1 reading for immediate action", "1 reading out of limits"]


def test_limit_not_confirmed_goes_once_the_engineer_has_confirmed_it(as_engineer, three_visits):
    visit = three_visits[0].inspections.get()
    limit = visit.readings.get().limit
    as_engineer.post(reverse("inspections:limit_confirm", args=[limit.pk]))
    assert "limit not confirmed" not in page_of(as_engineer.get(visit.get_absolute_url()))


def test_a_visit_page_takes_no_more_queries_for_more_readings(
    as_technician, django_assert_max_num_queries
):
    points = builders.make_rigged_points("12")
    places = list(points.positions.all())
    lies = ("left_closed", "right_closed")
    readings = [("residual_opening", p, 0.5, {"lie": lie}) for p in places for lie in lies]
    looks = [(item, p, "good") for p in places for item in ("weld", "fixings", "ballast")]
    visit = builders.make_visit(points, readings=readings, looks=looks)
    with django_assert_max_num_queries(14):
        as_technician.get(visit.get_absolute_url())


def test_a_reading_is_corrected_from_its_visit_and_both_stay_to_be_seen(
    as_technician, three_visits
):
    visit = three_visits[0].inspections.get()
    address = reverse("inspections:reading_correct", args=[visit.readings.get().pk])
    assert "free wheel clearance, first stretcher, left closed: 46 mm" in page_of(
        as_technician.get(address)
    )
    response = as_technician.post(address, {"value": "64", "reason": "digits swapped"})
    assert response.url == visit.get_absolute_url()
    page = page_of(as_technician.get(response.url))
    assert "46 mm" in page
    assert "64 mm" in page
    assert "digits swapped" in page
    assert visit.readings.standing().get().value == 64


@pytest.mark.parametrize(
    ("sent", "words"),
    [
        ({"value": "64"}, "Fill this in."),
        ({"value": "640", "reason": "slip"}, "640 mm cannot be right"),
        ({"value": "", "reason": "slip"}, "Give a value, or say why"),
        ({"value": "64", "not_taken_reason": "wrong rod", "reason": "slip"}, "not both"),
    ],
)
def test_a_correction_that_cannot_be_is_refused_beside_its_box(
    as_technician, three_visits, sent, words
):
    reading = Reading.objects.out().get()
    page = page_of(
        as_technician.post(reverse("inspections:reading_correct", args=[reading.pk]), sent)
    )
    assert words in page
    assert Reading.objects.count() == 2


def test_the_second_to_correct_the_same_reading_is_told(as_technician, three_visits):
    reading = Reading.objects.out().get()
    address = reverse("inspections:reading_correct", args=[reading.pk])
    as_technician.post(address, {"value": "64", "reason": "slip"})
    page = page_of(as_technician.post(address, {"value": "65", "reason": "slip"}))
    assert "has already been corrected" in page
    assert Reading.objects.standing().out().count() == 0


def test_an_examination_is_corrected_from_its_visit(as_ganger, three_visits):
    look = Examination.objects.get()
    address = reverse("inspections:examination_correct", args=[look.pk])
    as_ganger.post(address, {"found": "good", "note": "dirt", "reason": "cleaned and looked again"})
    assert Examination.objects.standing().get().found == "good"
    assert Examination.objects.count() == 2


def test_a_viewer_sees_visits_and_cannot_correct_them(client, viewer, three_visits):
    client.force_login(viewer)
    visit = three_visits[0].inspections.get()
    page = page_of(client.get(visit.get_absolute_url()))
    assert "Correct</a>" not in page
    address = reverse("inspections:reading_correct", args=[visit.readings.get().pk])
    assert client.get(address).status_code == 403
    assert client.post(address, {"value": "64", "reason": "slip"}).status_code == 403


@pytest.mark.parametrize("name", ["inspection", "reading_correct", "examination_correct"])
def test_an_address_of_nothing_is_not_found(as_technician, name):
    assert as_technician.get(reverse(f"inspections:{name}", args=[4711])).status_code == 404
