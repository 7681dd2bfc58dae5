"""Readings of one lie together: what they come to, how sure, and which of them does not fit."""

from dataclasses import replace

import numpy as np
import pytest

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.blade import influence
from assets.engineering.cannot_say import CannotSay
from assets.engineering.readings import rods_in_place, taken
from assets.engineering.shape import gap_behind, head_width
from assets.engineering.switch_inputs import LieReadings, Read
from assets.engineering.two_rails.combining import Combined, Errors, combined
from tests.assets.engineering.switches import PLACES, clearances, free_blade, make_rods, make_shape

GAUGE = 1434.0
OFF_HOME = 6.0  # of the closed rail everywhere: enough for noise below it to be a reading
SHAPE = make_shape()
ERRORS = Errors.of(NOTHING_CONFIRMED)
RODS = rods_in_place(make_rods(), SHAPE.heel_mm)


def reads(values) -> tuple[Read, ...]:
    return tuple(Read(float(mm), order) for order, mm in enumerate(values) if mm is not None)


def read_to(sigma: float) -> Errors:
    """Every quantity read to this σ (mm)."""
    read = ("opening_mm", "fwc_mm", "residual_mm", "fwp_mm", "gauge_mm")
    return replace(ERRORS, **dict.fromkeys(read, sigma))


def make_readings(noise=None, **given) -> LieReadings:
    """Everything read at every rod of a switch opened by its lock alone, gauge 1434 mm.

    ``noise`` has a row for each of FWC, FWP, residual opening and gauge.
    """
    fwc = np.array(clearances())
    noise = np.zeros((4, 4)) if noise is None else noise
    known = {
        "fwc": reads(fwc + noise[0]),
        "fwp": reads(GAUGE - OFF_HOME - fwc + noise[1]),
        "residual": reads(OFF_HOME + noise[2]),
        "gauge": reads(GAUGE + noise[3]),
    }
    return LieReadings(**{**known, **given})


def combine(readings: LieReadings, errors=None, homes=(), **facts) -> Combined:
    found = taken(readings, RODS, facts.get("gauge_mm"))
    return combined(SHAPE, True, RODS, found, errors or ERRORS, homes)


def over_backs(order: int) -> float:
    return GAUGE - OFF_HOME + float(head_width(SHAPE, PLACES[order])) - clearances()[order]


def test_readings_that_agree_give_back_the_switch_that_they_were_made_of():
    found = combine(make_readings())
    assert found.switch.blade.displacements_mm == pytest.approx(free_blade().at(PLACES), abs=1e-9)
    assert [found.held[order].mm for order in range(4)] == pytest.approx(
        [over_backs(order) for order in range(4)], abs=1e-9
    )
    assert found.disagreement == pytest.approx(0, abs=1e-12)
    assert found.doubted == ()


def test_clearance_read_alone_has_the_sigma_of_its_reading():
    found = combine(make_readings(fwp=(), gauge=(), residual=()))
    assert found.fwc_sigma(PLACES) == pytest.approx(0.5, abs=1e-9)
    assert found.held == {}
    assert found.wheels == {}


def test_passage_alone_says_what_a_rod_holds():
    """S = FWP + w: neither gauge nor residual opening is needed."""
    found = combine(make_readings(gauge=(), residual=()))
    for order in range(4):
        assert found.held[order].mm == pytest.approx(over_backs(order), abs=1e-9)
        assert found.held[order].sigma_mm == pytest.approx(0.5, abs=0.01)


def test_gauge_residual_and_clearance_say_it_less_surely():
    """Three readings of σ 0.5 mm: 0.5 √3, where gauge may be anything between the places."""
    found = combine(make_readings(fwp=()), replace(ERRORS, gauge_along_mm=1e6))
    assert found.held[1].sigma_mm == pytest.approx(0.5 * 3**0.5, abs=1e-4)


def test_all_four_readings_say_it_more_surely_than_either_way():
    """Two ways of σ² 0.25 and 0.75: 1/(1/0.25 + 1/0.75)."""
    found = combine(make_readings(), replace(ERRORS, gauge_along_mm=1e6))
    assert found.held[2].sigma_mm == pytest.approx((1 / (1 / 0.25 + 1 / 0.75)) ** 0.5, abs=1e-4)
    assert found.fwc_sigma(PLACES[2])[0] < 0.5


def test_gauge_read_at_the_toe_alone_serves_the_back_less_surely():
    found = combine(make_readings(fwp=(), gauge=(Read(GAUGE, 0),)))
    sigmas = [found.held[order].sigma_mm for order in range(4)]
    assert sigmas == sorted(sigmas)
    assert sigmas[3] ** 2 == pytest.approx(0.75 + 1.15, abs=0.01)  # 0.5 mm over each √m


def test_the_gauge_recorded_for_the_points_serves_less_surely_still():
    found = combine(make_readings(fwp=(), gauge=()), gauge_mm=1432.0)
    assert found.held[0].mm == pytest.approx(over_backs(0) - 2, abs=1e-9)
    assert found.held[0].sigma_mm == pytest.approx((9 + 0.5) ** 0.5, abs=1e-3)


