"""What no browser sends by itself: refused as a mistake of the sender, with nothing changed."""

import pytest
from django.db import connection
from django.urls import reverse

from assets.models import Points, RailSection
from tests import builders

pytestmark = pytest.mark.django_db
HUGE = "9" * 40


@pytest.fixture
def points():
    return builders.make_rigged_points("12")


def test_a_number_that_no_database_holds_is_a_mistake_of_the_sender(as_technician, points):
    answer = as_technician.get(
        reverse("workbook_visit_sheet"), {"points": [points.pk, HUGE], "take": "out"}
    )
    # PostgreSQL takes a number of any length, and finds no such points.
    status, words = {
        "sqlite": (400, "Something went wrong with that form"),
        "postgresql": (200, f"{HUGE} is not in the list"),
    }[connection.vendor]
    assert answer.status_code == status
    assert words in answer.content.decode()


@pytest.mark.parametrize("chosen", ["signalling", "1e308", "-1", HUGE])
def test_a_row_that_was_never_in_the_list_is_refused(as_engineer, chosen):
    rows = RailSection.objects.count()
    answer = as_engineer.post(
        reverse("admin:assets_railsection_changelist"),
        {"action": "delete_selected", "_selected_action": ["1", chosen], "post": "yes"},
    )
    assert answer.status_code == 400
    assert RailSection.objects.count() == rows


@pytest.mark.parametrize("number", ["1/0", "SKB/12", "<b>x</b>"])
def test_a_number_of_points_that_no_address_can_carry_is_refused_in_the_form(
    as_technician, points, number
):
    address = reverse("assets:points_edit", args=["SKB", "12"])
    answer = as_technician.post(address, {"number": number})
    assert answer.status_code == 200
    page = answer.content.decode()
    assert "Change SKB 12" in page
    assert f'href="{points.get_absolute_url()}"' in page
    assert Points.objects.get().number == "12"


def test_turns_of_a_nut_without_end_are_refused_beside_the_box(as_technician, points):
    address = reverse("inspections:switch", args=["SKB", "12"])
    page = as_technician.get(address, {"turns_1": "1e999"}).content.decode()
    assert "is not a number of turns: write one figure, like 1.5 or 1 1/2." in page
