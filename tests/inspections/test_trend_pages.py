"""The list of what is reaching a limit, and the trend of one place with its picture."""

from datetime import date, timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from assets.models import Points
from inspections.upcoming.history import followed
from inspections.upcoming.kept import reaching_limit
from tests import builders, pages

pytestmark = pytest.mark.django_db
LIST = reverse("inspections:trends")
TODAY = date(2026, 6, 1)


def page_of(response) -> str:
    return unescape(pages.shown(response))


def falling(
    points, values=(57.5, 56, 54.5, 53, 51.5), last: date = TODAY, order=1, every=60, **fields
):
    """Visits every so many days up to ``last``."""
    for n, value in enumerate(reversed(values)):
        day = last - timedelta(days=every * n)
        builders.make_fwc_visit(
            points, builders.noon(day.year, day.month, day.day), value, order, **fields
        )


@pytest.fixture
def points():
    builders.set_limit("fwc", 50)
    return builders.make_rigged_points("12")


def test_a_place_that_reaches_its_limit_within_ninety_days_is_listed(points):
    # 1.5 mm in 60 days, 1.5 mm left: 60 days.
    falling(points)
    row = reaching_limit(TODAY)[0]
    assert (row.points, row.where) == (points, "first stretcher, left closed")
    assert row.trend.reach.likely == TODAY + timedelta(days=60)
    assert reaching_limit(TODAY, within_days=59) == []


def test_points_out_of_use_are_not_listed(points):
    falling(points)
    Points.objects.update(service_state="out_of_use")
    assert reaching_limit(TODAY) == []


def test_a_corrected_reading_leaves_the_series(points):
    from inspections.models import Reading
    from inspections.recording.corrections import correct_reading

    falling(points)
    mistaken = Reading.objects.get(value=51.5)
    correct_reading(mistaken, value=55, by="Lineman A", reason="read the wrong line")
    assert reaching_limit(TODAY) == []


def test_work_recorded_by_a_visit_cuts_every_series_of_those_points(points):
    falling(points)
    builders.make_visit(
        points,
        builders.noon(2026, 4, 20),
        looks=[("switch_creep", None, "good")],
        reason="after_work",
    )
    rows = followed(Points.objects.all(), TODAY)
    assert [len(piece) for piece in rows[0].trend.pieces] == [4, 1]


def test_each_place_each_lie_and_each_quantity_is_its_own_series(points):
    falling(points)
    falling(points, order=2)
    builders.make_visit(
        points,
        readings=[
            ("fwc", points.positions.get(order=1), 60, {"lie": "right_closed"}),
            ("fwc", None, 49, {"lie": "left_closed", "at_mm": 2000.0}),
            ("switch_opening", None, 108, {"lie": "left_closed"}),
        ],
    )
    found = {(r.quantity.code.value, r.where) for r in followed(Points.objects.all(), TODAY)}
    assert found == {
        ("fwc", "first stretcher, left closed"),
        ("fwc", "second stretcher, left closed"),
        ("fwc", "first stretcher, right closed"),
        ("switch_opening", "at the toe, left closed"),
    }


def test_the_list_takes_the_same_queries_for_many_points(points, django_assert_num_queries):
    falling(points)
    for _ in range(4):
        falling(builders.make_rigged_points())
    reaching_limit(TODAY)  # follows what has changed
    with django_assert_num_queries(7):
        assert len(reaching_limit(TODAY)) == 5


def test_the_page_lists_what_is_on_its_way_and_leads_to_its_picture(as_technician, points):
    falling(points, last=timezone.localdate() - timedelta(days=1))
    page = page_of(as_technician.get(LIST))
    assert "1 within 90 days" in page
    assert "intervention limit 50 mm" in page
    query = "quantity=fwc&position=1&side=&lie=left_closed"
    address = f"{reverse('inspections:trend', args=['SKB', '12'])}?{query}"
    assert address in page
    shown = page_of(as_technician.get(address))
    assert "<svg" in shown
    assert "Falling by 9.1 mm a year" in shown
    assert "intervention limit of 50 mm is reached" in shown
    assert shown.count('<circle class="reading"') == 5


