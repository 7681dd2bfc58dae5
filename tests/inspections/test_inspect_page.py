"""The inspection form: what it asks, what it refuses, and that nothing typed is lost."""

import re
from datetime import date
from html import unescape

import pytest
from django.urls import reverse

from assets.models import Points
from inspections.models import Examination, Inspection, Reading
from tests import builders, pages

pytestmark = pytest.mark.django_db


@pytest.fixture
def points():
    return builders.make_rigged_points("12")


def address(points) -> str:
    return reverse("inspections:inspect", args=["SKB", points.number])


def hidden(page: str) -> dict[str, str]:
    """The values that the page itself sends along."""
    found = re.findall(r'<input type="hidden" name="(client_id|rods)" value="([^"]*)"', page)
    return dict(found)


def opened(client, points) -> dict[str, str]:
    page = client.get(address(points)).content.decode()
    return {
        **hidden(page),
        "at": "2026-05-04T10:30",
        "by": "Lineman A",
        "reason": "routine",
    }


def box(points, order: int, quantity: str = "fwc", side: str = "", lie: str = "left_closed") -> str:
    return f"r-{quantity}-{points.positions.get(order=order).pk}-{side}-{lie}"


def look(points, order: int, item: str) -> str:
    return f"e-{item}-{points.positions.get(order=order).pk}"


def page_of(response) -> str:
    return unescape(pages.shown(response))


def test_the_form_shows_the_limit_and_the_last_reading_beside_the_box(as_technician, points):
    builders.set_limit("fwc", 50)
    builders.make_fwc_visit(points, builders.noon(2026, 4, 1), 46)
    page = page_of(as_technician.get(address(points)))
    assert (
        "at least 50 mm · limit not confirmed · last 46 mm, 1 Apr 2026 · out of limits then" in page
    )


def test_places_follow_each_other_from_the_toe(as_technician, points):
    page = page_of(as_technician.get(address(points)))
    headings = re.findall(r'-heading">([^<]+?)\s*<', page)
    assert headings == [
        "At the toe",
        "Lock stretcher",
        "First stretcher",
        "Second stretcher",
        "Narrowest place between the stretchers",
        "The points as a whole",
    ]


def test_a_visit_is_saved_from_what_was_filled_in_and_leads_to_its_page(as_technician, points):
    builders.set_limit("fwc", 50)
    builders.set_limit("switch_opening", 102, 120)
    sent = opened(as_technician, points) | {
        box(points, 1): "49.5",
        box(points, 1, lie="right_closed"): "2 in",
        "r-switch_opening-toe--left_closed": "4 1/4 in",
        box(points, 0, "lock_no_go"): "0",
        box(points, 2, "torque", "left", ""): "",
        f"w{box(points, 2, 'torque', 'left', '')[1:]}": "no instrument for it",
        look(points, 1, "weld"): "defective",
        f"n{look(points, 1, 'weld')[1:]}": "hair line at the left end",
        "e-switch_creep-points": "good",
        "note": "Rain.",
    }
    response = as_technician.post(address(points), sent)
    visit = Inspection.objects.get()
    assert response.url == visit.get_absolute_url()
    assert visit.recorded_by.username == "technician"
    stored = {(r.quantity, r.lie): (r.value, r.verdict) for r in visit.readings.all()}
    assert stored == {
        ("fwc", "left_closed"): (49.5, "intervention"),
        ("fwc", "right_closed"): (50.8, "within"),
        ("switch_opening", "left_closed"): (107.95, "within"),
        ("lock_no_go", "left_closed"): (0, "no_limit"),
        ("torque", ""): (None, "not_taken"),
    }
    seen = {(e.item, e.found, e.note) for e in visit.examinations.all()}
    assert seen == {
        ("weld", "defective", "hair line at the left end"),
        ("switch_creep", "good", ""),
    }
    page = page_of(as_technician.get(response.url))
    assert "1 reading out of limits" in page
    assert "1 thing defective" in page
    assert "limit not confirmed" in page


def test_sending_the_same_form_twice_records_one_visit(as_technician, points):
    sent = opened(as_technician, points) | {box(points, 1): "52"}
    first = as_technician.post(address(points), sent)
    second = as_technician.post(address(points), sent)
    assert first.url == second.url
    assert Inspection.objects.count() == 1


