"""What rods hold over the visits: steps without work, and none where nothing moved."""

from datetime import datetime, timedelta

import numpy as np
import pytest

from assets.engineering.two_rails.combining import Estimate
from assets.engineering.two_rails.held_lengths import HeldThen, pieces, unexplained_steps

FIRST = datetime(2025, 1, 6, 10, 0)


def at(visit: int) -> datetime:
    return FIRST + timedelta(days=91 * visit)


def visits(values, sigma=0.35) -> list[HeldThen]:
    return [HeldThen(at(n), Estimate(float(mm), sigma)) for n, mm in enumerate(values)]


def test_a_step_is_found_with_the_visits_between_which_it_came():
    (step,) = unexplained_steps({2: visits([1400.0] * 8 + [1401.5] * 3)})
    assert (step.order, step.after, step.by) == (2, at(7), at(8))
    assert step.change.mm == pytest.approx(1.5)
    assert step.change.sigma_mm == pytest.approx(0.35 * (1 / 8 + 1 / 3) ** 0.5)
    assert step.sentence("second stretcher") == (
        "The second stretcher holds 1.5 mm longer since 4 January 2027 than before, and no work "
        "is recorded: look for what moved."
    )


def test_a_step_with_work_between_is_explained():
    history = {2: visits([1400.0] * 8 + [1401.5] * 3)}
    assert unexplained_steps(history, [at(8) - timedelta(days=3)]) == ()
    assert unexplained_steps(history, [at(8)]) == ()
    assert unexplained_steps(history, [at(7)]) != ()


def test_work_on_the_day_of_a_visit_cuts_by_the_hour():
    """Measured, adjusted, measured on one day: the first reading belongs to what was before."""
    morning, noon = FIRST, FIRST + timedelta(hours=3)
    seen = [HeldThen(morning, Estimate(1400, 0.3)), HeldThen(noon, Estimate(1405, 0.3))]
    assert [len(piece) for piece in pieces(seen, [FIRST + timedelta(hours=1)])] == [1, 1]
    assert unexplained_steps({0: seen}, [FIRST + timedelta(hours=1)]) == ()


@pytest.mark.parametrize("count", [0, 1])
def test_too_few_visits_have_no_step(count):
    assert unexplained_steps({0: visits([1400.0] * count)}) == ()


def chance_of_a_finding(step_mm: float, sigma: float, sets: int, before=8, after=3) -> float:
    """Of sets of four rods read at visits with whole-mm FWP on both lies, one of them stepping."""
    chance = np.random.default_rng(1891)
    each = ((sigma**2 + 1 / 12) / 2) ** 0.5  # both lies, each rounded
    found = 0
    for _ in range(sets):
        true = 1400.0 + chance.uniform(0, 1, 4)[:, np.newaxis] + np.zeros(before + after)
        true[2, before:] += step_mm
        read = np.round(true + chance.normal(0, sigma, (2, 4, before + after))).mean(axis=0)
        steps = unexplained_steps({order: visits(read[order], each) for order in range(4)})
        found += any(step.order == 2 for step in steps) if step_mm else bool(steps)
    return found / sets


def test_a_step_of_one_and_a_half_mm_is_found_at_least_85_times_in_100():
    """σ 0.5 mm, passage read on both lies in whole mm, eight visits before and three after."""
    assert chance_of_a_finding(1.5, 0.5, 400) >= 0.85


def test_healthy_points_show_a_step_about_once_in_a_hundred():
    assert chance_of_a_finding(0.0, 0.5, 600) <= 0.02
