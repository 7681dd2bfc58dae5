"""What visits found that joins the rails, as the track circuit's arithmetic takes it."""

from datetime import date

import pytest

from assets.engineering.continuity import Contact, FailedInsulation, InsulatedPart
from assets.engineering.words import Side
from inspections.electrical import contacts, failed_insulations
from tests import builders

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 1)


def points_with(**rod):
    points = builders.make_points()
    place = builders.make_position(points, 1)
    builders.make_fitting(builders.make_stretcher(**rod), place)
    return points, place


def touch(points, place, found="defective", day=4):
    builders.make_visit(
        points, builders.noon(2026, 5, day), looks=[("metal_touching", place, found)]
    )


def measure(points, place, ohms, side="left", day=4):
    reading = ("insulation_resistance", place, ohms, {"side": side})
    builders.make_visit(points, builders.noon(2026, 5, day), readings=[reading])


@pytest.mark.parametrize(
    ("side", "touched"),
    [
        ("left", [Side.LEFT]),
        ("right", [Side.RIGHT]),
        ("both", [Side.LEFT, Side.RIGHT]),
        ("unknown", [Side.LEFT, Side.RIGHT]),
    ],
)
def test_metal_touching_is_taken_to_be_on_the_insulated_side(side, touched):
    points, place = points_with(insulation_side=side, insulation_kind="unknown")
    touch(points, place)
    assert contacts(points, TODAY) == tuple(Contact(1, s) for s in touched)


def test_a_bare_rod_joins_nothing_more_by_touching():
    points, place = points_with(insulation_side="none", insulation_kind="none")
    touch(points, place)
    assert contacts(points, TODAY) == ()


def test_metal_seen_cleared_away_touches_no_more():
    points, place = points_with()
    touch(points, place)
    touch(points, place, "good", day=5)
    assert contacts(points, TODAY) == ()


def test_an_insulation_measured_below_its_limit_has_failed_until_measured_within():
    builders.set_limit("insulation_resistance", 1000)
    points, place = points_with()
    measure(points, place, 999)
    assert failed_insulations(points, TODAY) == (FailedInsulation(1, InsulatedPart.ROD),)
    measure(points, place, 1000, day=5)
    assert failed_insulations(points, TODAY) == ()


def test_of_a_rod_insulated_on_both_sides_just_the_side_measured_low_has_failed():
    builders.set_limit("insulation_resistance", 1000)
    points, place = points_with(insulation_side="both")
    measure(points, place, 10, "right")
    measure(points, place, 5000, "left")
    assert failed_insulations(points, TODAY) == (FailedInsulation(1, InsulatedPart.RIGHT),)


def test_without_a_limit_no_insulation_is_said_to_have_failed():
    points, place = points_with()
    measure(points, place, 1)
    assert failed_insulations(points, TODAY) == ()


def test_what_was_found_of_a_rod_that_is_gone_does_not_count():
    builders.set_limit("insulation_resistance", 1000)
    points, place = points_with()
    touch(points, place)
    measure(points, place, 10)
    place.fittings.update(taken_out_on=date(2026, 5, 20), taken_out_reason="insulation failed")
    builders.make_fitting(builders.make_stretcher(), place, fitted_on=date(2026, 5, 20))
    assert contacts(points, TODAY) == ()
    assert failed_insulations(points, TODAY) == ()
