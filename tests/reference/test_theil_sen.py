"""The robust slope against Sen's own worked data and two implementations of another library.

Sources: P. K. Sen, Journal of the American Statistical Association 63 (1968) 1379-1389: seven
readings, slope 4, 93 % interval 26/7 to 35/8 (as put right in the tests of the R package
"deming", which notes slips in the paper's table); scipy.stats.theilslopes and
scipy.stats.mstats.theilslopes, which do not share their code.
"""

import random
import warnings

import pytest

from inspections.upcoming.slope import level, robust_slope

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
