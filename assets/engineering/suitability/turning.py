"""Whether a rod would go in end for end, and whether that can be done.

Turned end for end a rod changes its left end for its right and its toe face for its heel face.
It would be turned where its insulation lies opposite to that of the others, where its drive lug
is at the end away from the machine, or where that alone brings its gooseneck clear of the timber.
Every rule then judges the turned rod; what fails only when it is turned makes turning no remedy.
"""

from collections.abc import Iterable
from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Answer,
    Outcome,
    Said,
    Truth,
    after_work,
    cannot_say,
    listed,
    misfit,
    suits,
)

from ..facts import PositionFacts, StretcherFacts
from ..words import Ends, InsulationSide, Side, Towards
from . import drive_lug, insulation_side, timber
from .insulation_side import Others
from .timber import Outline, Room, Rooms

TURN = "turn it end for end"
BY_CAN_BE_TURNED = {
    True: Outcome.SUITS_AFTER_WORK,
    False: Outcome.DOES_NOT_SUIT,
    None: Outcome.CANNOT_SAY,
}


class Lie(NamedTuple):
    """How a rod lies: what of it may be wrong one way round and right the other."""

    side: InsulationSide
    outline: Outline
    lug_end: Ends


class Around(NamedTuple):
    """What a rod meets at a place: the sides of the other rods, the timbers, the machine."""

    others: Others
    rooms: Rooms
    machine_side: Side


def lie(stretcher: StretcherFacts) -> Lie:
    return Lie(
        stretcher.insulation_side, timber.outline(stretcher), drive_lug.lug_end_of(stretcher)
    )


def around(position: PositionFacts) -> Around:
    return Around(
        insulation_side.others(position),
        timber.rooms(position),
        drive_lug.machine_side(position),
    )


def _wrong_end(rod: Lie, place: Around) -> bool:
    """Whether insulation or lug is at the wrong end."""
    return insulation_side.clashes(rod.side, place.others) or drive_lug.at_far_end(
        rod.lug_end, place.machine_side
    )


def wants_turning(rod: Lie, place: Around) -> bool:
    """Whether the rod is wrong as it lies and right, in what was wrong, end for end."""
    if _wrong_end(rod, place):
        return True
    if timber.has_room(rod.outline, place.rooms) is not False:
        return False
    form, towards = rod.outline
    turned = Lie(rod.side.turned, Outline(form, towards.opposite), rod.lug_end.turned)
    return timber.has_room(turned.outline, place.rooms) is True and not _wrong_end(turned, place)


def turning(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Whether it can be turned, where it must be: asked of the rod as it lies."""
    rod, place = lie(stretcher), around(position)
    if not wants_turning(rod, place):
        return suits("No reason known to turn it end for end.")
    why = _why(rod, place)
    if stretcher.can_be_turned is None:
        return cannot_say(
            f"it would have to be turned end for end ({why}), and whether it can be was never "
            "recorded",
            "kicker, gooseneck and drive lug: would they be right the other way round?",
        )
    if stretcher.can_be_turned:
        return after_work(f"To be turned end for end: {why}.", TURN)
    return misfit(
        f"It would have to be turned end for end ({why}), and cannot be.", _instead(rod, place)
    )


def no_remedy(
    stretcher: StretcherFacts, position: PositionFacts, failing: Iterable[Answer]
) -> Said:
    """Where turning puts something else wrong."""
    rod, place = lie(stretcher), around(position)
    spoiled = listed(f"the {answer.rule}" for answer in failing)
    return misfit(
        f"It would have to be turned end for end ({_why(rod, place)}), and turned it fails in "
        f"{spoiled}: turning is no remedy.",
        _instead(rod, place),
    )


TURNING = Truth(
    suits="There is no reason to turn it: its insulation is not opposite to that of the others, "
    "its lug is not at the end away from the machine, and turning would not bring its gooseneck "
    "clear.",
    after_work="There is a reason, it is recorded that the stretcher can be turned, and no other "
    "rule fails for the turned stretcher that it passes as it lies.",
    cannot_say="There is a reason, and nobody has recorded whether the stretcher can be turned.",
    does_not_suit="There is a reason, and the stretcher cannot be turned; or turned it fails in "
    "what it passes as it lies: the track circuit, the timbers, the end of the lug.",
)


def _why(rod: Lie, place: Around) -> str:
    whys = []
    if insulation_side.clashes(rod.side, place.others):
        whys.append(f"insulated on the {rod.side}, the others on the {rod.side.turned}")
    if drive_lug.at_far_end(rod.lug_end, place.machine_side):
        whys.append(
            f"its drive lug is at the {rod.lug_end.label}, and the machine is on the "
            f"{place.machine_side}"
        )
    return "; ".join(whys) or f"its gooseneck points towards the {rod.outline.towards}"


def _instead(rod: Lie, place: Around) -> str:
    if insulation_side.clashes(rod.side, place.others):
        return f"use a stretcher insulated on the {rod.side.turned}"
    if drive_lug.at_far_end(rod.lug_end, place.machine_side):
        return f"use a stretcher with its drive lug at the {place.machine_side} end"
    way = Towards.TOE if place.rooms.ahead is Room.GOOSENECK else Towards.HEEL
    return f"use a straight stretcher, or one whose gooseneck points towards the {way}"
