"""The register's everyday pages: finding, entering, fitting, and what is said of bad input."""

import re
from datetime import date, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from assets.models import Fitting, Points, Position, Stretcher
from tests import builders
from tests.builders import (
    make_fitting,
    make_location,
    make_machine,
    make_points,
    make_position,
    make_rail,
    make_stretcher,
)

pytestmark = pytest.mark.django_db

# What the form of a rod asks with "unknown" as an answer.
UNKNOWN_AT_FIRST = (
    "generation",
    "adjustability",
    "form",
    "insulation_side",
    "left_shoe",
    "right_shoe",
    "drive_lug",
    "left_fixings",
    "right_fixings",
    "condition",
    "gooseneck_towards",
    "insulation_kind",
    "left_shoe_colour",
    "right_shoe_colour",
    "kicker_end",
    "lug_end",
    "depth",
    "notches",
)


def text_of(response) -> str:
    assert response.status_code == 200
    return response.content.decode()


# --- finding --------------------------------------------------------------------------------------


def test_points_are_narrowed_by_words_rail_and_empty_places(as_technician):
    full, empty = (
        make_points("12"),
        make_points("13", rail_section=make_rail("113A", "flat_bottom")),
    )
    make_fitting(make_stretcher(), make_position(full, 1))
    make_position(empty, 1)
    for query, found in (
        ("search=12", "SKB 12"),
        ("rail=flat_bottom", "SKB 13"),
        ("empty_place=true", "SKB 13"),
        ("search=skelbeck+13", "SKB 13"),
    ):
        page = text_of(as_technician.get(f"/points/?{query}"))
        other = {"SKB 12": "SKB 13", "SKB 13": "SKB 12"}[found]
        assert f">{found}</a>" in page, query
        assert f">{other}</a>" not in page, query


def test_a_filter_that_cannot_be_says_so_instead_of_showing_an_empty_list(as_technician):
    make_points("12")
    page = text_of(as_technician.get("/points/?layout=roundabout"))
    assert "The list cannot be narrowed like that" in page
    assert "roundabout is not in the list" in page


def test_an_empty_list_says_what_to_do(as_technician):
    assert "Enter the first set of points" in text_of(as_technician.get("/points/"))


@pytest.mark.parametrize(("address", "most"), [("/points/", 17), ("/parts/stretcher/", 9)])
def test_lists_take_no_more_queries_for_more_rows(
    as_technician, address, most, django_assert_max_num_queries
):
    """Three of them say what does not suit, and of the points one what is owed, one what the
    arithmetic finds to measure."""

    def grow():
        for _ in range(8):
            make_fitting(make_stretcher(), make_position(make_points(), 1))
        as_technician.get(address)  # judges what was fitted

    grow()
    with django_assert_max_num_queries(most):
        as_technician.get(address)
    grow()
    with django_assert_max_num_queries(most):
        as_technician.get(address)


def test_the_points_page_takes_no_more_queries_for_more_rods(as_technician):
    small, large = make_points("1"), make_points("2")
    make_fitting(make_stretcher(), make_position(small, 1))
    for order in (0, 1, 2, 3):
        rod = make_stretcher(for_lock=order == 0)
        make_fitting(rod, make_position(large, order))
    counts = []
    for number in ("1", "2"):
        as_technician.get(f"/points/SKB/{number}/")  # what is asked once in a process
        with CaptureQueriesContext(
            connection,
        ) as caught:
            as_technician.get(f"/points/SKB/{number}/")
        counts.append(len(caught))
    assert counts[1] <= counts[0] + 1


def test_an_unknown_address_is_a_page_that_helps(as_technician):
    assert as_technician.get("/points/SKB/99/").status_code == 404
    assert as_technician.get("/parts/teapot/").status_code == 404


def test_the_story_of_a_set_of_points_and_its_changes_are_told(as_technician):
    points = make_points("12")
    position = make_position(points, 1)
    make_fitting(
        make_stretcher("ST-001"),
        position,
        taken_out_on=date(2025, 6, 1),
        taken_out_by="Lineman A",
        taken_out_reason="bush squashed",
    )
    points.layout = "trap"
    points.save()
    page = text_of(as_technician.get("/points/SKB/12/"))
    assert "ST-001" in page
    assert "taken out 1 Jun 2025 by Lineman A: bush squashed" in page
    assert "layout: turnout → trap points" in page


# --- entering -------------------------------------------------------------------------------------