def test_a_wrong_figure_is_marked_beside_its_box_and_all_that_was_typed_stays(
    as_technician, points
):
    sent = opened(as_technician, points) | {
        "r-switch_opening-toe--left_closed": "1080",
        box(points, 1): "fifty",
        box(points, 2): "52.5",
        look(points, 1, "weld"): "good",
        "note": "Rain.",
    }
    response = as_technician.post(address(points), sent)
    page = page_of(response)
    assert response.status_code == 422
    assert "1080 mm cannot be right: switch opening is between 10 mm and 250 mm" in page
    assert '"fifty" is not a length' in page
    for kept in ('value="1080"', 'value="fifty"', 'value="52.5"', "Rain."):
        assert kept in page
    assert not Inspection.objects.exists()
    assert not Reading.objects.exists()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"at": "2126-05-04T10:30"}, "A visit cannot be in the future."),
        ({"at": "31 February"}, "Enter a valid date/time."),
        ({"at": "2026-03-29T01:30"}, "couldn’t be interpreted"),
        ({"by": " "}, "Fill this in."),
        ({"reason": "whim"}, "whim is not in the list"),
        ({"client_id": "rubbish"}, "Enter a valid UUID."),
    ],
)
def test_a_visit_that_cannot_be_is_refused_with_a_message(as_technician, points, change, words):
    sent = opened(as_technician, points) | {box(points, 1): "52"} | change
    response = as_technician.post(address(points), sent)
    assert words in page_of(response)
    assert not Inspection.objects.exists()


def test_an_empty_form_is_refused(as_technician, points):
    page = page_of(as_technician.post(address(points), opened(as_technician, points)))
    assert "enter at least one reading or examination" in page


def test_a_clearance_between_the_rods_needs_its_distance_from_the_toe(as_technician, points):
    sent = opened(as_technician, points) | {"r-fwc-between--left_closed": "49"}
    assert "Say how far from the toe" in page_of(as_technician.post(address(points), sent))
    as_technician.post(address(points), sent | {"at-left_closed": "1900"})
    reading = Reading.objects.get()
    assert (reading.at_mm, reading.value, reading.position) == (1900, 49, None)


def test_a_note_without_a_finding_is_not_thrown_away(as_technician, points):
    sent = opened(as_technician, points) | {
        f"n{look(points, 1, 'weld')[1:]}": "something odd",
        box(points, 1): "52",
    }
    page = page_of(as_technician.post(address(points), sent))
    assert "Choose what was found" in page
    assert "something odd" in page


def test_a_rod_changed_while_the_form_was_open_is_told_before_anything_is_saved(
    as_technician, points
):
    sent = opened(as_technician, points) | {look(points, 1, "weld"): "good"}
    place = points.positions.get(order=1)
    place.fittings.update(taken_out_on=date(2026, 5, 1), taken_out_reason="worn")
    builders.make_fitting(builders.make_stretcher("ST-NEW"), place, fitted_on=date(2026, 5, 1))
    page = page_of(as_technician.post(address(points), sent))
    assert "first stretcher: now ST-NEW" in page
    assert not Examination.objects.exists()
    as_technician.post(address(points), sent | hidden(page))
    assert Examination.objects.get().stretcher.tag == "ST-NEW"


def test_a_reading_of_a_rod_that_is_gone_is_refused_beside_its_box_and_kept(as_technician, points):
    torque = box(points, 1, "torque", "left", "")
    sent = opened(as_technician, points) | {torque: "222"}
    points.positions.get(order=1).fittings.update(
        taken_out_on=date(2026, 5, 1), taken_out_reason="cracked"
    )
    page = page_of(as_technician.post(address(points), sent))
    assert "first stretcher: now no stretcher" in page
    page = page_of(as_technician.post(address(points), sent | hidden(page)))
    assert "No stretcher is recorded at the first stretcher on 4 May 2026" in page
    assert 'value="222"' in page
    assert not Reading.objects.exists()


def test_a_figure_for_a_place_that_was_taken_away_is_named_not_dropped(as_technician, points):
    gone = builders.make_position(points, 3)
    sent = opened(as_technician, points) | {box(points, 3): "51", box(points, 1): "52"}
    gone.delete()
    page = page_of(as_technician.post(address(points), sent))
    assert "fwc: 51" in page
    assert not Reading.objects.exists()