def test_a_place_past_its_limit_stays_listed_and_is_said_to_be_past_until_work_is_done(
    as_technician, points
):
    yesterday = timezone.localdate() - timedelta(days=1)
    falling(points, values=(53.5, 52, 50.5, 49, 47.5), last=yesterday)
    for address in (LIST, reverse("inspections:trend", args=["SKB", "12"]), reverse("home")):
        page = page_of(as_technician.get(address))
        assert "already past the limit" in page
        assert "does not reach a limit" not in page
    assert "intervention limit of 50 mm is already passed" in page_of(
        as_technician.get(reverse("inspections:trend", args=["SKB", "12"]))
    )
    builders.make_fwc_visit(points, timezone.now(), 58, reason="after_work")
    assert "already past the limit" not in page_of(as_technician.get(LIST))


@pytest.mark.parametrize("days", ["0", "-5", "many", "99999", ""])
def test_a_span_of_days_that_makes_no_sense_is_refused_beside_its_box(as_viewer, days):
    page = page_of(as_viewer.get(LIST, {"days": days}))
    assert 'class="errorlist"' in page
    assert "Nothing that is measured is on its way" not in page


@pytest.fixture
def as_viewer(client, viewer):
    client.force_login(viewer)
    return client


def test_points_with_nothing_measured_have_no_picture(as_technician, points):
    page = page_of(as_technician.get(reverse("inspections:trend", args=["SKB", "12"])))
    assert "Nothing has been measured at SKB 12 yet" in page
    assert "<svg class" not in page


@pytest.mark.parametrize(
    "query", ["quantity=fwc&position=7&side=&lie=left_closed", "quantity=weight"]
)
def test_a_place_where_nothing_was_read_is_not_found(as_technician, points, query):
    falling(points)
    address = reverse("inspections:trend", args=["SKB", "12"])
    assert as_technician.get(f"{address}?{query}").status_code == 404


def test_one_reading_alone_is_drawn_and_said_to_be_too_few(as_technician, points):
    builders.make_fwc_visit(points, builders.noon(2026, 5, 1), 46)
    page = page_of(as_technician.get(reverse("inspections:trend", args=["SKB", "12"])))
    assert "Too few readings since the last change: 1 of the 5 needed" in page
    assert '<path class="reading out"' in page


def test_a_picture_keeps_every_reading_within_its_frame(points):
    from inspections.pictures.trend import picture_of

    falling(points, values=(0, 250, 13.7, 51, 60, 61))
    row = followed(Points.objects.all(), TODAY)[0]
    picture = picture_of(row.trend, row.quantity, row.limits)
    assert all(picture.left <= dot.x <= picture.right for dot in picture.dots)
    assert all(picture.top <= dot.y <= picture.bottom for dot in picture.dots)
    highest = min(picture.dots, key=lambda dot: dot.y)
    assert highest.words.endswith("250 mm")


@pytest.mark.parametrize("value", [0.0, 50.0, 5e8, 1e15])
def test_readings_all_alike_are_drawn_whatever_their_size(value):
    from inspections.catalogue.quantities import QUANTITIES
    from inspections.pictures.trend import picture_of
    from inspections.upcoming.trend import Taken, Trend
    from inspections.verdicts.finding import QuantityLimits

    first = builders.noon(TODAY.year, TODAY.month, TODAY.day)
    taken = tuple(Taken(first + timedelta(days=n), value) for n in range(5))
    resistance = QUANTITIES["insulation_resistance"]
    picture = picture_of(Trend(pieces=(taken,)), resistance, QuantityLimits())
    assert all(picture.top <= dot.y <= picture.bottom for dot in picture.dots)
    figures = [line.words for line in picture.across]
    assert len(set(figures)) == len(figures) >= 2  # each line of the axis has its own figure


def test_the_home_page_lists_what_reaches_a_limit_within_ninety_days(as_technician, points):
    falling(points, last=timezone.localdate() - timedelta(days=1))
    page = page_of(as_technician.get(reverse("home")))
    assert "SKB 12: free wheel clearance, first stretcher, left closed" in page
    assert "Nothing that is measured is on its way" not in page
