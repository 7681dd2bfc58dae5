"""The robust slope and the test of order against Sen's own worked data and another library.

Sources: P. K. Sen, Journal of the American Statistical Association 63 (1968) 1379-1389: seven
readings, slope 4, 93 % interval 26/7 to 35/8 (as put right in the tests of the R package
"deming", which notes slips in the paper's table); scipy.stats.theilslopes and
scipy.stats.mstats.theilslopes, which do not share their code; scipy.stats.kendalltau.
"""

import random
import warnings
from itertools import permutations
from math import sqrt

import pytest

from inspections.upcoming.slope import _variance, chance_of_order, level, robust_slope

SEN_TIMES = [1, 2, 3, 4, 10, 12, 18]
SEN_VALUES = [9, 15, 19, 20, 45, 55, 78]


def test_sens_worked_data_give_his_slope_interval_and_level():
    found = robust_slope(SEN_TIMES, SEN_VALUES, confidence=0.93)
    assert found.slope == 4
    assert found.low == pytest.approx(26 / 7, abs=1e-12)
    assert found.high == pytest.approx(35 / 8, abs=1e-12)
    assert level(SEN_TIMES, SEN_VALUES, found.slope) == 6


def made_series(seed: int) -> tuple[list[int], list[float]]:
    """Four to thirty readings on days that may repeat, rounded so that values repeat too."""
    chance = random.Random(seed)
    days = sorted(chance.randint(0, 900) for _ in range(chance.randint(4, 30)))
    slope = chance.choice([0, -0.01, 0.005])
    return days, [round(55 + slope * d + chance.gauss(0, 1), chance.choice([0, 1])) for d in days]


@pytest.mark.parametrize("seed", range(200))
def test_both_implementations_of_scipy_give_the_same_slope_and_interval(seed):
    from scipy import stats

    days, values = made_series(seed)
    if len(set(days)) < 2:
        pytest.skip("all on one day: no slope")
    found = robust_slope(days, values)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        plain = stats.theilslopes(values, days, 0.95, method="joint")
        masked = stats.mstats.theilslopes(values, days, 0.95, method="joint")
    assert level(days, values, found.slope) == pytest.approx(plain.intercept, abs=1e-9)
    for other in (plain, masked):
        assert (found.slope, found.low, found.high) == pytest.approx(
            (other.slope, other.low_slope, other.high_slope), abs=1e-12
        )


@pytest.mark.parametrize("count", [4, 5, 6, 8, 12])
def test_short_series_without_ties_have_the_exact_chance_of_kendalltau(count):
    from scipy.stats import kendalltau

    chance = random.Random(count)
    for _ in range(20):
        values = [chance.gauss(0, 1) + 0.4 * n for n in range(count)]
        expected = kendalltau(range(count), values, method="exact").pvalue
        assert chance_of_order(range(count), values) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    "values", [[1, 1, 2, 3, 3], [5, 5, 5, 4, 6, 6], [1, 2, 2, 2, 3], [0, 0, 1, 1, 2, 2, 3]]
)
def test_short_series_with_ties_have_the_chance_of_all_their_orders(values):
    def score(order):
        pairs = [(a, b) for at, a in enumerate(order) for b in order[at + 1 :]]
        return abs(sum((b > a) - (b < a) for a, b in pairs))

    every = list(permutations(values))
    as_far = sum(score(order) >= score(values) for order in every) / len(every)
    assert chance_of_order(range(len(values)), values) == pytest.approx(as_far, abs=1e-12)


@pytest.mark.parametrize("seed", range(40))
def test_with_ties_in_time_and_value_the_variance_is_that_of_kendalltau(seed):
    from scipy.stats import kendalltau, norm

    days, values = made_series(seed)
    values = [round(value / 2) for value in values]
    found = kendalltau(days, values, method="asymptotic")
    variance = _variance(days, values)
    pairs = [(i, j) for i in range(len(days)) for j in range(i)]
    score = sum(
        ((values[i] > values[j]) - (values[i] < values[j])) * (days[i] > days[j]) for i, j in pairs
    )
    if variance:
        expected = 2 * norm.sf(abs(score) / sqrt(variance))
        assert found.pvalue == pytest.approx(expected, abs=1e-12)


def test_the_correction_for_continuity_makes_long_series_no_surer():
    from scipy.stats import kendalltau

    for seed in range(40):
        days, values = made_series(seed)
        plain = kendalltau(days, values, method="asymptotic").pvalue
        if len(days) > 12 and plain == plain:
            assert chance_of_order(days, values) >= plain - 1e-12
