"""The outcome of the length rule for many rods at many places at once: the same as
the rule's pair by pair, in arrays, since nearly every rod has a length of its own.
"""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, TypeVar

from assets.engineering.suitability.answers import Outcome

from ..words import Adjustability, Profile
from .length import Need, Rod

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Thing = TypeVar("Thing")
Figures = tuple[float | None, ...]

AT_A_TIME = 64  # rods: what is compared then stays in the processor's cache
ADJUSTABILITIES, PROFILES = list(Adjustability), list(Profile)
FIXED, ADJUSTABLE, UNSAID = (
    ADJUSTABILITIES.index(one)
    for one in (Adjustability.FIXED, Adjustability.ADJUSTABLE, Adjustability.UNKNOWN)
)
NO_PROFILE = PROFILES.index(Profile.UNKNOWN)
SUITS, WORK, CANNOT_SAY, MISFIT = (outcome.severity for outcome in Outcome)


def length_outcomes(rods: Sequence[Rod], needs: Sequence[Need]) -> "NDArray[np.uint8]":
    """Severities (uint8), one row per rod and one column per need."""
    import numpy as np

    found = np.empty((len(rods), len(needs)), np.uint8)
    if not found.size:
        return found
    places = _columns(needs, _figures_of_need)
    for start in range(0, len(rods), AT_A_TIME):
        some = rods[start : start + AT_A_TIME]
        columns = [column[:, None] for column in _columns(some, _figures_of)]
        found[start : start + AT_A_TIME] = _outcomes(columns, places)
    return found


def _figures_of(rod: Rod) -> Figures:
    return (
        ADJUSTABILITIES.index(rod.adjustability),
        rod.least_mm,
        rod.most_mm,
        rod.shims_mm,
        PROFILES.index(rod.left),
        PROFILES.index(rod.right),
    )


def _figures_of_need(need: Need) -> Figures:
    least, most, rail, margin, shims = need
    return least, most, PROFILES.index(rail), margin, shims


def _columns(
    things: Sequence[Thing], figures: Callable[[Thing], Figures]
) -> "list[NDArray[np.float64]]":
    import numpy as np

    return list(np.array([figures(thing) for thing in things], float).T)  # None becomes nan


def _outcomes(
    rods: "Sequence[NDArray[np.float64]]", needs: "Sequence[NDArray[np.float64]]"
) -> "NDArray[np.uint8]":
    """One column of each figure of the rods, one row of each of the needs; nan: not known."""
    import numpy as np

    adjustability, least, most, shims, left, right = rods
    low, high, rail, margin, shim_most = needs
    most_shims = 2 * shim_most

    adjustable, fixed = adjustability == ADJUSTABLE, adjustability == FIXED
    no_least, no_most, no_shims = np.isnan(least), np.isnan(most), np.isnan(shims)
    no_low, no_high = np.isnan(low), np.isnan(high)
    floor, ceiling = np.where(no_low, -np.inf, low), np.where(no_high, np.inf, high)
    longest, shortest = np.where(no_most, least, most), np.where(no_least, most, least)
    short, long = floor - longest, shortest - ceiling  # above 0: by how much
    within = (short <= 0) & (long <= 0)

    first, last = np.where(no_low, high, low), np.where(no_high, low, high)
    spare = (least <= first - margin) & (most >= last + margin)
    sure = np.where(fixed, (least >= floor) & (most <= ceiling), spare)
    reaching = np.where(sure, SUITS, np.where(adjustability == ADJUSTABLE, WORK, CANNOT_SAY))
    can = np.where(short > 0, np.maximum(0.0, most_shims - shims), shims)
    can = np.where(no_shims, most_shims, can)
    beyond = adjustable | (np.maximum(short, long) > can)
    unsure = no_shims | (adjustability == UNSAID)
    outside = np.where(beyond, MISFIT, np.where(unsure, CANNOT_SAY, WORK))
    known = np.where(within, reaching, outside)

    ends_short = (no_least & (short > most_shims)) | (no_most & (long > most_shims))
    half = np.where(within & adjustable, WORK, np.where(ends_short, MISFIT, CANNOT_SAY))
    found = np.where(no_least | no_most, half, known)
    found = np.where((no_least & no_most) | (no_low & no_high), CANNOT_SAY, found)
    other = (left != rail) & (left != NO_PROFILE) | (right != rail) & (right != NO_PROFILE)
    wrong_shoes = other & (rail != NO_PROFILE)
    return np.where((found == SUITS) & wrong_shoes, WORK, found).astype(np.uint8)
