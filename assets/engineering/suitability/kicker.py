"""Has the rod the kicker that its place requires?"""

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    cannot_say,
    figure,
    misfit,
    mm,
    suits,
)

from ..facts import PositionFacts, StretcherFacts
from ..words import Ends

KICKER_CLEARANCE_MM = (3.0, 6.0)
LAST_FRONT = 1  # the lock stretcher and the first one behind it are the front stretchers


def required(position: PositionFacts) -> bool | None:
    """Whether a kicker is required here; None: not known.

    A kicker keeps the free end of the switch rail from lifting, so it is on a front stretcher.
    Further back one is required only where the railway has said so: that nobody has is an
    answer there, as no drive rod is a fitting that is missing. At the front it is a question.
    """
    recorded = position.place.kicker_required
    if recorded is None and position.order > LAST_FRONT:
        return False
    return recorded


def kicker(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    needed, has = required(position), stretcher.kicker
    gap = f"{figure(KICKER_CLEARANCE_MM[0])} to {mm(KICKER_CLEARANCE_MM[1])}"
    if has and needed:
        return suits(f"Has the kicker this place requires; set {gap} under the stock rail foot.")
    if has:
        told = "not required here" if needed is False else "not known to be required here"
        return suits(f"Has a kicker, {told}: harmless while it keeps {gap} under the rail foot.")
    if needed is False and position.place.kicker_required is None:
        return suits("No kicker is recorded as required here, behind the front stretchers.")
    if needed is False:
        return suits("No kicker is required here.")
    if needed is None:
        return cannot_say(
            "whether this place requires a kicker is not known",
            "the stretchers of these points: does the front one carry a kicker?",
        )
    if has is None:
        return cannot_say(
            "a kicker is required here and whether this stretcher has one is not known",
            "the ends of the stretcher: does it pass under the stock rail?",
        )
    return misfit(
        "A kicker is required here and this stretcher has none.", "use a stretcher with a kicker"
    )


def kicker_turned(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Of a rod that lies end for end: its kicker has come to the other end."""
    end = stretcher.kicker_end
    if required(position) and stretcher.kicker and end is not Ends.BOTH:
        now = "an end not recorded" if end is Ends.UNKNOWN else f"the {end.label}"
        return cannot_say(
            f"its kicker comes to {now}, and at which end this place needs it is not recorded",
            "at which end the place needs the kicker, and which end of the stretcher carries it",
        )
    return kicker(stretcher, position)


KICKER = Truth(
    suits="The stretcher has a kicker, or none is required: it is recorded so, or nothing is "
    "recorded and the place is behind the first stretcher.",
    cannot_say="The stretcher has none, or may have none, and whether the place requires one is "
    "not known at the lock stretcher or the first one; or turned end for end the kicker it needs "
    "comes to the other end.",
    does_not_suit="A kicker is required and the stretcher has none.",
)
