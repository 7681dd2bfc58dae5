"""The pages that answer what suits a place, and where a part could go."""

from html import unescape

import pytest
from django.urls import reverse

from config.suiting import suits
from tests.builders import (
    make_defect,
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

pytestmark = pytest.mark.django_db
KINDS = {
    "stretcher": make_stretcher,
    "machine": make_machine,
    "lost_motion_fitting": make_lost_motion_fitting,
}


@pytest.fixture
def place():
    """The driven place of points 12, with a rod in it and an undriven place beyond."""
    points = make_points("12")
    make_position(points, 2)
    position = make_position(points, 1)
    make_fitting(make_stretcher("ST-001"), position)
    return position


def page(client, name: str, *args, **query) -> str:
    response = client.get(reverse(f"assets:{name}", args=args), query)
    assert response.status_code == 200
    return response.content.decode()


@pytest.mark.parametrize("kind", KINDS)
def test_spares_of_each_kind_are_offered_to_a_place(as_technician, place, kind):
    KINDS[kind]("SP-001")
    text = page(as_technician, "suits_position", "SKB", "12", 1, kind)
    assert "suits SKB 12, first stretcher?" in text
    assert f"/points/SKB/12/1/fit/{kind}/?part=SP-001" in text
    assert "/suits/machine/" in text


def test_the_page_without_a_kind_is_about_stretchers(as_technician, place):
    assert "Which stretcher suits SKB 12" in page(as_technician, "suits_position", "SKB", "12", 1)


def test_what_is_there_now_is_named(as_technician, place):
    make_machine("MC-001")
    make_fitting(make_machine("MC-002"), place)
    text = page(as_technician, "suits_position", "SKB", "12", 1, "machine")
    assert "MC-002 is there now" in text
    assert "Fit MC-001 here" in text


def test_an_empty_store_says_where_to_enter_parts(as_technician, place):
    text = page(as_technician, "suits_position", "SKB", "12", 1, "machine")
    assert "There is no spare machine in the store" in text
    assert "/parts/machine/?where=spare" in text


def test_a_kind_that_is_none_is_not_found(as_technician, place):
    url = reverse("assets:suits_position", args=["SKB", "12", 1, "signal"])
    assert as_technician.get(url).status_code == 404


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_part_is_told_where_it_could_go(as_technician, place, kind):
    part = KINDS[kind]("SP-001")
    address = part._meta.model_name
    text = page(as_technician, "suits_part", address, "SP-001")
    assert text.count('<article class="card offer">') == 2
    assert "Where could SP-001 go?" in text
    assert reverse("assets:suits_part", args=[address, "SP-001"]) in page(
        as_technician, "part", address, "SP-001"
    )
    assert "Where could it go?" in page(as_technician, "part_list", address)


def test_driven_places_ask_for_machines_and_lost_motion(as_technician, place):
    text = page(as_technician, "points", "SKB", "12")
    assert "/points/SKB/12/1/suits/machine/" in text
    assert "/points/SKB/12/1/suits/lost_motion_fitting/" in text
    assert "/points/SKB/12/2/suits/machine/" not in text


def test_fitting_a_machine_that_does_not_suit_asks_why(as_technician, place):
    make_machine("MC-003", quarantined=True)
    url = reverse("assets:fit", args=["SKB", "12", 1, "machine"])
    given = {"part": "MC-003", "on": "2025-05-01", "by": "Lineman A"}
    refused = as_technician.post(url, given)
    text = unescape(refused.content.decode())
    assert "MC-003 does not suit SKB 12, first stretcher. Quarantine: " in text
    assert 'give the reason in "Why it was fitted"' in text
    assert as_technician.post(url, {**given, "reason": "the only one"}).status_code == 302


def test_a_machine_is_thought_away_from_where_it_is(place):
    """Fitted at place 1, it is not its own neighbour when asked about place 2."""
    machine = make_machine("MC-001")
    make_fitting(machine, place)
    offers = {offer.position.order: offer for offer in suits.places_for(machine)}
    assert offers[1].occupied_by == machine
    assert offers[2].occupied_by is None
    assert not any("MC-001" in f.reason for f in offers[2].assessment.answers)
    [other] = suits.spares_for(place.points.positions.get(order=2), [machine])
    assert "no other machine" in offers[1].assessment["kind of machine"].reason
    assert other.assessment == offers[2].assessment


@pytest.mark.parametrize("kind", KINDS)
def test_open_defects_of_any_kind_of_part_count(place, kind):
    part = KINDS[kind]("SP-001")
    make_defect(place.points, title="Pin worn", part=part)
    [offer] = suits.spares_for(place, kind=kind)
    assert "Pin worn" in offer.assessment["open defects"].reason
    assert offer.assessment["open defects"].outcome == "suits_after_work"


@pytest.mark.parametrize("kind", KINDS)
def test_more_spares_and_more_points_take_no_more_queries(
    place, kind, django_assert_max_num_queries
):
    for number in range(8):
        KINDS[kind](f"SP-{number + 10}")
    with django_assert_max_num_queries(13):
        suits.spares_for(place, kind=kind)
    part = KINDS[kind]("SP-001")
    for number in range(20, 28):
        make_position(make_points(str(number)), 1)
    with django_assert_max_num_queries(13):
        assert len(suits.places_for(part)) == 10
