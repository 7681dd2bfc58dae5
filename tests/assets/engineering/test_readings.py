import numpy as np
import pytest

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.blade import Blade
from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval
from assets.engineering.readings import (
    disagreements,
    open_switch,
    passages,
    rod_forces,
    rods_in_place,
    taken,
)
from assets.engineering.separation import RodReport, separation_mm
from assets.engineering.switch_inputs import LieReadings, Read

from .switches import (
    PLACES,
    STIFFNESS,
    clearances,
    free_blade,
    make_lie,
    make_rod,
    make_rods,
    make_shape,
)


def read(lie, rods=None, gauge=1432.0):
    rods = make_rods() if rods is None else rods
    readings = taken(lie, rods, gauge)
    return open_switch(make_shape(), True, rods, readings), readings


def doubts(lie):
    found, readings = read(lie)
    return disagreements(found.switch, make_rods(), readings, STIFFNESS, NOTHING_CONFIRMED)


def test_readings_at_every_rod_give_back_the_blade_they_were_taken_of():
    found, _ = read(make_lie())
    x = np.linspace(0, 6858, 50)
    assert found.switch.blade.at(x) == pytest.approx(free_blade().at(x), abs=1e-6)
    assert found.unread == ()


def test_opening_at_the_toe_stands_for_a_reading_at_the_first_rod():
    fwc = clearances()
    found, _ = read(make_lie([None, *fwc[1:]], opening_mm=108.0))
    assert found.switch.blade.displacements_mm[0] == pytest.approx(fwc[0], abs=1e-6)
    assert found.switch.opening_mm == pytest.approx(108.0)


def test_two_readings_tell_the_whole_blade_and_name_the_rods_taken_as_unforced():
    fwc = clearances()
    found, _ = read(make_lie([None, None, None, fwc[3]], opening_mm=108.0))
    assert [rod.order for rod in found.unread] == [1, 2]
    x = np.linspace(0, 6858, 50)
    assert found.switch.blade.at(x) == pytest.approx(free_blade().at(x), abs=1e-6)
    assert len(found.switch.blade.positions_mm) == 4


def test_clearance_comes_from_the_passage_where_that_was_read_instead():
    fwc = clearances()
    passage = 1432.0 - 1.5 - fwc[2]
    lie = make_lie(
        [fwc[0], fwc[1], None, fwc[3]],
        fwp=(Read(passage, 2),),
        residual=(Read(1.5, 2),),
    )
    found, readings = read(lie)
    assert found.unread == ()
    assert readings.clearances()[PLACES[2]] == pytest.approx(fwc[2])


def test_reading_at_the_place_of_a_rod_counts_as_read_at_the_rod():
    fwc = clearances()
    lie = make_lie([fwc[0], fwc[1], None, fwc[3]])
    at_place = LieReadings(fwc=(*lie.fwc, Read(fwc[2], at_mm=PLACES[2] + 0.4)))
    found, _ = read(at_place)
    assert found.unread == ()


@pytest.mark.parametrize(
    ("lie", "says"),
    [
        (make_lie([None, 80, 65, 111]), "the switch opening at the toe, or free wheel clearance"),
        (make_lie([104, 80, 65, None]), "measure free wheel clearance at the third stretcher"),
        (LieReadings(), "measure free wheel clearance at the third stretcher"),
        (make_lie(opening_mm=-3.0), "the switch opening must be at least 0, not -3"),
        (make_lie([104, -80, 65, 111]), "free wheel clearance at 1200 mm .* must be at least 0"),
        (make_lie([104, float("nan"), 65, 111]), "clearance at 1200 mm .* is not a number"),
        (make_lie(gauge=(Read(-1, 0),)), "track gauge at 200 mm"),
        (make_lie(residual=(Read(-1, 0),)), "residual opening at 200 mm"),
        (make_lie(fwc=None, fwp=(Read(1500, 0),)), "worked out from the passage"),
        (
            LieReadings(fwc=(Read(104, 0), Read(105, 0))),
            "two readings of free wheel clearance at 200 mm",
        ),
    ],
)
def test_readings_that_are_lacking_or_cannot_be_say_which(lie, says):
    with pytest.raises(CannotSay, match=says):
        read(lie)


