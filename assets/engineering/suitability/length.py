"""Can the rod hold the separation needed at this place?

An adjustable rod reaches anything in its range, and needs thread to spare beyond what is needed.
A fixed rod is packed with shims at its shoes: more shims make it longer over the backs of the
switch rails, fewer make it shorter. Other shoes change the length of either.
"""

from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Outcome,
    Said,
    Truth,
    after_work,
    cannot_say,
    figure,
    misfit,
    mm,
    sentence,
    suits,
)

from ..assumed import Assumed
from ..facts import Interval, PositionFacts, StretcherFacts
from ..words import Adjustability, Profile
from .fit import rail_fit, shoe_profile

Window = tuple[float | None, float | None]


class Rod(NamedTuple):
    """What of a rod decides whether its length will do."""

    adjustability: Adjustability
    least_mm: float | None
    most_mm: float | None
    shims_mm: float | None  # in place at both shoes together
    left: Profile  # of the shoe there now
    right: Profile


class Need(NamedTuple):
    """What a place asks: separation that sets it right (both None: not known), and its rail."""

    least_mm: float | None
    most_mm: float | None
    rail: Profile
    thread_margin_mm: float  # to spare beyond what is needed
    shim_most_mm: float  # at each shoe

    @property
    def window(self) -> Window:
        return self.least_mm, self.most_mm


def rod_length(stretcher: StretcherFacts) -> Rod:
    least, most = stretcher.length_min_mm, stretcher.length_max_mm
    if stretcher.adjustability is Adjustability.FIXED:
        least, most = (most if least is None else least), (least if most is None else most)
    left, right = stretcher.shim_left_mm, stretcher.shim_right_mm
    shims = None if left is None or right is None else left + right
    shoes = shoe_profile(stretcher.left_shoe), shoe_profile(stretcher.right_shoe)
    return Rod(stretcher.adjustability, least, most, shims, *shoes)


def need_of(position: PositionFacts) -> Need:
    need = position.place.separation or Interval()
    assumed, rail = position.points.assumed, rail_fit(position).profile
    return Need(need.least, need.most, rail, assumed.thread_margin_mm, assumed.shim_most_mm)


def wrong_shoes(rod: Rod, need: Need) -> bool:
    """Whether a shoe must be changed, which changes the length over the backs."""
    rail = need.rail
    *_, left, right = rod
    if rail is left is right:
        return False
    unknown = Profile.UNKNOWN
    return rail is not unknown and not {left, right} <= {rail, unknown}


def _as_it_is(rod: Rod, need: Need) -> Outcome:
    """The outcome with the shoes there are."""
    adjustability, least, most, shims, _, _ = rod
    low, high = need.window
    if low is None and high is None:
        return Outcome.CANNOT_SAY
    if least is None or most is None:
        return _half_known(adjustability, least, most, need)
    if (low is None or most >= low) and (high is None or least <= high):
        return _within(adjustability, least, most, need)
    if adjustability is Adjustability.ADJUSTABLE:
        return Outcome.DOES_NOT_SUIT
    out = _shortfall(least, most, (low, high))
    if abs(out) > _shims_can_do(out, shims, need.shim_most_mm):
        return Outcome.DOES_NOT_SUIT
    if shims is None or adjustability is Adjustability.UNKNOWN:
        return Outcome.CANNOT_SAY
    return Outcome.SUITS_AFTER_WORK


def _within(adjustability: Adjustability, least: float, most: float, need: Need) -> Outcome:
    """A rod that reaches what is needed: an adjustable one must reach beyond both ends of it.

    A fixed one has one length: where two are recorded, either may be the one.
    """
    low, high = need.window
    if adjustability is Adjustability.FIXED:
        whole = (low is None or least >= low) and (high is None or most <= high)
        return Outcome.SUITS if whole else Outcome.CANNOT_SAY
    ends, margin = [end for end in need.window if end is not None], need.thread_margin_mm
    if least <= ends[0] - margin and most >= ends[-1] + margin:
        return Outcome.SUITS
    if adjustability is Adjustability.UNKNOWN:
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


def _shims_can_do(out: float, shims: float | None, most_mm: float) -> float:
    """The most that shims can make up (mm): room left for more, or those there to take out."""
    if shims is None:
        return 2 * most_mm
    return max(0.0, 2 * most_mm - shims) if out > 0 else shims


def _half_known(
    adjustability: Adjustability, least: float | None, most: float | None, need: Need
) -> Outcome:
    """One end may settle that the rod ends short, or is at the end of its thread; none never."""
    known = most if least is None else least
    if known is None:
        return Outcome.CANNOT_SAY
    out = _shortfall(known, known, need.window)
    if out == 0 and adjustability is Adjustability.ADJUSTABLE:
        return Outcome.SUITS_AFTER_WORK
    ends_short = out > 0 if least is None else out < 0
    if ends_short and abs(out) > 2 * need.shim_most_mm:
        return Outcome.DOES_NOT_SUIT
    return Outcome.CANNOT_SAY


