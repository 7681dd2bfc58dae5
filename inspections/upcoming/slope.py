"""The robust slope of readings over time, with its interval, and whether it is more than chance.

P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", Journal of the American
Statistical Association 63 (1968) 1379-1389: the median of the slopes between all pairs of readings,
and two of those slopes as its interval, by the normal approximation, which is a little narrow below
eight readings. Whether there is a slope at all is Kendall's test of order, which counts readings
that are alike: exactly for short series, else by the normal approximation with a correction for
continuity. Plain Python on purpose: series are short, and the home page, which lists what is
reaching a limit, is not to load the numerical libraries. The tests compare it with theirs.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist, median

CONFIDENCE = 0.95
_EXACT = 12  # readings up to which every order of them is counted


@dataclass(frozen=True)
class Slope:
    """The median slope and its interval, in the value's unit per unit of time."""

    slope: float
    low: float
    high: float
    chance: float  # of readings going one way at least so steadily if nothing changes

    @property
    def is_real(self) -> bool:
        return self.slope != 0 and self.chance <= 1 - CONFIDENCE


def robust_slope(
    times: Sequence[float], values: Sequence[float], confidence: float = CONFIDENCE
) -> Slope | None:
    """The slope of values over times; None where all times are the same."""
    pairs = list(zip(times, values, strict=True))
    slopes = sorted(
        (later_value - value) / (later - time)
        for place, (time, value) in enumerate(pairs)
        for later, later_value in pairs[place + 1 :]
        if later != time
    )
    if not slopes:
        return None
    spread = NormalDist().inv_cdf((1 + confidence) / 2) * sqrt(_variance(times, values))
    first = max(round((len(slopes) - spread) / 2) - 1, 0)
    last = min(round((len(slopes) + spread) / 2), len(slopes) - 1)
    return Slope(median(slopes), slopes[first], slopes[last], chance_of_order(times, values))


def chance_of_order(times: Sequence[float], values: Sequence[float]) -> float:
    """The chance of a Kendall score at least as far from 0, either way, if nothing changes."""
    pairs = sorted(zip(times, values, strict=True))
    score = sum(
        ((later_value > value) - (later_value < value)) * (later > time)
        for place, (time, value) in enumerate(pairs)
        for later, later_value in pairs[place + 1 :]
    )
    if len(set(times)) == len(times) <= _EXACT:
        return _exact_chance(abs(score), Counter(values).values())
    variance = _variance(times, values)
    if not variance:
        return 1.0
    return 2 * NormalDist().cdf(-max(abs(score) - 1, 0) / sqrt(variance))


def _exact_chance(score: int, alike: Iterable[int]) -> float:
    """Of all orders of readings, ``alike`` of each value, how many score at least so far from 0.

    How many orders have so many pairs the wrong way round are the coefficients of the product of
    1 + q + ... + q^(k-1) for k up to the number of readings, divided by the same of each group.
    """
    groups = list(alike)
    orders = [1]
    for k in range(2, sum(groups) + 1):
        orders = [sum(orders[max(0, at - k + 1) : at + 1]) for at in range(len(orders) + k - 1)]
    for k in (k for group in groups for k in range(2, group + 1)):
        divided: list[int] = []
        for at in range(len(orders) - k + 1):
            divided.append(orders[at] - sum(divided[max(0, at - k + 1) :]))
        orders = divided
    most = len(orders) - 1  # pairs that can be the wrong way round
    far = sum(count for wrong, count in enumerate(orders) if abs(most - 2 * wrong) >= score)
    return far / sum(orders)


def level(times: Sequence[float], values: Sequence[float], slope: float) -> float:
    """The value at time 0 of the line with this slope: the median of what each reading gives."""
    return median(value - slope * time for time, value in zip(times, values, strict=True))


def _variance(times: Sequence[float], values: Sequence[float]) -> float:
    """Of Kendall's score where nothing changes; readings alike in time or value count less."""
    n = len(times)
    alike = [list(Counter(series).values()) for series in (times, values)]

    def sums(part: Callable[[int], int]) -> tuple[int, int]:
        one, other = (sum(part(group) for group in groups) for groups in alike)
        return one, other

    whole = n * (n - 1) * (2 * n + 5) - sum(sums(lambda t: t * (t - 1) * (2 * t + 5)))
    variance = whole / 18
    pairs, others = sums(lambda t: t * (t - 1))
    variance += pairs * others / (2 * n * (n - 1)) if n > 1 else 0
    threes, other_threes = sums(lambda t: t * (t - 1) * (t - 2))
    variance += threes * other_threes / (9 * n * (n - 1) * (n - 2)) if n > 2 else 0
    return max(0.0, variance)
