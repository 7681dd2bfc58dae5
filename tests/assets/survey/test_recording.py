"""What was found on a set of points, recorded from one form: what is known stays."""

from datetime import date

import pytest

from assets.models import Fitting, LostMotionFitting, Machine, Points, Stretcher
from tests.builders import (
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

PAGE = "/points/SKB/12/as-installed/"
pytestmark = pytest.mark.django_db


def text_of(response) -> str:
    assert response.status_code == 200
    return response.content.decode()


def as_installed(rows: dict[int, dict], **found) -> dict:
    """What a survey sends: ``rows`` by place, other boxes by their names with __ for a hyphen."""
    sent = {"on": "2025-06-01", "by": "Lineman A"}
    sent |= {name.replace("__", "-"): value for name, value in found.items()}
    for order, row in rows.items():
        sent |= {f"rods-{order}-{name}": value for name, value in row.items()}
    return sent


def told(page: str) -> str:
    """What the page says that it has told of the register."""
    return page.split('name="told" value="')[1].split('"')[0]


def test_a_set_of_points_found_in_the_field_is_recorded_in_one_form(as_technician):
    points = make_points("12", soleplate="unknown")
    make_stretcher("ST-014", generation="yellow", kicker=None)
    sent = as_installed(
        {
            0: {"distance_mm": "200", "tag": "ST-100", "notches": "cut"},
            1: {"role": "drive", "distance_mm": "950", "tag": "ST-014", "kicker": "true"},
            2: {"role": "back", "chiselled": "true"},
        },
        machine__tag="MC-9",
        machine__at="1",
        machine__kind="hand_lever",
        machine__stroke_mm="102",
        lost_motion__tag="LM-9",
        lost_motion__at="1",
        lost_motion__kind="escapement",
        lost_motion__lost_motion_min_mm="31",
        lost_motion__lost_motion_max_mm="33",
        points__soleplate="insulated",
        points__depth="full",
        points__studs="2600; 3400",
    )
    as_technician.post(PAGE, sent)
    fitted = {f.position.order: f for f in Fitting.objects.filter(stretcher__isnull=False)}
    assert {order: f.part.tag for order, f in fitted.items()} == {0: "ST-100", 1: "ST-014"}
    assert all(f.found_fitted and f.fitted_on == date(2025, 6, 1) for f in fitted.values())
    known = Stretcher.objects.get(tag="ST-014")
    assert (known.generation, known.kicker) == ("yellow", True)
    new = Stretcher.objects.get(tag="ST-100")
    assert (new.generation, new.notches, new.kicker) == ("unknown", "cut", None)
    assert [p.distance_mm for p in points.positions.all()] == [200, 950, None]
    assert [p.role for p in points.positions.all()] == ["lock", "drive", "back"]
    assert points.positions.get(order=1).driven is True
    assert points.positions.get(order=2).chiselled is True
    machine = Machine.objects.get(tag="MC-9")
    assert (machine.current_fitting().position.order, machine.stroke_mm) == (1, 102)
    fitting = LostMotionFitting.objects.get(tag="LM-9")
    assert (fitting.kind, fitting.lost_motion_min_mm, fitting.lost_motion_max_mm) == (
        ("escapement", 31, 33)
    )
    assert fitting.current_fitting().position.order == 1
    points = Points.objects.get()
    assert (points.soleplate, points.depth, points.studs) == ("insulated", "full", "2600; 3400")


def test_what_was_found_twice_is_confirmed_not_fitted_again(as_technician):
    points = make_points("12")
    make_fitting(make_stretcher("ST-014"), make_position(points, 1))
    row = {1: {"role": "drive", "tag": "ST-014"}}
    page = as_technician.post(PAGE, as_installed(row), follow=True)
    assert "ST-014 confirmed as first stretcher" in text_of(page)
    assert Fitting.objects.count() == 1


def test_facts_that_were_not_looked_at_stay_and_no_change_is_written(as_technician):
    points = make_points("12")
    for order in (0, 1, 2):
        rod = make_stretcher(for_lock=order == 0)
        make_fitting(rod, make_position(points, order))
    before = list(points.positions.values("order", "role", "driven", "kicker_required"))
    rods = list(Stretcher.objects.values())
    changes = Stretcher.history.count()
    rows = {
        p.order: {"role": p.role, "tag": p.fittings.get().part.tag, "generation": "unknown"}
        for p in points.positions.all()
    }
    as_technician.post(PAGE, as_installed(rows))
    assert list(points.positions.values("order", "role", "driven", "kicker_required")) == before
    assert list(Stretcher.objects.values()) == rods
    assert Stretcher.history.count() == changes


def test_a_rod_that_is_elsewhere_is_refused_and_nothing_is_saved(as_technician):
    points, other = make_points("12"), make_points("13")
    make_fitting(make_stretcher("ST-014"), make_position(other, 1))
    rows = {
        1: {"role": "drive", "distance_mm": "950", "tag": "ST-014"},
        2: {"role": "back", "distance_mm": "3900", "tag": "ST-200"},
    }
    page = text_of(as_technician.post(PAGE, as_installed(rows)))
    assert "ST-014 was at SKB 13, first stretcher" in page
    assert points.positions.count() == 0
    assert not Stretcher.objects.filter(tag="ST-200").exists()


def test_another_rod_than_the_register_has_there_is_refused_beside_its_tag(as_technician):
    points = make_points("12")
    make_fitting(make_stretcher("ST-001"), make_position(points, 1))
    rows = {1: {"role": "drive", "tag": "ST-200"}}
    page = text_of(as_technician.post(PAGE, as_installed(rows)))
    assert "SKB 12, first stretcher held ST-001" in page
    assert not Stretcher.objects.filter(tag="ST-200").exists()


def test_one_tag_at_two_places_is_refused(as_technician):
    points = make_points("12")
    rows = {n: {"role": "intermediate", "tag": "ST-1"} for n in (1, 2)}
    page = text_of(as_technician.post(PAGE, as_installed(rows)))
    assert "ST-1 is entered twice" in page
    assert points.positions.count() == 0


def test_a_found_distance_beyond_the_heel_stands_beside_its_box(as_technician):
    make_points("12")
    rows = {1: {"role": "drive", "distance_mm": "9000", "tag": "ST-1"}}
    page = text_of(as_technician.post(PAGE, as_installed(rows)))
    assert "9000 mm is beyond the heel" in page
    assert "ST-1" in page
    assert not Stretcher.objects.exists()


def test_what_hangs_on_a_fact_found_otherwise_is_not_kept(as_technician):
    """A rod found without its kicker carries it at neither end; a new lug's end is not known."""
    points = make_points("12")
    rod = make_stretcher(
        "ST-1", kicker=True, kicker_end="both", drive_lug="none", lug_end="none", form="straight"
    )
    assert rod.lug_beyond is False
    make_fitting(rod, make_position(points, 1))
    rows = {1: {"role": "drive", "tag": "ST-1", "kicker": "false", "drive_lug": "plain"}}
    first = text_of(as_technician.post(PAGE, as_installed(rows)))
    as_technician.post(PAGE, as_installed(rows, told=told(first)))
    rod.refresh_from_db()
    assert (rod.kicker, rod.kicker_end) == (False, "none")
    assert (rod.drive_lug, rod.lug_end, rod.lug_beyond) == ("plain", "unknown", None)


def test_a_machine_and_a_fitting_that_are_known_keep_what_is_known(as_technician):
    points = make_points("12")
    place = make_position(points, 1)
    machine = make_machine("MC-1", kind="motor", stroke_mm=150)
    fitting = make_lost_motion_fitting("LM-1", lost_motion_min_mm=24, lost_motion_max_mm=25)
    for part in (machine, fitting):
        make_fitting(part, place)
    sent = as_installed({}, machine__tag="MC-1", machine__at="1", machine__drive_insulated="true")
    page = text_of(as_technician.post(PAGE, sent, follow=True))
    assert "MC-1 confirmed as the machine" in page
    machine.refresh_from_db()
    assert (machine.kind, machine.stroke_mm, machine.drive_insulated) == ("motor", 150, True)


def test_the_script_is_told_where_to_go_on_or_what_is_wrong(as_technician):
    make_points("12")
    asked = {"headers": {"accept": "application/json"}}
    wrong = as_installed({1: {"role": "drive", "distance_mm": "9000"}})
    refused = as_technician.post(PAGE, wrong, **asked)
    assert refused.status_code == 422
    assert "9000 mm is beyond the heel" in refused.content.decode()
    answer = as_technician.post(PAGE, as_installed({1: {"role": "drive"}}), **asked)
    assert (answer.status_code, answer.json()) == (201, {"url": "/points/SKB/12/"})
