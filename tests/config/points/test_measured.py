"""What visits add to the page of points, of a rod, and to lists."""

from html import unescape

import pytest

from config.points.pieces import measured
from tests import builders, pages

pytestmark = pytest.mark.django_db


@pytest.fixture
def points():
    builders.set_limit("fwc", 50)
    return builders.make_rigged_points("12")


def page_of(response) -> str:
    return unescape(pages.shown(response))


def test_the_points_page_shows_what_is_out_and_when_the_next_inspection_is_due(
    as_technician, points
):
    builders.make_fwc_visit(points, builders.noon(2026, 4, 1), 46)
    builders.make_visit(points, looks=[("weld", points.positions.get(order=1), "defective")])
    page = page_of(as_technician.get(points.get_absolute_url()))
    assert "Free wheel clearance, first stretcher, left closed</a>: 46 mm" in page
    assert "Welds on adjustable stretchers, first stretcher" in page
    assert "Next inspection" in page
    assert "limit not confirmed" in page


def test_points_with_nothing_measured_say_so(as_technician, points):
    page = page_of(as_technician.get(points.get_absolute_url()))
    assert "Nothing has been measured here yet." in page
    assert "never inspected" in page


def test_the_page_of_a_rod_shows_its_readings_wherever_it_was(as_technician, points):
    builders.make_fwc_visit(points, builders.noon(2026, 4, 1), 46)
    rod = points.positions.get(order=1).fittings.get().stretcher
    page = page_of(as_technician.get(rod.get_absolute_url()))
    assert "SKB 12, first stretcher, left closed" in page
    assert "46 mm" in page


def test_marks_in_lists_count_only_what_stands_now(points):
    builders.make_fwc_visit(points, builders.noon(2026, 4, 1), 46)
    builders.make_fwc_visit(points, builders.noon(2026, 4, 1), 47, order=2)
    builders.make_visit(points, looks=[("switch_creep", None, "defective")])
    words = [mark.words for mark in measured.marks([points.pk])[points.pk]]
    assert words[:2] == ["2 readings out of limits", "1 thing found defective"]
    builders.make_fwc_visit(points, builders.noon(2026, 4, 2), 56)
    words = [mark.words for mark in measured.marks([points.pk])[points.pk]]
    assert words[0] == "1 reading out of limits"


def test_marks_of_a_whole_list_take_four_queries(points, django_assert_num_queries):
    many = [points, *(builders.make_rigged_points() for _ in range(4))]
    for each in many:
        builders.make_fwc_visit(each, builders.noon(2026, 4, 1), 46)
    with django_assert_num_queries(4):
        assert len(measured.marks([each.pk for each in many])) == 5