@pytest.mark.parametrize(
    ("rods", "says"),
    [
        ((), "no stretcher is recorded"),
        ((make_rod(0), make_rod(1, distance_mm=150)), "is not beyond the lock stretcher"),
        ((make_rod(0), make_rod(1, distance_mm=200)), "is not beyond the lock stretcher"),
        ((make_rod(0, distance_mm=None), make_rod(1)), "distance of the lock stretcher"),
        ((make_rod(0), make_rod(3, distance_mm=None)), "distance of the third stretcher"),
        ((make_rod(0), make_rod(3, distance_mm=6858)), "at or beyond the heel"),
        ((make_rod(0, distance_mm=-5), make_rod(3)), "must be at least 0"),
    ],
)
def test_rods_out_of_place_say_what_to_measure(rods, says):
    with pytest.raises(CannotSay, match=says):
        rods_in_place(rods, 6858)


def test_middle_rod_of_unknown_distance_is_left_out():
    rods = (make_rod(3), make_rod(1, distance_mm=None), make_rod(0))
    assert [rod.order for rod in rods_in_place(rods, 6858)] == [0, 3]


def test_readings_that_agree_raise_no_doubt():
    assert doubts(make_lie(opening_mm=107.0, fwp=(Read(1432 - clearances()[1], 1),))) == ()


def test_opening_that_disagrees_with_the_rods_is_a_likely_misreading():
    (doubt,) = doubts(make_lie(opening_mm=118.0))
    assert "read as 118 mm" in doubt
    assert "toe at 108.0 mm" in doubt


def test_passage_that_disagrees_with_the_other_three_is_a_likely_misreading():
    fwc = clearances()[1]
    lie = make_lie(fwp=(Read(1432 - fwc + 5, 1),))
    (doubt,) = passages(taken(lie, make_rods()), NOTHING_CONFIRMED)
    assert f"makes {1432 - fwc:g} mm: likely a misreading" in doubt
    assert "gauge 1432 - residual opening 0" in doubt


def test_passage_is_not_judged_where_a_reading_is_missing():
    lie = make_lie(fwp=(Read(1300, 1),), residual=())
    assert tuple(passages(taken(lie, make_rods()), NOTHING_CONFIRMED)) == ()


def test_clearance_read_between_rods_is_held_against_the_blade():
    lie = make_lie()
    (doubt,) = doubts(LieReadings(fwc=(*lie.fwc, Read(66.0, at_mm=2235.0))))
    assert "read as 66 mm" in doubt
    assert "lies at 57.4 mm" in doubt


def test_kink_that_needs_an_absurd_force_is_a_misreading_or_a_loose_rod():
    """40 mm too much at the second stretcher of a 113A switch."""
    found = doubts(make_lie(clearances({2: 40.0})))
    (doubt,) = [text for text in found if "force" in text]
    assert "The one at the second stretcher fits least" in doubt
    free = float(free_blade().at(PLACES[2]))
    assert f"the switch rail is {free + 40:.1f} mm from its closed place" in doubt
    assert f"would lie at {free:.1f} mm if that stretcher let go" in doubt


def test_blade_pushed_through_its_stock_rail_cannot_be():
    found = doubts(make_lie(clearances({3: -16.0})))
    assert any("beyond its closed place" in text for text in found)


def test_small_forces_raise_no_doubt():
    assert doubts(make_lie(clearances({2: 3.0}))) == ()


def test_forces_are_a_range_where_only_the_bounds_of_the_stiffness_are_known():
    blade = Blade.through([0], [108], 5000)
    (force,) = rod_forces(blade, Interval(1e12, 2e12))
    handbook = 3e12 * 108 / 5000**3  # 3EI d / L³
    assert (force.least, force.most) == pytest.approx((handbook, 2 * handbook))
    (pulled,) = rod_forces(Blade.through([0], [-108], 5000), Interval(1e12, 2e12))
    assert pulled.least < pulled.most < 0


@pytest.mark.parametrize("stiffness", [None, Interval(None, 1e12), Interval(1e12, None)])
def test_forces_are_not_given_where_the_stiffness_is_not_known(stiffness):
    assert rod_forces(free_blade(), stiffness) is None