def test_the_instrument_used_is_kept_and_marked_when_past_its_check(as_technician, points):
    rule = builders.make_instrument("RULE-1", "rule", check_due=date(2026, 5, 3))
    page = page_of(as_technician.get(address(points)))
    assert "RULE-1 (rule or callipers), check overdue, due 3 May 2026" in page
    sent = opened(as_technician, points) | {box(points, 1): "52", "instruments": [rule.pk]}
    response = as_technician.post(address(points), sent)
    assert "RULE-1 check overdue" in page_of(as_technician.get(response.url))


def test_the_form_takes_as_many_queries_for_two_rods_as_for_five(
    as_technician, django_assert_max_num_queries
):
    small = builders.make_points("20")
    builders.make_position(small, 1)
    large = builders.make_rigged_points("21")
    for order in (3, 4, 5):
        builders.make_fitting(builders.make_stretcher(), builders.make_position(large, order))
    builders.make_fwc_visit(large, builders.noon(2026, 4, 1), 52)
    for points in (small, large):
        with django_assert_max_num_queries(12):
            as_technician.get(address(points))


@pytest.mark.parametrize("who", ["technician", "ganger", "engineer"])
def test_both_departments_and_the_engineer_may_inspect(client, request, points, who):
    client.force_login(request.getfixturevalue(who))
    assert client.get(address(points)).status_code == 200


@pytest.mark.parametrize("who", ["viewer", "outsider"])
def test_a_viewer_and_an_outsider_may_not(client, request, points, who):
    client.force_login(request.getfixturevalue(who))
    assert client.get(address(points)).status_code == 403
    assert client.post(address(points), {}).status_code == 403


def test_every_box_has_a_label_and_every_hint_belongs_to_a_box(as_technician, points):
    page = as_technician.get(address(points)).content.decode()
    boxes = re.findall(r'<(?:input|select|textarea)[^>]* id="([^"]+)"[^>]*>', page)
    tags = re.findall(r"<(?:input|select|textarea)[^>]*>", page)
    labelled = set(re.findall(r'<label[^>]* for="([^"]+)"', page))
    named = {t for tag in tags if "aria-label" in tag for t in re.findall(r' id="([^"]+)"', tag)}
    hidden_boxes = {f"id_{name}" for name in ("client_id", "rods")}
    assert set(boxes) - labelled - named - hidden_boxes == set()
    described = set(re.findall(r'aria-describedby="([^"]+)"', page))
    assert described <= set(re.findall(r' id="([^"]+)"', page))


def test_the_top_of_the_page_leads_to_each_box_that_is_marked(as_technician, points):
    sent = opened(as_technician, points) | {
        box(points, 1): "fifty",
        look(points, 1, "weld"): "fine",
        "r-fwc-between--left_closed": "49",
    }
    page = page_of(as_technician.post(address(points), sent))
    for name, words in (
        (box(points, 1), "Free wheel clearance, first stretcher, left closed"),
        (f"{look(points, 1, 'weld')}_0", "Welds on adjustable stretchers, first stretcher"),
        ("at-left_closed", "From the toe, left closed (mm)"),
    ):
        assert f'<a href="#id_{name}">{words}</a>' in page
        assert f'id="id_{name}"' in page


def test_what_a_box_can_hold_is_written_without_idle_decimals(as_technician, points):
    Points.objects.update(gauge_mm=1435)
    page = page_of(as_technician.get(address(points)))
    assert 'data-plausible="1375 to 1495 mm"' in page


def test_measuring_again_begins_at_the_box_and_does_not_put_the_inspection_off(
    as_technician, points
):
    asked = f"{address(points)}?reason=after_work&for=fwc/1/right_closed"
    page = page_of(as_technician.get(asked))
    [focused] = re.findall(r"<input[^>]* autofocus[^>]*>", page)
    assert f'name="{box(points, 1, lie="right_closed")}"' in focused
    assert '<option value="after_work" selected>' in page
    nowhere = as_technician.get(f"{address(points)}?for=weight/9/x/y")
    assert "autofocus" not in nowhere.content.decode()
