"""Does the rod keep the two rails of the track circuit apart?"""

from dataclasses import replace
from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Outcome,
    Said,
    Truth,
    after_work,
    cannot_say,
    misfit,
    sentence,
    suits,
)

from ..continuity import LEFT_RAIL, RIGHT_RAIL, Joint, arrangement, bare_reach
from ..facts import PointsFacts, PositionFacts, StretcherFacts
from ..words import InsulationKind, InsulationSide

ANY_ROD = StretcherFacts(insulation_side=InsulationSide.BOTH)
FOUND = "That is what was last found of it."
NO_END, BOTH_ENDS = (False, False), (True, True)
BARE_ENDS = {  # left, right
    InsulationSide.LEFT: (False, True),
    InsulationSide.RIGHT: (True, False),
    InsulationSide.BOTH: NO_END,
    InsulationSide.NONE: BOTH_ENDS,
}


def insulation(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Insulated wherever there is a track circuit; harmless where there is none."""
    side, circuited = stretcher.insulation_side, position.points.track_circuited
    if circuited is False:
        return suits("Not track-circuited: insulation is not needed and does no harm.")
    if side is InsulationSide.UNKNOWN:
        return cannot_say(
            "whether this stretcher is insulated is not known",
            "bushes, ferrules and plates of the stretcher",
        )
    if side is InsulationSide.NONE:
        if circuited is None:
            return cannot_say(
                "not insulated, and whether these points are track-circuited is not known",
                "whether these points are track-circuited",
            )
        return misfit(
            "Track-circuited, and this stretcher is not insulated.", "use an insulated stretcher"
        )
    if stretcher.insulation_kind is InsulationKind.NONE:
        return cannot_say(
            f"recorded as insulated on {side.label} yet with no kind of insulation",
            "bushes, ferrules and plates of the stretcher",
        )
    where = "both sides" if side is InsulationSide.BOTH else f"the {side.label}"
    return suits(f"Insulated on {where}.")


INSULATION = Truth(
    suits="There is no track circuit, or the stretcher is insulated on a side or on both.",
    cannot_say="There is or may be a track circuit, and whether the stretcher is insulated is not "
    "known or is recorded two ways; or it is not insulated and there may be a track circuit.",
    does_not_suit="There is a track circuit and the stretcher is not insulated.",
)


class Metal(NamedTuple):
    """Bare metal round a rod that is itself insulated from both rails."""

    joined: bool  # the rails to each other
    left: bool  # the rod to the left rail
    right: bool  # the rod to the right rail

    def joined_by(self, left_bare: bool, right_bare: bool) -> bool:
        """Whether a rod bare to these rails joins them, or they are joined without it."""
        left, right = self.left or left_bare, self.right or right_bare
        return self.joined or (left and right)


class Circuit(NamedTuple):
    """All that continuity asks of a place, with the open questions answered both ways."""

    known: bool  # to be track-circuited
    at_best: Metal
    at_worst: Metal
    joined_without: bool  # the rails, with no rod here at all


def circuit(position: PositionFacts) -> Circuit | None:
    """The metal round the place; None without a track circuit."""
    order = position.order
    points = position.points.cleared(order)  # what was found of the rod there goes with it
    if points.track_circuited is False:
        return None
    drawn = arrangement(points.with_rod(order, ANY_ROD))
    at_best = _metal(drawn.at_best, position.place.name)
    return Circuit(
        points.track_circuited is True,
        at_best,
        _metal(drawn.at_worst, position.place.name) if drawn.questions else at_best,
        at_best.joined and arrangement(points.with_rod(order, None)).bridged is True,
    )


def _metal(joints: tuple[Joint, ...], rod: str) -> Metal:
    left, right = bare_reach(joints, LEFT_RAIL), bare_reach(joints, RIGHT_RAIL)
    return Metal(RIGHT_RAIL in left, rod in left, rod in right)


def continuity_outcome(side: InsulationSide, place: Circuit | None) -> Outcome:
    """The outcome from the two parts alone, since every spare meets every place."""
    if place is None:
        return Outcome.SUITS
    bare_ends = BARE_ENDS.get(side)
    at_best, at_worst = (NO_END, BOTH_ENDS) if bare_ends is None else (bare_ends, bare_ends)
    if not place.at_worst.joined_by(*at_worst):
        return Outcome.SUITS
    if not place.at_best.joined_by(*at_best) or not place.known:
        return Outcome.CANNOT_SAY
    return Outcome.SUITS_AFTER_WORK if place.joined_without else Outcome.DOES_NOT_SUIT


def continuity(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """The rails with this rod in place, lying the way round it would be used.

    What visits found at the other places counts; at this one it was found of the rod that is
    there, and goes with it.
    """
    cleared = replace(position, points=position.points.cleared(position.order))
    without = cleared.with_place(stretcher=None).points
    sound = rails(
        cleared.with_place(stretcher=stretcher).points,
        without,
        "this stretcher",
        "use a stretcher insulated on the side of the others, or on both sides",
    )
    if sound[0] is Outcome.DOES_NOT_SUIT or not was_found_joining(stretcher, position):
        return sound
    outcome, reason, remedy = rails(
        position.with_place(stretcher=stretcher).points, without, "this stretcher", ""
    )
    if outcome is Outcome.DOES_NOT_SUIT:
        return after_work(f"{reason} {FOUND}", "renew its insulation or free it of what touches it")
    return outcome, reason, remedy


def was_found_joining(stretcher: StretcherFacts, position: PositionFacts) -> bool:
    """Whether visits found metal touching this rod where it is, or its insulation failed."""
    there, points = position.place.stretcher, position.points
    if there is None or there.tag != stretcher.tag:
        return False
    touched = any(contact.order == position.order for contact in points.contacts)
    return touched or any(one.order == position.order for one in points.failed_insulations)


CONTINUITY = Truth(
    suits="There is no track circuit, or no way through metal joins the two rails with the "
    "stretcher in place, whatever is still to be examined.",
    after_work="The rails are joined already without it: correct that first. Or it is fitted, and "
    "what visits found of it joins them: metal that touches it, or an insulation that failed.",
    cannot_say="The rails are joined or not according to something that nobody has examined, or "
    "they are joined and whether there is a track circuit is not known.",
    does_not_suit="With this stretcher in place the rails are joined, and without it they are not.",
)


def rails(points: PointsFacts, without: PointsFacts, part: str, remedy: str) -> Said:
    """Whether the points with a part in place join their rails, and whether the part is why.

    ``remedy`` is what to do where it is.
    """
    if points.track_circuited is False:
        return suits("Not track-circuited, so this does not matter.")
    drawn = arrangement(points)
    told = f"with {part} in place the track circuit"
    if drawn.bridged is False:
        return suits(sentence(f"{told} is not shorted"))
    if drawn.bridged is None:
        return cannot_say(
            f"{told} may be shorted ({drawn.path})",
            "; ".join(question.look for question in drawn.deciding),
        )
    if points.track_circuited is None:
        return cannot_say(
            f"{told} is shorted ({drawn.path}), if there is one",
            "whether these points are track-circuited",
        )
    before = arrangement(without)
    if before.bridged:
        return after_work(
            f"The track circuit is already shorted, without {part}: {before.path}.",
            "correct that first",
        )
    return misfit(sentence(f"{told} is shorted: {drawn.path}"), remedy)
