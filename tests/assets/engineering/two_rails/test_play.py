"""Play, and slack that the readings could not have shown."""

from dataclasses import replace

import numpy as np
import pytest

from assets.engineering.readings import taken
from assets.engineering.two_rails.combining import Estimate, combined
from assets.engineering.two_rails.play import Play, both_lies, play
from assets.engineering.words import Lie
from tests.assets.engineering.switches import clearances
from tests.assets.engineering.two_rails.test_combining import (
    ERRORS,
    GAUGE,
    OFF_HOME,
    RODS,
    SHAPE,
    combine,
    make_readings,
    read_to,
    reads,
)


def lie(off=(0, 0, 0, 0), noise=None, sigma=0.5):
    """One lie read in full, the open rail further open at each rod by so much."""
    fwc = np.array(clearances()) + off
    noise = np.zeros((4, 4)) if noise is None else noise
    passage = GAUGE - OFF_HOME - fwc + noise[1]
    readings = make_readings(noise, fwc=reads(fwc + noise[0]), fwp=reads(passage))
    errors = read_to(sigma)
    return combine(readings, errors)


@pytest.mark.parametrize("sigma", [0.3, 1.0])
def test_healthy_points_hardly_ever_show_play(sigma):
    """100 visits, of which hardly any may; the 1,000 of each σ are a benchmark."""
    assert false_alarms(sigma, 100) <= 3


@pytest.mark.benchmark
@pytest.mark.parametrize("sigma", [0.3, 0.5, 1.0])
def test_a_thousand_healthy_visits_show_play_in_at_most_ten(sigma):
    found = false_alarms(sigma, 1000)
    print(f"\nσ {sigma}: {found} of 1,000 healthy sets of points show play")
    assert found <= 10


def false_alarms(sigma: float, visits: int) -> int:
    chance = np.random.default_rng(1887)
    return sum(
        any(
            one.shown
            for one in play(
                RODS,
                lie(noise=chance.normal(0, sigma, (4, 4)), sigma=sigma),
                lie(noise=chance.normal(0, sigma, (4, 4)), sigma=sigma),
            )
        )
        for _ in range(visits)
    )


def test_gauge_that_differs_beyond_the_toe_is_not_play():
    """4 mm between the two routes at the back rod, the gauge read at the toe alone."""
    gauge = reads([GAUGE, None, None, None])
    fwc = np.array(clearances())
    other = fwc + np.array([0, 1, 2.5, 4])
    found = play(
        RODS,
        combine(make_readings(fwp=(), gauge=gauge)),
        combine(make_readings(fwp=(), gauge=gauge, fwc=reads(other))),
    )
    assert not any(one.shown for one in found)


def test_a_difference_beyond_what_reading_explains_is_shown_with_its_way():
    found = play(RODS, lie(), lie([0, 0, 4, 0]))
    assert [one.shown for one in found] == [False, False, True, False]
    assert found[2].apart.mm == pytest.approx(4, abs=0.05)
    assert "holds 4.0 mm more with left closed than with right closed" in found[2].finding
    assert found[0].finding == ""


def test_slack_in_a_rod_that_forces_nothing_cannot_be_seen_at_any_size():
    assert [one.not_seen_mm for one in play(RODS, lie(), lie())] == [None] * 4


def test_a_driven_rod_shows_its_slack_once_it_is_beyond_reading():
    """Found 19 times in 20: (3.23 + 1.645) σ for four rods."""
    driven = tuple(replace(rod, driven=True) for rod in RODS)
    found = play(driven, lie(), lie())
    sigma = found[0].apart.sigma_mm
    assert found[0].not_seen_mm == pytest.approx((3.227 + 1.645) * sigma, rel=1e-3)


def test_an_undriven_rod_forced_to_and_fro_shows_no_more_than_its_forcing():
    hard = play(RODS, lie([0, 12, 0, 0]), lie([0, -12, 0, 0]))
    assert hard[1].not_seen_mm is not None
    same = play(RODS, lie([0, 12, 0, 0]), lie([0, 12, 0, 0]))
    assert same[1].not_seen_mm is None


def test_a_rod_read_on_one_lie_alone_is_left_out():
    one = combine(make_readings(fwp=reads([1370] * 4), gauge=(), residual=()))
    other = combine(make_readings(fwp=(), gauge=(), residual=()))
    assert play(RODS, one, other) == ()


def test_both_lies_together_are_surer_than_either():
    """Weighted mean of 10 (σ 1) and 13 (σ 2): (10 + 13/4) / (1 + 1/4)."""
    held = {Lie.LEFT_CLOSED: Estimate(10, 1), Lie.RIGHT_CLOSED: Estimate(13, 2)}
    found = both_lies(held)
    assert found.mm == pytest.approx(10.6)
    assert found.sigma_mm == pytest.approx(0.8**0.5)


def test_a_single_stretcher_forces_nothing_so_slack_of_any_size_could_hide_in_it():
    fwc = clearances()[:1]
    passage = reads(GAUGE - OFF_HOME - np.array(fwc))
    readings = make_readings(fwc=reads(fwc), fwp=passage, residual=(), gauge=())
    one = combined(SHAPE, True, RODS[:1], taken(readings, RODS[:1]), ERRORS)
    assert play(RODS[:1], one, one)[0].not_seen_mm is None


def test_slack_that_could_not_have_shown_is_told_in_words():
    told = Play(2, "second stretcher", Estimate(0.0, 0.5), False, 3.04)
    sentence = "at the second stretcher could not have shown in these readings."
    assert told.unseen == f"Slack of less than 3.0 mm {sentence}"
    assert replace(told, not_seen_mm=None).unseen == f"Slack of any size {sentence}"
