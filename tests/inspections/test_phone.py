"""A visit that waited on a phone: received once, judged, with its photographs and its doubts."""

import uuid
from datetime import date, timedelta

import pytest
from django.db import DatabaseError, transaction
from django.utils import timezone

from assets.fitting import fit, take_out
from inspections.models import Difference, Examination, Inspection, Reading
from tests.builders import make_rigged_points, make_stretcher, set_limit
from tests.pictures import make_picture, upload

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "photographs"
    return settings.MEDIA_ROOT


@pytest.fixture
def points():
    set_limit("fwc", minimum=50)
    return make_rigged_points("12")


def rods_of(points) -> str:
    """What a form of these points carries of the rods that are fitted."""
    return ",".join(
        f"{p.pk}:{p.fittings.current().get().stretcher_id}" for p in points.positions.all()
    )


def written(points, order: int = 1, value: str = "46", **more) -> dict:
    """A form with one free wheel clearance and one thing looked at."""
    place = points.positions.get(order=order).pk
    return {
        "at": timezone.localtime().strftime("%Y-%m-%dT%H:%M"),
        "by": "Lineman A",
        "reason": "routine",
        "client_id": str(uuid.uuid4()),
        "rods": rods_of(points),
        f"r-fwc-{place}--left_closed": value,
        f"e-fixings-{place}": "defective",
        **more,
    }


def send(client, data: dict, queued: bool = True):
    form = {**data, "queued": "yes"} if queued else data
    return client.post("/points/SKB/12/inspect/send/", form)


def test_a_visit_that_waited_is_recorded_and_judged(as_technician, points):
    answer = send(as_technician, written(points))
    assert answer.status_code == 201
    visit = Inspection.objects.get()
    assert answer.json() == {
        "recorded": str(visit.client_id),
        "url": f"/visits/{visit.pk}/",
        "out": 1,
        "defective": 1,
        "asked": 0,
    }
    assert Reading.objects.get().verdict == "intervention"


def test_sent_twice_it_is_recorded_once_with_its_photographs(as_technician, points, folder):
    data = written(points)
    place = points.positions.get(order=1).pk
    for _ in range(2):
        photographs = [upload(), upload(make_picture(colour="blue"))]
        answer = send(as_technician, {**data, f"p-fixings-{place}": photographs})
        assert answer.status_code == 201
    assert Inspection.objects.count() == 1
    assert Examination.objects.get().photos.count() == 2
    assert len(list(folder.iterdir())) == 4  # two pictures, each with its thumbnail
    page = as_technician.get(answer.json()["url"]).content.decode()
    assert page.count("/small/") == 2


def test_sent_again_after_the_points_changed_it_is_still_the_visit_recorded_first(
    as_technician, points
):
    data = written(points)
    send(as_technician, data)
    points.positions.get(order=1).fittings.all().delete()
    answer = send(as_technician, {**data, "by": ""})
    assert answer.json()["recorded"] == data["client_id"]


def test_what_cannot_be_right_comes_back_under_the_name_of_its_box(as_technician, points):
    place = points.positions.get(order=1).pk
    answer = send(as_technician, written(points, value="4600"))
    assert answer.status_code == 422
    assert list(answer.json()["errors"]) == [f"r-fwc-{place}--left_closed"]
    assert "cannot be right" in answer.json()["errors"][f"r-fwc-{place}--left_closed"][0]
    assert not Inspection.objects.exists()


def test_a_photograph_that_is_none_comes_back_and_nothing_is_recorded(as_technician, points):
    place = points.positions.get(order=1).pk
    data = {**written(points), f"p-fixings-{place}": [upload(b"PK\x03\x04")]}
    answer = send(as_technician, data)
    assert "not a picture" in answer.json()["errors"][f"p-fixings-{place}"][0]
    assert not Inspection.objects.exists()


def test_a_photograph_needs_a_thing_that_was_looked_at(as_technician, points):
    place = points.positions.get(order=1).pk
    data = {**written(points), f"e-fixings-{place}": "", f"p-fixings-{place}": [upload()]}
    answer = send(as_technician, data)
    assert "the photograph belongs to it" in str(answer.json()["errors"])


def test_who_is_not_logged_in_is_sent_to_log_in_and_nothing_is_recorded(client, points):
    answer = send(client, written(points))
    assert answer.status_code == 302
    assert answer.url.startswith("/login/")


def test_a_viewer_sends_nothing(client, viewer, points):
    client.force_login(viewer)
    assert send(client, written(points)).status_code == 403


def test_the_token_says_who_is_logged_in(as_technician, technician):
    answer = as_technician.get("/token/")
    assert answer.json()["user"] == technician.pk
    assert answer.json()["name"] == "Lineman A"
    assert len(answer.json()["token"]) == 64
    assert "no-store" in answer["Cache-Control"]


def test_a_stale_token_is_refused_so_that_the_phone_asks_for_a_fresh_one(technician, points):
    from django.test import Client

    strict = Client(enforce_csrf_checks=True)
    strict.force_login(technician)
    assert send(strict, written(points)).status_code == 403
    fresh = strict.get("/token/").json()["token"]
    data = {**written(points), "csrfmiddlewaretoken": fresh}
    assert send(strict, data).status_code == 201


