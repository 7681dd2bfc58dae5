"""Lists a page at a time, and long ones a stretch at a time."""

import pytest

from assets.models import Stretcher
from assets.paging import page_of, stretch_of
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def rods():
    for number in range(7):
        builders.make_stretcher(f"ST-{number}")
    return Stretcher.objects.order_by("-tag", "pk")


def tags(page) -> list[str]:
    return [rod.tag for rod in page.object_list]


@pytest.mark.parametrize(
    ("number", "shown"),
    [
        (None, ["ST-6", "ST-5", "ST-4"]),
        ("2", ["ST-3", "ST-2", "ST-1"]),
        ("99", ["ST-0"]),
        ("x", ["ST-6", "ST-5", "ST-4"]),
    ],
)
def test_a_page_has_its_rows_in_order_whatever_the_number(rods, number, shown):
    page = page_of(rods, number, 3)
    assert (tags(page), page.paginator.count, page.paginator.num_pages) == (shown, 7, 3)


def test_a_list_that_fits_its_first_page_is_not_counted(rods, django_assert_num_queries):
    with django_assert_num_queries(2):
        page = page_of(rods, None, 7)
        assert (page.paginator.count, page.paginator.num_pages) == (7, 1)
    with django_assert_num_queries(3):
        page_of(rods, None, 6)


def test_an_empty_list_has_one_empty_page():
    assert tags(page_of(Stretcher.objects.order_by("tag", "pk"), "3", 5)) == []


def test_a_list_is_worked_through_whole_unless_it_is_long(rods):
    whole = stretch_of(rods, None, whole=7, at_once=2)
    assert (len(whole.object_list), whole.paginator.num_pages) == (7, 1)
    part = stretch_of(rods, "2", whole=6, at_once=2)
    assert (tags(part), part.start_index(), part.end_index()) == (["ST-4", "ST-3"], 3, 4)


class TestTheBench:
    """Where the store or the railway is long, the page says that it ranks a part of it."""

    @pytest.fixture
    def place(self, rods, monkeypatch):
        monkeypatch.setattr("config.suiting.suits_page.SPARES", 3)
        monkeypatch.setattr("config.suiting.suits_page.SPARES_AT_ONCE", 2)
        monkeypatch.setattr("config.suiting.suits_page.POINTS", 1)
        monkeypatch.setattr("config.suiting.suits_page.POINTS_AT_ONCE", 1)
        builders.make_rigged_points("1")
        return builders.make_rigged_points("2")

    def test_spares_for_a_place(self, as_technician, place):
        address = f"{place.get_absolute_url()}1/suits/?stretch=2"
        page = as_technician.get(address).content.decode()
        assert "Spares 3 to 4 of 7 only, by tag" in page
        assert [f"ST-{n}" for n in range(7) if f">ST-{n}<" in page or f"ST-{n}," in page] == [
            "ST-2",
            "ST-3",
        ]
        assert "stretch=3" in page

    def test_places_for_a_rod(self, as_technician, place):
        page = as_technician.get("/parts/stretcher/ST-1/suits/").content.decode()
        assert "Sets of points 1 to 1 of 2 only, in walking order" in page
        assert "SKB 1</a>" in page
        assert "SKB 2</a>" not in page

    def test_the_register_check(self, as_technician, place, monkeypatch):
        monkeypatch.setattr("config.today.register_check_page.POINTS", 1)
        monkeypatch.setattr("config.today.register_check_page.POINTS_AT_ONCE", 1)
        page = as_technician.get("/register-check/?stretch=2").content.decode()
        assert "Sets of points 2 to 2 of 2 only, in walking order" in page