def test_the_gap_on_the_closed_side_counts_by_its_difference_from_what_is_expected():
    natural = gap_behind(SHAPE, PLACES[3])
    gap = (Read(float(natural) + 1.5, 3),)
    found = combine(make_readings(fwp=(), residual=reads([6, 6, 6, None]), closed_gap=gap))
    assert found.held[3].mm == pytest.approx(over_backs(3) + OFF_HOME - 1.5, abs=1e-9)


@pytest.mark.by_chance
def test_a_closed_rail_at_home_unread_is_taken_as_home_with_doubt():
    without = combine(make_readings(fwp=(), residual=reads([0, 0, None, None])))
    assert set(without.held) == {0, 1}
    at_home = combine(make_readings(fwp=(), residual=reads([0, 0, None, None])), homes=(PLACES[2],))
    assert at_home.held[2].sigma_mm > at_home.held[1].sigma_mm


def test_every_sigma_is_the_spread_of_what_noisy_readings_come_to():
    """500 visits with N(0, 0.5) on each reading."""
    chance = np.random.default_rng(1863)
    places = np.array([200.0, 1500.0, 2235.0, 3800.0, 5000.0])
    found = [combine(make_readings(chance.normal(0, 0.5, (4, 4)))) for _ in range(500)]
    fwc = np.array([one.switch.fwc(places) for one in found])
    assert fwc.std(axis=0) == pytest.approx(found[0].fwc_sigma(places), rel=0.1)
    held = np.array([[one.held[order].mm for order in range(4)] for one in found])
    expected = [found[0].held[order].sigma_mm for order in range(4)]
    assert (held.std(axis=0) <= np.array(expected) * 1.1).all()  # gauge is the same all along
    spare = found[0].spare
    assert spare - 3 < np.mean([one.disagreement for one in found]) < spare
    assert sum(one.doubted != () for one in found) <= 10


def test_a_misreading_of_eight_mm_is_named_with_those_that_it_cannot_be_told_from():
    noise = np.zeros((4, 4))
    noise[1, 2] = 8
    doubted = combine(make_readings(noise)).doubted
    assert "free wheel passage at 2800 mm" in doubted
    assert all("2800" in name for name in doubted)


def test_a_clearance_between_the_rods_that_no_rail_through_them_gives_is_named():
    found = combine(make_readings(fwc=(*reads(clearances()), Read(40.0, at_mm=3800.0))))
    assert found.doubted == ("free wheel clearance at 3800 mm",)


def test_a_clearance_between_the_rods_makes_the_curve_surer():
    fwc = reads(clearances())
    more = (*fwc, Read(float(combine(make_readings()).switch.fwc(3800.0)), at_mm=3800.0))
    few = combine(make_readings(fwc=fwc, fwp=()))
    assert combine(make_readings(fwc=more, fwp=())).fwc_sigma(3800.0) < few.fwc_sigma(3800.0)


def test_the_opening_at_the_toe_serves_for_the_first_rod():
    fwc = reads([None, *clearances()[1:]])
    found = combine(make_readings(fwc=fwc, fwp=(), opening_mm=108.0))
    assert found.switch.opening_mm == pytest.approx(108, abs=1e-9)
    toe = influence(PLACES, SHAPE.heel_mm, True, 0.0)
    expected = (0.25 + 0.25 * float(toe[1:] @ toe[1:])) ** 0.5 / toe[0]
    assert found.fwc_sigma(PLACES[0])[0] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("fwc", "said"),
    [
        ([60, 50, 40, None], "measure free wheel clearance at the third stretcher"),
        ([None, 50, 40, 60], "measure the switch opening at the toe, or free wheel clearance"),
    ],
)
def test_too_few_readings_say_what_to_measure(fwc, said):
    with pytest.raises(CannotSay, match=said):
        combine(make_readings(fwc=reads(fwc), fwp=(), gauge=()))


def test_a_middle_rod_without_a_reading_is_taken_as_unforced():
    fwc = reads([clearances()[0], None, None, clearances()[3]])
    found = combine(make_readings(fwc=fwc, fwp=(), residual=()))
    assert found.switch.blade.positions_mm == (PLACES[0], PLACES[3])


def test_errors_are_settings():
    sure = combine(make_readings(fwp=()), replace(ERRORS, fwc_mm=0.1))
    assert sure.fwc_sigma(PLACES[1])[0] < 0.11


def test_what_was_read_beyond_the_heel_says_nothing_of_the_switch():
    beyond = Read(1.0, at_mm=SHAPE.heel_mm + 500)
    kinds = ("fwc", "fwp", "residual", "gauge")
    more = {kind: (*getattr(make_readings(), kind), beyond) for kind in kinds}
    plain, found = combine(make_readings()), combine(make_readings(**more, closed_gap=(beyond,)))
    assert found.least_fwc == plain.least_fwc
    assert found.held == plain.held
    assert found.doubted == ()


def test_an_opening_read_with_a_rough_rule_counts_by_its_own_sigma():
    rough, fine = (
        combine(make_readings(opening_mm=110.0, opening_sigma_mm=sigma)) for sigma in (5.0, 0.1)
    )
    assert abs(fine.switch.opening_mm - 110) < abs(rough.switch.opening_mm - 110)
    assert fine.fwc_sigma(0.0)[0] < rough.fwc_sigma(0.0)[0]