def test_points_are_entered_and_what_is_unknown_stays_so(as_technician):
    sent = {
        "location": make_location().pk,
        "number": " 12 ",
        "layout": "turnout",
        "hand": "unknown",
        "use": "unknown",
        "track_circuited": "",
        "heel": "unknown",
        "depth": "unknown",
        "soleplate": "unknown",
        "lock_casting": "unknown",
        "machine_on": "unknown",
        "detection_rods": "unknown",
        "detector_on": "unknown",
        "gauge_mm": "4 ft 8 1/2 in",
        "machine_side": "unknown",
        "normal_lie": "unknown",
        "service_state": "in_use",
    }
    as_technician.post("/points/new/", sent)
    points = Points.objects.by_key("SKB 12")
    assert points.track_circuited is None
    assert points.gauge_mm == pytest.approx(1435.1)
    again = text_of(as_technician.post("/points/new/", sent))
    assert "This location already has points with that number." in again
    absurd = text_of(as_technician.post("/points/new/", {**sent, "number": "13", "gauge_mm": "9"}))
    assert "Gauge must be between 300 and 1700 mm." in absurd
    assert Points.objects.count() == 1


def test_a_position_beyond_the_heel_is_refused_beside_its_box(as_technician):
    make_points("12")
    sent = {"order": 1, "role": "drive", "distance_mm": "9000"}
    page = text_of(as_technician.post("/points/SKB/12/place/new/", sent))
    assert "9000 mm is beyond the heel, which is 6858 mm from the toe." in page
    as_technician.post("/points/SKB/12/place/new/", {**sent, "distance_mm": "37 1/2 in"})
    assert Position.objects.get().distance_mm == 952.5


def test_a_rod_is_entered_changed_and_its_tag_used_once(as_technician):
    form = dict.fromkeys(UNKNOWN_AT_FIRST, "unknown")
    as_technician.post("/parts/stretcher/new/", {**form, "tag": "ST-900"})
    rod = Stretcher.objects.get(tag="ST-900")
    assert (rod.generation, rod.kicker, rod.length_min_mm) == ("unknown", None, None)
    page = text_of(as_technician.post("/parts/stretcher/new/", {**form, "tag": "ST-900"}))
    assert "already exists" in page
    wrong = {**form, "tag": "ST-900", "length_min_mm": "1300", "length_max_mm": "1200"}
    page = text_of(as_technician.post("/parts/stretcher/ST-900/edit/", wrong))
    assert "The shortest length must not be above the longest." in page
    as_technician.post("/parts/stretcher/ST-900/edit/", {**form, "tag": "ST-900", "kicker": "true"})
    rod.refresh_from_db()
    assert rod.kicker is True
    assert "kicker: unknown → True" in text_of(as_technician.get("/parts/stretcher/ST-900/"))


# --- fitting, taking out, moving ------------------------------------------------------------------


@pytest.fixture
def place():
    return make_position(make_points("12"), 2, separation_mm=1250)


def fit(client, **changes):
    sent = {"part": "ST-014", "on": "2025-06-01", "by": "Lineman A", **changes}
    return client.post("/points/SKB/12/2/fit/stretcher/", sent)


def test_a_spare_is_fitted_from_the_page_that_ranks_it(as_technician, place):
    make_stretcher("ST-014")
    page = text_of(as_technician.get("/points/SKB/12/2/suits/"))
    assert "/points/SKB/12/2/fit/stretcher/?part=ST-014" in page
    assert fit(as_technician)["Location"] == "/points/SKB/12/"
    assert place.fittings.get().part.tag == "ST-014"


def test_a_rod_that_does_not_suit_needs_a_written_reason(as_technician, place):
    make_stretcher("ST-014", condition="scrap")
    page = text_of(fit(as_technician))
    assert "ST-014 does not suit SKB 12, second stretcher. Condition: " in page
    assert "give the reason in &quot;Why it was fitted&quot;" in page
    assert not place.fittings.exists()
    fit(as_technician, reason="for the engineer's trial, points secured")
    assert place.fittings.get().fitted_reason == "for the engineer's trial, points secured"


