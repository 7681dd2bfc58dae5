"""What the reader hands to the rules beside the points themselves."""

import pytest

from assets.engineering.words import ServiceState
from assets.models import Points
from config.points.reader import facts_of
from tests.builders import make_points, make_rail, make_stretcher

pytestmark = pytest.mark.django_db


def families() -> set[bool | None]:
    return {facts.one_flat_bottom_family for facts in facts_of(Points.objects.with_places())}


def test_a_railway_with_feet_of_140_and_150_mm_has_more_than_one_family():
    make_points("1", rail_section=make_rail("113A", "flat_bottom", foot_mm=140))
    make_points("2", rail_section=make_rail("109", "flat_bottom", foot_mm=139.7))
    make_rail("60E1", "flat_bottom", foot_mm=150)  # in no points
    assert families() == {True}
    make_points("3", rail_section=make_rail("60E2", "flat_bottom", foot_mm=150))
    assert families() == {False}
    Points.objects.filter(number="3").update(service_state=ServiceState.LIFTED.value)
    assert families() == {True}


def test_shoes_for_another_foot_make_an_unmeasured_shoe_a_question():
    """Was "suits" for every unmeasured flat-bottom shoe, though one of the same lot was for 150."""
    make_points("1", rail_section=make_rail("113A", "flat_bottom", foot_mm=140))
    make_stretcher("ST-1", left_shoe="flat_bottom", left_shoe_foot_mm=140)
    make_stretcher("ST-2", left_shoe="bullhead", left_shoe_foot_mm=70)
    assert families() == {True}
    rod = make_stretcher("ST-3", right_shoe="flat_bottom", right_shoe_foot_mm=150)
    assert families() == {False}
    rod.condition = "scrap"
    rod.save()
    assert families() == {True}


def test_a_section_in_use_whose_foot_is_not_recorded_leaves_the_families_open():
    make_points("1", rail_section=make_rail("113A", "flat_bottom", foot_mm=140))
    make_points("2", rail_section=make_rail("98 lb", "flat_bottom", foot_mm=None))
    assert families() == {None}


def test_bullhead_rail_is_of_no_flat_bottom_family():
    make_points("1")
    assert families() == {True}


def depths() -> set[bool | None]:
    return {facts.one_depth for facts in facts_of(Points.objects.with_places())}


def test_a_second_depth_recorded_anywhere_makes_an_unknown_one_a_question():
    make_points("1")
    assert depths() == {True}
    make_points("2", depth="full")
    assert depths() == {True}
    rod = make_stretcher("ST-1", depth="shallow")
    assert depths() == {False}
    rod.condition = "scrap"
    rod.save()
    assert depths() == {True}
    make_points("3", depth="shallow")
    assert depths() == {False}
