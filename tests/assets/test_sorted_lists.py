"""The lists of points and of parts in the order a person asks for."""

import pytest

from tests.builders import make_location, make_machine, make_points, make_stretcher

pytestmark = pytest.mark.django_db


@pytest.fixture
def railway(db):
    """Two locations whose names and mileages run opposite ways."""
    quarry = make_location("QRY", name="Quarry Sidings", mileage=1)
    tarn = make_location("ALD", name="Alder Halt", mileage=5)
    make_points("10", quarry)
    make_points("2", quarry, service_state="out_of_use")
    make_points("3", tarn)


@pytest.mark.parametrize(
    ("query", "keys", "words"),
    [
        ("", ["QRY 2", "QRY 10", "ALD 3"], "in walking order"),
        ("?sort=walking", ["QRY 2", "QRY 10", "ALD 3"], "in walking order"),
        ("?sort=number", ["QRY 2", "ALD 3", "QRY 10"], "by number"),
        ("?sort=location", ["ALD 3", "QRY 2", "QRY 10"], "by location"),
        ("?sort=state", ["QRY 10", "ALD 3", "QRY 2"], "by state"),
    ],
)
def test_points_are_sorted_and_the_list_says_how(as_technician, railway, query, keys, words):
    response = as_technician.get(f"/points/{query}")
    assert [points.key for points in response.context["page"]] == keys
    assert f"3 sets of points, {words}" in response.text


@pytest.mark.parametrize(
    ("sort", "tags"),
    [
        ("", ["ST-1", "ST-2", "ST-3"]),
        ("tag", ["ST-1", "ST-2", "ST-3"]),
        ("condition", ["ST-2", "ST-3", "ST-1"]),
        ("generation", ["ST-3", "ST-1", "ST-2"]),
    ],
)
def test_stretchers_are_sorted_by_tag_condition_or_generation(as_technician, sort, tags):
    make_stretcher("ST-1", condition="scrap", generation="yellow")
    make_stretcher("ST-2", condition="good", generation="red")
    make_stretcher("ST-3", condition="repair", generation="black")
    page = as_technician.get("/parts/stretcher/", {"sort": sort}).context["page"]
    assert [rod.tag for rod in page] == tags


def test_machines_are_sorted_by_condition_and_have_no_generation(as_technician):
    make_machine("MC-1", condition="unknown")
    make_machine("MC-2", condition="worn")
    page = as_technician.get("/parts/machine/?sort=condition").context["page"]
    assert [machine.tag for machine in page] == ["MC-2", "MC-1"]
    refused = as_technician.get("/parts/machine/?sort=generation")
    assert "cannot be narrowed like that" in refused.text


def test_a_sorted_list_is_narrowed_and_taken_away_as_any_other(as_technician, railway):
    narrowed = as_technician.get("/points/?sort=number&search=QRY")
    assert [points.key for points in narrowed.context["page"]] == ["QRY 2", "QRY 10"]
    assert as_technician.get("/workbook/save/?of=points&sort=state").status_code == 200