def test_an_occupied_place_asks_why_the_present_rod_comes_out(as_technician, place):
    make_fitting(make_stretcher("ST-001"), place)
    make_stretcher("ST-014")
    page = text_of(fit(as_technician))
    assert "Why ST-001 is taken out" in page
    assert "Fill this in." in page
    fit(as_technician, replacing="worn")
    assert [f.part.tag for f in place.fittings.current()] == ["ST-014"]


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"part": "ST-999"}, "ST-999 is not in the list"),
        ({"on": "2025-02-30"}, "Enter a valid date."),
        ({"on": f"{timezone.localdate() + timedelta(days=2):%Y-%m-%d}"}, "is in the future"),
        ({"by": ""}, "Fill this in."),
    ],
)
def test_a_fitting_that_cannot_be_is_refused_with_a_sentence(
    as_technician, place, changes, sentence
):
    make_stretcher("ST-014")
    assert sentence in text_of(fit(as_technician, **changes))
    assert not Fitting.objects.exists()


def test_a_rod_is_taken_out_with_a_reason_and_moved_to_another_place(as_technician, place):
    fitted = make_fitting(make_stretcher("ST-014"), place)
    address = f"/fittings/{fitted.pk}/take-out/"
    sent = {"on": "2025-06-01", "by": "Lineman A"}
    assert "Fill this in." in text_of(as_technician.post(address, sent))
    there = make_position(place.points, 3)
    moved = {**sent, "to": there.pk, "reason": "better length"}
    as_technician.post(f"/fittings/{fitted.pk}/move/", moved)
    assert [f.position.order for f in Fitting.objects.current()] == [3]
    current = Fitting.objects.current().get()
    as_technician.post(f"/fittings/{current.pk}/take-out/", {**sent, "reason": "cracked"})
    assert Stretcher.objects.spare().count() == 1
    assert as_technician.get(address).status_code == 404


def test_a_machine_is_fitted_at_a_driven_place(as_technician):
    points = make_points("12")
    make_position(points, 1)
    make_machine("MC-1")
    sent = {"part": "MC-1", "on": "2025-06-01", "by": "Lineman A", "reason": "first of its kind"}
    as_technician.post("/points/SKB/12/1/fit/machine/", sent)
    assert Fitting.objects.get().machine.tag == "MC-1"


def test_the_ganger_sees_the_register_and_changes_nothing(as_ganger, place):
    page = text_of(as_ganger.get("/points/SKB/12/"))
    assert "Fit a rod" not in page
    assert "Record as installed" not in page
    assert fit(as_ganger).status_code == 403


def test_history_names_who_changed_what(as_engineer):
    rod = make_stretcher("ST-014")
    builders.make_fitting(rod, make_position(make_points("12"), 1))
    as_engineer.get("/parts/stretcher/ST-014/")
    assert rod.history.count() == 1


# --- two people, one record -----------------------------------------------------------------------


def hidden(page: str, name: str) -> str:
    [value] = re.findall(rf'name="{name}" value="(\d+)"', page)
    return value


def test_a_change_made_meanwhile_is_told_and_what_was_typed_is_kept(as_technician):
    points = make_points("12")
    make_position(points, 2)
    address = "/points/SKB/12/2/edit/"
    seen = hidden(text_of(as_technician.get(address)), "seen")
    mine = {"order": 2, "role": "intermediate", "distance_mm": "2500", "seen": seen}
    as_technician.post(address, {**mine, "distance_mm": "2400"})
    page = text_of(as_technician.post(address, mine))
    assert "Lineman A changed this since you opened it." in page
    assert 'value="2500"' in page
    assert points.positions.get().distance_mm == 2400
    as_technician.post(address, {**mine, "seen": hidden(page, "seen")})
    assert points.positions.get().distance_mm == 2500


def test_a_number_that_another_place_has_is_refused_beside_its_box(as_technician):
    points = make_points("12")
    make_position(points, 1, distance_mm=None)
    make_position(points, 2, distance_mm=None)
    sent = {"order": 1, "role": "intermediate"}
    page = text_of(as_technician.post("/points/SKB/12/2/edit/", sent))
    assert "These points already have a position with that number." in page


def test_spares_and_places_to_choose_from_say_what_they_are(as_technician, place):
    make_stretcher("ST-014", insulation_side="right")
    fitted = make_fitting(make_stretcher("ST-001"), place)
    make_position(place.points, 3)
    page = text_of(as_technician.get("/points/SKB/12/2/fit/stretcher/"))
    assert "ST-014 · yellow · insulated: right · shoes bullhead / bullhead" in page
    page = text_of(as_technician.get(f"/fittings/{fitted.pk}/move/"))
    assert "SKB 12, third stretcher · no stretcher" in page
