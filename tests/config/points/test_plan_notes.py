"""Readings and the open switch on the plan: those of the rods that are there now."""

from datetime import date

import pytest

from assets.engineering.words import Lie
from assets.fitting import take_out
from assets.models import Points
from config.points import plan_notes
from config.points.plan_page import plan_shown
from config.points.reader import known
from tests.builders import (
    make_examination,
    make_fitting,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    make_stretcher,
    noon,
    set_limit,
)

pytestmark = pytest.mark.django_db
LEFT, RIGHT = Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED


@pytest.fixture
def read():
    """SKB 12 with two rods, read on both lies in March 2026."""
    points = make_points("12")
    visit = make_inspection(points, noon(2026, 3, 1))
    for order, value in ((1, 46), (2, 60)):
        rod = make_stretcher(f"ST-{order}")
        place = make_position(points, order)
        make_fitting(rod, place)
        for lie in (LEFT, RIGHT):
            make_reading(visit, place, value, lie=lie)
            make_reading(visit, place, 0.5 * order, quantity="residual_opening", lie=lie)
    make_reading(visit, None, 108, quantity="switch_opening", lie=LEFT)
    set_limit("torque", 200, level="alert")
    make_reading(visit, points.positions.get(order=1), 220, quantity="torque", side="left")
    return points


def rod_at(place) -> int:
    return place.fittings.get(taken_out_on=None).stretcher_id


def known_of(points):
    return known(Points.objects.with_places().get(pk=points.pk), date(2026, 6, 1))


def told(points, lie) -> set[tuple]:
    notes = plan_notes.notes(known_of(points), lie)
    return {(note.x_mm, str(note.side), note.words, note.kind) for note in notes}


def test_clearance_stands_on_the_open_side_and_residual_opening_on_the_closed(read):
    assert told(read, LEFT) == {
        (1400, "right", "FWC 46 mm, out", "intervention"),
        (1400, "left", "RSO 0.5 mm", "no_limit"),
        (2600, "right", "FWC 60 mm", "within"),
        (2600, "left", "RSO 1 mm", "no_limit"),
        (0.0, "right", "opening 108 mm", "no_limit"),
    }
    assert (2600, "left", "FWC 60 mm", "within") in told(read, RIGHT)


def test_other_quantities_are_drawn_only_where_they_are_not_within(read):
    assert not any("torque" in words for _, _, words, _ in told(read, LEFT))
    place = read.positions.get(order=1)
    visit = make_inspection(read, noon(2026, 4, 1))
    make_reading(visit, place, 150, quantity="torque", side="left")
    assert (1400, "left", "torque 150 N·m, alert", "alert") in told(read, LEFT)


def test_readings_of_a_rod_that_is_gone_are_not_drawn_and_give_no_opening(read):
    read_switch = plan_notes.opening(known_of(read), LEFT)
    assert float(read_switch.fwc(2600)) == pytest.approx(60)
    place = read.positions.get(order=2)
    take_out(place.fittings.get(), on=date(2026, 5, 1), by="Lineman A", reason="worn")
    assert {x for x, *_ in told(read, LEFT)} == {0.0, 1400}
    assert plan_notes.opening(known_of(read), LEFT) is None


def test_the_plan_draws_the_open_switch_from_the_readings(read):
    plan = plan_shown(known_of(read), LEFT)["plan"]
    assert plan.opening_read
    assert not any("usual 108 mm" in doubt for doubt in plan.doubts)
    assert not plan_shown(known_of(make_points("13")), LEFT)["plan"].opening_read


def test_metal_found_touching_joins_the_rails_on_the_plan(read):
    place = read.positions.get(order=1)
    visit = make_inspection(read, noon(2026, 6, 1))
    assert plan_shown(known_of(read), LEFT)["circuit"].bridged is False
    make_examination(visit, place, item="metal_touching", stretcher_id=rod_at(place))
    circuit = plan_shown(known_of(read), LEFT)["circuit"]
    assert circuit.bridged is True
    assert "touching" in circuit.path


def test_points_never_visited_have_nothing_on_the_plan():
    here = known_of(make_points("14"))
    assert plan_notes.notes(here, LEFT) == ()
    assert plan_notes.opening(here, LEFT) is None
