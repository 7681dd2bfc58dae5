"""Reference data as the responsible engineer enters it: figures are read as everywhere."""

from html import unescape

import pytest

from assets.models import RailSection, WheelStandard

pytestmark = pytest.mark.django_db

NEW_RAIL = "/admin/assets/railsection/add/"
NEW_WHEELS = "/admin/assets/wheelstandard/add/"
RAIL = {"code": "95RBH", "profile": "bullhead", "source": "measured at Skelbeck"}


def page_of(response) -> str:
    return unescape(response.content.decode())


def test_a_height_in_inches_and_a_mass_with_its_unit_are_read(as_engineer):
    as_engineer.post(NEW_RAIL, {**RAIL, "height_mm": "5 23/32 in", "mass_kg_m": "47 kg/m"})
    rail = RailSection.objects.get()
    assert (rail.height_mm, rail.mass_kg_m) == (145.25625, 47)
    page = page_of(as_engineer.get(f"/admin/assets/railsection/{rail.pk}/change/"))
    assert 'value="145.25625"' in page


@pytest.mark.parametrize(
    ("field", "written", "words"),
    [
        ("height_mm", "5,72", "has a comma: write a decimal point"),
        ("height_mm", "5 23/32", "5 23/32 mm or as 5 23/32 in"),
        ("mass_kg_m", "95 lb", '"95 lb" is not a number in kg/m'),
    ],
)
def test_what_can_be_read_in_two_ways_is_refused(as_engineer, field, written, words):
    assert words in page_of(as_engineer.post(NEW_RAIL, {**RAIL, field: written}))
    assert not RailSection.objects.exists()


def test_a_figure_that_is_needed_is_asked_for(as_engineer):
    sent = {"name": "old stock", "back_to_back_mm": "4 ft 5 5/8 in", "flange_mm": ""}
    page = page_of(as_engineer.post(NEW_WHEELS, sent))
    assert "Fill this in." in page
    assert not WheelStandard.objects.exists()
    as_engineer.post(NEW_WHEELS, {**sent, "flange_mm": "7/8 in", "source": "drawing"})
    wheels = WheelStandard.objects.get()
    assert (wheels.back_to_back_mm, wheels.flange_mm) == (1362.075, 22.225)
