"""Points and positions: what the database refuses, and how people find them."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.circuit_faults import CircuitFound
from assets.models import Points, Position
from assets.register_facts import points_facts, railway_facts
from tests.builders import (
    make_design,
    make_location,
    make_points,
    make_position,
    make_stretcher,
    with_places,
)

pytestmark = pytest.mark.django_db


def refused(sentence: str):
    return pytest.raises(IntegrityError, match=sentence)


def test_points_are_found_by_their_key_however_it_is_written():
    points = make_points("12")
    assert Points.objects.by_key(" skb  12 ") == points


def test_an_unknown_key_is_named_with_the_form_it_should_have():
    with pytest.raises(Points.DoesNotExist, match="'SKB 99': the key is the location code"):
        Points.objects.by_key("SKB 99")


def test_walking_order_counts_as_people_do():
    far = make_location("WHN", name="Whin Bridge", mileage=3)
    near = make_location()
    for number, location in (("10", near), ("2", far), ("2", near), ("2A", near)):
        make_points(number, location)
    assert [p.key for p in Points.objects.in_walking_order()] == [
        "SKB 2",
        "SKB 2A",
        "SKB 10",
        "WHN 2",
    ]


def test_a_number_is_used_once_at_a_location():
    make_points("12")
    with refused("UNIQUE|unique"), transaction.atomic():
        make_points("12")
    with pytest.raises(ValidationError, match="already has points with that number"):
        Points(location=make_location(), number="12").full_clean()


def test_positions_stay_in_order_from_the_toe():
    points = make_points()
    make_position(points, 1, distance_mm=1200)
    with refused("count from the toe"), transaction.atomic():
        make_position(points, 2, distance_mm=900)
    with pytest.raises(ValidationError, match="first stretcher is at 1200 mm, so this one cannot"):
        Position(points=points, order=2, role="back", distance_mm=900).full_clean()


def test_a_position_beyond_the_heel_is_refused():
    points = make_points(design=make_design(heel_mm=6858))
    with refused("beyond the heel"), transaction.atomic():
        make_position(points, 1, distance_mm=6900)
    with pytest.raises(ValidationError, match="6900 mm is beyond the heel, which is 6858 mm"):
        Position(points=points, order=1, role="drive", distance_mm=6900).full_clean()


def test_a_position_may_wait_for_its_measure():
    points = make_points()
    position = make_position(points, 1, distance_mm=None)
    position.full_clean()
    assert position.distance_mm is None


@pytest.mark.parametrize(("order", "role"), [(0, "drive"), (1, "lock"), (9, "back")])
def test_number_0_is_the_lock_stretchers_place_and_no_other(order, role):
    with refused("position_lock_is_0"), transaction.atomic():
        make_position(make_points(), order, role=role)


@pytest.mark.parametrize(
    "fields",
    [
        {"gauge_mm": -1},
        {"gauge_mm": float("inf")},
        {"gauge_mm": 143500},
        {"layout": "roundabout"},
        {"inspection_interval_days": 0},
        {"lock_casting": "sleeper"},
        {"detection_rods": "some"},
        {"soleplate": "none", "lock_casting": "left"},
        {"soleplate": "none", "machine_on": "soleplate"},
        {"soleplate": "none", "detector_on": "right"},
    ],
)
def test_absurd_points_are_refused_by_the_database(fields):
    with refused("."), transaction.atomic():
        make_points(**fields)


@pytest.mark.parametrize(
    "fields",
    [
        {"length_min_mm": 1300, "length_max_mm": 1200},
        {"insulation_side": "none", "insulation_kind": "rubber_bush"},
        {"insulation_side": "left", "insulation_kind": "none"},
        {"torque_nm": -5},
        {"generation": "purple"},
        {"lug_beyond": True, "insulation_side": "none", "insulation_kind": "none"},
        {"lug_beyond": True, "drive_lug": "none"},
        {"tag": "ST/14"},
    ],
)
def test_absurd_rods_are_refused_by_the_database(fields):
    with refused("."), transaction.atomic():
        make_stretcher(**fields)


def test_what_stands_at_the_toe_reaches_the_rules_and_is_unknown_until_recorded():
    at_the_toe = ("soleplate", "lock_casting", "machine_on", "detection_rods", "detector_on")
    blank = facts_of(Points.objects.create(location=make_location(), number="13"))
    assert {getattr(blank, name) for name in at_the_toe} == {"unknown"}
    known = dict(zip(at_the_toe, ("insulated", "right", "timber", "both", "machine"), strict=True))
    recorded = facts_of(make_points("12", **known))
    assert {name: getattr(recorded, name) for name in at_the_toe} == known


def facts_of(points):
    read = with_places(points)
    return points_facts(read, {}, {}, CircuitFound(), railway_facts(), NOTHING_CONFIRMED)


def test_a_rod_may_be_wholly_unknown():
    rod = make_stretcher(
        generation="unknown",
        insulation_side="unknown",
        insulation_kind="unknown",
        length_min_mm=None,
        length_max_mm=None,
        kicker=None,
    )
    rod.full_clean()
    assert rod.kicker is None
