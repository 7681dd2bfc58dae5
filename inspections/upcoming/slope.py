"""The robust slope of readings over time, with its interval.

P. K. Sen, "Estimates of the regression coefficient based on Kendall's tau", Journal of the American
Statistical Association 63 (1968) 1379-1389: the median of the slopes between all pairs of readings,
and two of those slopes as its interval, by the normal approximation, which is a little narrow below
eight readings. Plain Python on purpose: series are short, and the home page, which lists what is
reaching a limit, is not to load the numerical libraries. The tests compare it with two of theirs.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist, median

CONFIDENCE = 0.95


@dataclass(frozen=True)
class Slope:
    """The median slope and its interval, in the value's unit per unit of time."""

    slope: float
    low: float
    high: float

    @property
    def excludes_zero(self) -> bool:
        return self.low > 0 or self.high < 0


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
    return Slope(median(slopes), slopes[first], slopes[last])


def level(times: Sequence[float], values: Sequence[float], slope: float) -> float:
    """The value at time 0 of the line with this slope: the median of what each reading gives."""
    return median(value - slope * time for time, value in zip(times, values, strict=True))


def _variance(times: Sequence[float], values: Sequence[float]) -> float:
    """Of Kendall's score where nothing changes; readings alike in time or value count less."""

    def part(n: int) -> int:
        return n * (n - 1) * (2 * n + 5)

    ties = sum(part(n) for series in (times, values) for n in Counter(series).values())
    return max(0, part(len(times)) - ties) / 18