def test_gauge_and_residual_opening_run_straight_between_their_readings():
    lie = make_lie(gauge=(Read(1430, 0), Read(1440, at_mm=2200)), residual=(Read(2, 0), Read(0, 1)))
    readings = taken(lie, make_rods(), 1435)
    assert readings.gauge_at(1200.0) == pytest.approx(1435)
    assert readings.gauge_at(5000.0) == 1440
    assert readings.residual_at(700.0) == pytest.approx(1)


def test_recorded_gauge_stands_in_where_none_was_read_and_nothing_where_none_is_recorded():
    lie = make_lie(gauge=(), residual=())
    assert taken(lie, make_rods(), 1435).gauge_at(np.zeros(3)).tolist() == [1435] * 3
    assert taken(lie, make_rods()).gauge_at(0.0) is None
    assert taken(lie, make_rods()).residual_at(0.0) is None


def test_separation_follows_from_gauge_head_residual_and_clearance():
    assert separation_mm(1432, 69.85, 1.5, 60) == pytest.approx(1440.35)


def test_lies_that_agree_show_no_play():
    rod = RodReport(1, "first stretcher", 1200, 1390.0, 1392.0)
    assert rod.play_mm == 2.0
    assert rod.separation_mm == 1391.0
    assert rod.finding == ""


@pytest.mark.parametrize(("off", "told"), [(2.9, False), (3.1, True)])
def test_a_clearance_between_the_rods_may_lie_off_the_blade_by_what_the_rule_allows(off, told):
    lie = make_lie()
    clearance = float(read(lie)[0].switch.fwc(2235.0)) + off
    assert bool(doubts(LieReadings(fwc=(*lie.fwc, Read(clearance, at_mm=2235.0))))) is told


def test_play_is_not_known_from_one_lie():
    rod = RodReport(1, "first stretcher", 1200, 1390.0, None)
    assert rod.play_mm is None
    assert rod.separation_mm == 1390.0
    assert rod.finding == ""


def test_passage_gives_no_clearance_without_gauge_and_residual_opening_beside_it():
    passage = (Read(1370.0, 2),)
    gauged = LieReadings(fwp=passage, gauge=(Read(1432.0, 2),))
    closed = LieReadings(fwp=passage, residual=(Read(1.5, 2),))
    assert taken(gauged, make_rods()).clearances() == {}
    assert taken(closed, make_rods()).clearances() == {}
    assert taken(closed, make_rods(), 1432.0).clearances() == {PLACES[2]: 60.5}


def test_clearance_between_rods_where_the_blade_lies_raises_no_doubt():
    lie = make_lie()
    assert doubts(LieReadings(fwc=(*lie.fwc, Read(57.4, at_mm=2235.0)))) == ()


def test_what_is_hard_to_believe_is_said_with_its_figures():
    pushed, forced = doubts(make_lie(clearances({2: -45.0})))
    assert "would lie 5.6 mm beyond its closed place at 3300 mm from the toe" in pushed
    assert forced.startswith(
        "The readings would need a force of at least 111 kN at the first stretcher. The one at "
        "the second stretcher fits least: the switch rail is 0.9 mm from its closed place "
        "there, and "
        "would lie at 45.9 mm if that stretcher let go."
    )


def test_two_rods_forced_apart_are_doubted_as_well():
    lie = LieReadings(fwc=(Read(200.0, 0), Read(10.0, 1)))
    rods = make_rods()[:2]
    found, readings = read(lie, rods)
    (force,) = (
        doubt
        for doubt in disagreements(found.switch, rods, readings, STIFFNESS, NOTHING_CONFIRMED)
        if "would need a force" in doubt
    )
    assert "the lock stretcher" in force or "the first stretcher" in force


def test_a_reading_beyond_the_heel_is_not_held_against_the_blade():
    lie = make_lie()
    assert doubts(LieReadings(fwc=(*lie.fwc, Read(5.0, at_mm=7000.0)))) == ()


def test_a_track_without_width_is_refused():
    with pytest.raises(CannotSay, match="the track gauge must be above 0"):
        taken(make_lie(), make_rods(), 0.0)