# A rod changed while the form was on the phone


def swap(points, order: int = 1, on: date | None = None) -> tuple:
    """Takes the rod out and puts another in, today unless said; gives both."""
    on = on or timezone.localdate()
    old = points.positions.get(order=order).fittings.current().get()
    take_out(old, on=on, by="Lineman B", reason="cracked")
    rod = make_stretcher("ST-099")
    fit(rod, points.positions.get(order=order), on=on, by="Lineman B", reason="for the cracked one")
    return old.stretcher, rod


def test_a_form_at_the_desk_is_held_back_where_the_rods_changed(as_technician, points):
    data = written(points)
    swap(points)
    answer = send(as_technician, data, queued=False)
    assert answer.status_code == 422
    assert "What is fitted has changed" in str(answer.json()["errors"])
    assert answer.json()["rods"] == rods_of(points)
    assert not Inspection.objects.exists()


def test_a_form_that_waited_is_kept_and_the_difference_put_to_a_person(as_technician, points):
    data = written(points)
    old, new = swap(points)
    answer = send(as_technician, data)
    assert answer.json()["asked"] == 1
    assert Reading.objects.get().stretcher == old
    asked = Difference.objects.get()
    assert (asked.rod_then, asked.rod_now) == (old, new)
    page = as_technician.get(answer.json()["url"]).content.decode()
    assert "Which stretcher was it?" in page
    assert f"the form was for {old}" in page


def test_a_rod_changed_after_the_day_of_the_visit_raises_no_question(as_technician, points):
    yesterday = timezone.localtime() - timedelta(days=1)
    data = written(points, at=yesterday.strftime("%Y-%m-%dT%H:%M"))
    old, _ = swap(points)
    assert send(as_technician, data).json()["asked"] == 0
    assert Reading.objects.get().stretcher == old


def test_a_rod_changed_elsewhere_on_the_points_raises_no_question(as_technician, points):
    data = written(points, order=1)
    swap(points, order=2)
    assert send(as_technician, data).json()["asked"] == 0


def test_a_reading_for_a_place_that_has_since_lost_its_rod_is_kept(as_technician, points):
    place = points.positions.get(order=1)
    data = {**written(points), f"r-torque-{place.pk}-left-": "220"}
    old = place.fittings.current().get()
    take_out(old, on=timezone.localdate(), by="Lineman B", reason="cracked")
    answer = send(as_technician, data)
    assert answer.status_code == 201
    assert Reading.objects.filter(stretcher=old.stretcher).count() == 2
    assert Difference.objects.get().rod_now is None


def test_a_place_that_is_gone_leaves_its_reading_in_the_note(as_technician, points):
    data = written(points)
    place = points.positions.get(order=2)
    data[f"r-fwc-{place.pk}--left_closed"] = "61"
    place.fittings.all().delete()
    place.delete()
    assert send(as_technician, data).status_code == 201
    assert "no longer on the points: fwc: 61" in Inspection.objects.get().note


def test_a_rod_that_was_never_there_is_not_believed(as_technician, points):
    place = points.positions.get(order=1)
    stray = make_stretcher("ST-500")
    send(as_technician, written(points, rods=f"{place.pk}:{stray.pk}"))
    assert Reading.objects.get().stretcher != stray
    assert not Difference.objects.exists()


@pytest.mark.parametrize(
    ("which", "rod_of_standing", "value"), [("then", 0, 46), ("now", 1, 46), ("not_known", 0, None)]
)
def test_the_answer_decides_which_rod_the_reading_counts_for(
    as_technician, points, which, rod_of_standing, value
):
    data = written(points)
    rods = swap(points)
    send(as_technician, data)
    asked = Difference.objects.get()
    as_technician.post(f"/visits/differences/{asked.pk}/", {"which": which})
    standing = Reading.objects.standing().get()
    assert standing.stretcher == rods[rod_of_standing]
    assert standing.value == value
    page = as_technician.get(asked.inspection.get_absolute_url()).content.decode()
    assert "according to Lineman A" in page
    assert "Say which rod it was" not in page


def test_an_answer_is_given_once(as_technician, points):
    data = written(points)
    swap(points)
    send(as_technician, data)
    asked = Difference.objects.get()
    address = f"/visits/differences/{asked.pk}/"
    as_technician.post(address, {"which": "then"})
    again = as_technician.post(address, {"which": "now"})
    assert again.status_code == 422
    assert "Lineman A has answered this already" in again.content.decode()
    with pytest.raises(DatabaseError, match="has been answered"), transaction.atomic():
        Difference.objects.update(answer="now")


def test_points_are_offered_to_be_taken_along_with_those_asked_for_ticked(as_technician, points):
    make_rigged_points("14")
    page = as_technician.get("/take/?points=SKB+12").content.decode()
    assert page.count('type="checkbox"') == 2
    assert page.count(" checked") == 1


def test_taking_points_along_asks_the_database_the_same_for_any_number(
    as_technician, points, django_assert_max_num_queries
):
    for number in range(20, 26):
        make_rigged_points(str(number))
    with django_assert_max_num_queries(8):
        as_technician.get("/take/")