def length(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    rod, need = rod_length(stretcher), need_of(position)
    outcome, window = _as_it_is(rod, need), need.window
    assumed = position.points.assumed
    told = f"{_rod_told(rod)}; {_need_told(window, position.place.separation_from)}"
    shortest = rod.most_mm if rod.least_mm is None else rod.least_mm
    longest = rod.least_mm if rod.most_mm is None else rod.most_mm
    if outcome is Outcome.CANNOT_SAY or shortest is None or longest is None:
        return cannot_say(told, _look(rod, window))
    out = _shortfall(shortest, longest, window)
    if outcome is Outcome.DOES_NOT_SUIT:
        return _misfit(told, out, rod, need, assumed)
    if wrong_shoes(rod, need):
        return after_work(
            sentence(f"{told}, with the shoes it has now"),
            "after the change of shoes, measure its length over the backs and set it",
        )
    if outcome is Outcome.SUITS:
        return suits(sentence(told))
    if out == 0:
        return after_work(
            sentence(
                f"{told}: at the end of its thread, with less than "
                f"{assumed.told('thread_margin_mm')} to spare"
            ),
            f"set it {_set_to(shortest, longest, window)} over the backs, and measure again on "
            "both lies",
        )
    do = "add" if out > 0 else "take out"
    return after_work(
        sentence(f"{told}: {_out(out)}"),
        f"{do} {mm(abs(out))} of shims, shared between the two shoes, and measure again",
    )


LENGTH = Truth(
    suits="Adjustable: it can be set through all the separation needed here with at least "
    "{thread_margin_mm} of thread to spare each way. Fixed: its length is within it. The "
    "separation is the one measured here, or runs over the switch openings permitted at the gauge "
    "last read here, else nearest to here, else recorded; the answer says which, and the day.",
    after_work="Adjustable and at the end of its thread; fixed and corrected by shims, up to "
    "{shim_most_mm} at each shoe; or right with the shoes it has, which must be changed: "
    "measure it after that.",
    cannot_say="The separation needed, a length of the stretcher, whether it is adjustable or its "
    "shims are not known, and it matters.",
    does_not_suit="It ends short or cannot be drawn in enough, by more than shims can make up.",
)


def _misfit(told: str, out: float, rod: Rod, need: Need, assumed: Assumed) -> Said:
    remedy = f"use a stretcher that holds {_figures(need.window)}"
    if rod.adjustability is not Adjustability.ADJUSTABLE:
        can = mm(_shims_can_do(out, rod.shims_mm, need.shim_most_mm))
        all_out = out < 0 and rod.shims_mm is not None  # by those it has: nothing is assumed
        told_by = "" if all_out else f" {assumed.mark('shim_most_mm')}"
        remedy += f"; shims can make up {can} at most{told_by}"
    return misfit(sentence(f"{told}: {_out(out)}"), remedy)


def _out(out: float) -> str:
    return f"{mm(abs(out))} too {'short' if out > 0 else 'long'}"


def _set_to(least: float, most: float, need: Window) -> str:
    """Where the reach of the rod and the need overlap: "at 1320 mm", "within 1320 to 1328 mm"."""
    low, high = need
    low, high = max(least, least if low is None else low), min(most, most if high is None else high)
    return f"at {mm(low)}" if low == high else f"within {figure(low)} to {mm(high)}"


def _rod_told(rod: Rod) -> str:
    adjustability, least, most = rod[:3]
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


def _need_told(need: Window, from_where: str) -> str:
    figures = _figures(need)
    if not figures:
        return "the separation needed here is not known"
    return f"needed here {figures}" + (f" ({from_where})" if from_where else "")


def _figures(need: Window) -> str:
    low, high = need
    if low is not None and high is not None:
        return mm(low) if low == high else f"{figure(low)} to {mm(high)}"
    if high is not None:
        return f"at most {mm(high)}"
    return "" if low is None else f"at least {mm(low)}"


def _look(rod: Rod, need: Window) -> str:
    adjustability, least, most, shims = rod[:4]
    looks = []
    if need == (None, None):
        looks.append("gauge and openings at this place on both lies, to work out the separation")
    if least is None or most is None:
        looks.append("the stretcher: measure its shortest and longest length over the backs")
    elif need != (None, None):
        if adjustability is Adjustability.UNKNOWN:
            looks.append("whether the stretcher is adjustable")
        if adjustability is Adjustability.FIXED and least != most:
            looks.append("which length it has, or whether it is adjustable after all")
        if shims is None and adjustability is not Adjustability.ADJUSTABLE:
            looks.append("the shims at each shoe")
    return "; ".join(looks)
