"""What visits found that joins the rails, as the track circuit's arithmetic takes it."""

from datetime import date

import pytest

from assets.engineering.circuit_faults import CircuitFound, Contact, FailedInsulation, InsulatedPart
from assets.engineering.words import Side
from assets.models import Points
from inspections.latest.track_circuit import circuit_findings
from tests import builders

pytestmark = pytest.mark.django_db


def found_at(points) -> CircuitFound:
    read = list(Points.objects.with_places().filter(pk=points.pk))
    return circuit_findings(read)[points.pk]


def contacts(points):
    return found_at(points).contacts


def failed_insulations(points):
    return found_at(points).failed_insulations


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
    assert contacts(points) == tuple(Contact(1, s) for s in touched)


def test_a_bare_rod_joins_nothing_more_by_touching():
    points, place = points_with(insulation_side="none", insulation_kind="none")
    touch(points, place)
    assert contacts(points) == ()


def test_metal_seen_cleared_away_touches_no_more():
    points, place = points_with()
    touch(points, place)
    touch(points, place, "good", day=5)
    assert contacts(points) == ()


def test_an_insulation_measured_below_its_limit_has_failed_until_measured_within():
    builders.set_limit("insulation_resistance", 1000)
    points, place = points_with()
    measure(points, place, 999)
    assert failed_insulations(points) == (FailedInsulation(1, InsulatedPart.ROD),)
    measure(points, place, 1000, day=5)
    assert failed_insulations(points) == ()


def test_of_a_rod_insulated_on_both_sides_just_the_side_measured_low_has_failed():
    builders.set_limit("insulation_resistance", 1000)
    points, place = points_with(insulation_side="both")
    measure(points, place, 10, "right")
    measure(points, place, 5000, "left")
    assert failed_insulations(points) == (FailedInsulation(1, InsulatedPart.RIGHT),)


def test_without_a_limit_no_insulation_is_said_to_have_failed():
    points, place = points_with()
    measure(points, place, 1)
    assert failed_insulations(points) == ()


def test_what_was_found_of_a_rod_that_is_gone_does_not_count():
    builders.set_limit("insulation_resistance", 1000)
    points, place = points_with()
    touch(points, place)
    measure(points, place, 10)
    place.fittings.update(taken_out_on=date(2026, 5, 20), taken_out_reason="insulation failed")
    builders.make_fitting(builders.make_stretcher(), place, fitted_on=date(2026, 5, 20))
    assert contacts(points) == ()
    assert failed_insulations(points) == ()


def test_what_was_found_is_read_in_two_queries_however_many_points(
    django_assert_num_queries,
):
    for _ in range(3):
        points, place = points_with()
        touch(points, place)
    read = list(Points.objects.with_places())
    with django_assert_num_queries(2):
        assert len(circuit_findings(read)) == 3


def test_a_spare_is_judged_among_what_was_found_at_the_other_places():
    """ST-1 touches the left rail at 1; a spare at 2, bare to the right, does not join by itself."""
    from config.suiting import suits

    points, place = points_with(tag="ST-1")
    other = builders.make_position(points, 2)
    builders.make_stretcher("ST-2")
    builders.make_machine()
    touch(points, place)
    [offer] = suits.spares_for(other)
    finding = offer.assessment["continuity"]
    assert finding.outcome == "suits_after_work"
    assert "touching" in finding.reason
