"""Locations: entered and changed by people and by workbook, their mileage read in one way."""

from html import unescape

import pytest

from assets.models import Location
from tests import builders
from tests.workbooks import load, refusals

pytestmark = pytest.mark.django_db

EDIT = "/locations/SKB/edit/"


def page_of(response) -> str:
    return unescape(response.content.decode())


def enter(client, mileage: str) -> str:
    sent = {"code": "TRN", "name": "Tarn Halt", "mileage": mileage}
    return page_of(client.post("/locations/new/", sent))


def bring(client, mileage: str) -> str:
    plan = load({"Locations": [["Code", "Name", "Mileage (miles)"], ["TRN", "Tarn Halt", mileage]]})
    return str(refusals(plan))


@pytest.mark.parametrize("way", [enter, bring])
@pytest.mark.parametrize(
    ("written", "answer"),
    [
        ("12 miles 34 chains", 12.425),  # the form refused it, the workbook took it
        ("12m 34ch", 12.425),
        ("0m 12ch", 0.15),
        ("12.425", 12.425),
        ("12¼", 12.25),
        ("", None),
        ("12 m", "can be read as 12 miles or as 12 metres"),
        ("12 nm", "is a torque, and a mileage belongs here"),
        ("12m 85ch", "one figure, 13.0625 miles, or as 12m and 85ch"),
    ],
)
def test_a_mileage_is_read_alike_in_the_form_and_in_the_workbook(
    as_technician, way, written, answer
):
    said = way(as_technician, written)
    if isinstance(answer, str):
        assert answer in said
        assert not Location.objects.exists()
    else:
        assert Location.objects.get().mileage == answer


def test_a_location_is_changed_with_its_history(as_technician):
    builders.make_location(mileage=2)
    page = page_of(as_technician.get("/locations/"))
    assert f'href="{EDIT}"' in page
    page = page_of(as_technician.get(EDIT))
    assert 'value="Skelbeck"' in page
    assert 'value="2"' in page
    sent = {"code": "SKB", "name": "Skelbeck Junction", "mileage": "2m 10ch"}
    answer = as_technician.post(EDIT, sent, follow=True)
    assert "SKB Skelbeck Junction changed." in page_of(answer)
    assert Location.objects.get().mileage == 2.125
    page = page_of(as_technician.get(EDIT))
    assert "Changes to this record (2)" in page
    assert "mileage (miles): 2.0 → 2.125" in page
    assert "name: Skelbeck → Skelbeck Junction" in page


def test_a_location_is_found_however_its_code_is_written(as_technician):
    builders.make_location()
    assert as_technician.get("/locations/skb/edit/").status_code == 200
    assert as_technician.get("/locations/XYZ/edit/").status_code == 404


def test_the_code_stays_once_points_are_labelled_with_it(as_technician):
    builders.make_points("12")
    assert "so it stays" in page_of(as_technician.get(EDIT))
    as_technician.post(EDIT, {"code": "NEW", "name": "Skelbeck East", "mileage": "0"})
    location = Location.objects.get()
    assert (location.code, location.name) == ("SKB", "Skelbeck East")


def test_the_code_of_a_location_without_points_may_be_corrected(as_technician):
    builders.make_location()
    as_technician.post(EDIT, {"code": "SKL", "name": "Skelbeck", "mileage": "0"})
    assert Location.objects.get().code == "SKL"


def test_what_somebody_else_changed_meanwhile_is_said(as_technician):
    location = builders.make_location()
    seen = location.history.first().history_id
    Location.objects.get().save()
    sent = {"code": "SKB", "name": "Other", "mileage": "", "seen": seen}
    assert "changed this since you opened it" in page_of(as_technician.post(EDIT, sent))
    assert Location.objects.get().name == "Skelbeck"


def test_only_those_who_keep_the_register_see_the_way_to_change_it(as_ganger):
    builders.make_location()
    assert EDIT not in page_of(as_ganger.get("/locations/"))


def test_a_mileage_is_listed_with_all_its_figures(as_technician):
    builders.make_location(mileage=12.425)
    builders.make_location("TRN", name="Tarn Halt", mileage=None)
    page = page_of(as_technician.get("/locations/"))
    assert ">12.425<" in page
    assert ">unknown<" in page
