"""Can the rod hold the separation needed at this place?

An adjustable rod reaches anything in its range. A fixed rod is packed with shims at its shoes:
more shims make it longer over the backs of the switch rails, fewer make it shorter.
"""

from assets.engineering.suitability.answers import (
    Outcome,
    Said,
    after_work,
    cannot_say,
    figure,
    misfit,
    mm,
    sentence,
    suits,
)

from ..facts import PositionFacts, StretcherFacts
from ..words import Adjustability

SHIM_MOST_MM = 6.0  # assumed, at each shoe: the railway's own limit on packing goes before it

RodLength = tuple[Adjustability, float | None, float | None, float | None]
Window = tuple[float | None, float | None]


def rod_length(stretcher: StretcherFacts) -> RodLength:
    """Adjustability, shortest and longest (mm), shims in place at both shoes together (mm)."""
    least, most = stretcher.length_min_mm, stretcher.length_max_mm
    if stretcher.adjustability is Adjustability.FIXED:
        least, most = (most if least is None else least), (least if most is None else most)
    left, right = stretcher.shim_left_mm, stretcher.shim_right_mm
    shims = None if left is None or right is None else left + right
    return stretcher.adjustability, least, most, shims


def window(position: PositionFacts) -> Window:
    """Least and most separation (mm) that sets this place right; (None, None): not known."""
    need = position.place.separation
    return (None, None) if need is None else (need.least, need.most)


def length_outcome(rod: RodLength, need: Window) -> Outcome:
    """Compares figures only, since every spare meets every place; the words come after."""
    adjustability, least, most, shims = rod
    if need == (None, None):
        return Outcome.CANNOT_SAY
    if least is None or most is None:
        return _half_known(least, most, need)
    out = _shortfall(least, most, need)
    if out == 0:
        return Outcome.SUITS
    if adjustability is Adjustability.ADJUSTABLE or abs(out) > _shims_can_do(out, shims):
        return Outcome.DOES_NOT_SUIT
    if shims is None or adjustability is Adjustability.UNKNOWN:
        return Outcome.CANNOT_SAY
    return Outcome.SUITS_AFTER_WORK


def _shortfall(least: float, most: float, need: Window) -> float:
    """How much too short (positive) or too long (negative) the rod is, in mm; 0 where it does."""
    low, high = need
    if low is not None and most < low:
        return low - most
    if high is not None and least > high:
        return high - least
    return 0.0


def _shims_can_do(out: float, shims: float | None) -> float:
    """The most that shims can make up (mm): room left for more, or those there to take out."""
    if shims is None:
        return 2 * SHIM_MOST_MM
    return max(0.0, 2 * SHIM_MOST_MM - shims) if out > 0 else shims


def _half_known(least: float | None, most: float | None, need: Window) -> Outcome:
    """One end settles it where it will do itself, or where the rod ends short; none never does."""
    known = most if least is None else least
    if known is None:
        return Outcome.CANNOT_SAY
    out = _shortfall(known, known, need)
    if out == 0:
        return Outcome.SUITS
    ends_short = out > 0 if least is None else out < 0
    if ends_short and abs(out) > 2 * SHIM_MOST_MM:
        return Outcome.DOES_NOT_SUIT
    return Outcome.CANNOT_SAY


def length(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    rod, need = rod_length(stretcher), window(position)
    outcome = length_outcome(rod, need)
    told = f"{_rod_told(rod)}; {_need_told(need)}"
    if outcome is Outcome.SUITS:
        return suits(sentence(told))
    adjustability, least, most, shims = rod
    shortest, longest = (most if least is None else least), (least if most is None else most)
    if outcome is Outcome.CANNOT_SAY or shortest is None or longest is None:
        return cannot_say(told, _look(rod, need))
    out = _shortfall(shortest, longest, need)
    told = sentence(f"{told}: {mm(abs(out))} too {'short' if out > 0 else 'long'}")
    if outcome is Outcome.SUITS_AFTER_WORK:
        do = "add" if out > 0 else "take out"
        return after_work(
            told, f"{do} {mm(abs(out))} of shims, shared between the two shoes, and measure again"
        )
    remedy = f"use a stretcher that holds {_figures(need)}"
    if adjustability is not Adjustability.ADJUSTABLE:
        remedy += f"; shims can make up {mm(_shims_can_do(out, shims))} at most"
    return misfit(told, remedy)


def _rod_told(rod: RodLength) -> str:
    adjustability, least, most, _ = rod
    kind = (
        "stretcher"
        if adjustability is Adjustability.UNKNOWN
        else f"{adjustability.label} stretcher"
    )
    if least is not None and most is not None:
        return f"{kind} {_figures((least, most))} over the backs"
    if most is not None:
        return f"{kind} up to {mm(most)} over the backs, its shortest length not known"
    if least is not None:
        return f"{kind} from {mm(least)} over the backs, its longest length not known"
    return f"the length of the {kind} is not known"


def _need_told(need: Window) -> str:
    figures = _figures(need)
    return f"needed here {figures}" if figures else "the separation needed here is not known"


def _figures(need: Window) -> str:
    low, high = need
    if low is not None and high is not None:
        return mm(low) if low == high else f"{figure(low)} to {mm(high)}"
    if high is not None:
        return f"at most {mm(high)}"
    return "" if low is None else f"at least {mm(low)}"


def _look(rod: RodLength, need: Window) -> str:
    adjustability, least, most, shims = rod
    looks = []
    if need == (None, None):
        looks.append("gauge and openings at this place on both lies, to work out the separation")
    if least is None or most is None:
        looks.append("the stretcher: measure its shortest and longest length over the backs")
    elif need != (None, None):
        if adjustability is Adjustability.UNKNOWN:
            looks.append("whether the stretcher is adjustable")
        if shims is None and adjustability is not Adjustability.ADJUSTABLE:
            looks.append("the shims at each shoe")
    return "; ".join(looks)
