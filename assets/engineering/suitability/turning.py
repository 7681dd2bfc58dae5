"""Which way round the rod lies: insulation side, gooseneck against the timbers, turning it.

Turned end for end a rod changes its left end for its right and its toe face for its heel face.
A rod is judged the way round it would be used: turned where that brings its insulation to the
side of the others, or its gooseneck clear of the timber without harm to the insulation.
"""

from enum import Enum
from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    after_work,
    cannot_say,
    listed,
    misfit,
    mm,
    sentence,
    suits,
)

from ..facts import PositionFacts, StretcherFacts
from ..words import Form, InsulationSide, Towards

STRAIGHT_SPACE_MM = 20.0  # assumed, on either side of any rod
GOOSENECK_SPACE_MM = 60.0  # assumed: measure how far the gooseneck stands out before relying on it

TURN = "turn it end for end"
MOVE_TIMBER = "P-way to move or replace the timber; do not cut it"

ONE_SIDED = frozenset({InsulationSide.LEFT, InsulationSide.RIGHT})
TELLING = ONE_SIDED | {InsulationSide.UNKNOWN}
OTHER_END = {
    InsulationSide.LEFT: InsulationSide.RIGHT,
    InsulationSide.RIGHT: InsulationSide.LEFT,
}


class Room(Enum):
    """What the space to a timber is enough for."""

    NONE = "not even a straight stretcher"
    STRAIGHT = "a straight stretcher"
    GOOSENECK = "a gooseneck"


class Lie(NamedTuple):
    """How a rod lies: what changes when it is turned, and what stands out of it."""

    side: InsulationSide
    form: Form
    towards: Towards

    @property
    def turned(self) -> "Lie":
        return Lie(OTHER_END.get(self.side, self.side), self.form, self.towards.opposite)


class Around(NamedTuple):
    """What a rod meets at a place: the sides of the other rods, and space for a gooseneck.

    The sides are those that tell anything (left, right, unknown), none without a track circuit.
    """

    circuited: bool  # or not known
    sides: frozenset[InsulationSide]
    ahead: Room | None  # None: not measured
    behind: Room | None


def lie(stretcher: StretcherFacts) -> Lie:
    return Lie(stretcher.insulation_side, stretcher.form, stretcher.gooseneck_towards)


def around(position: PositionFacts) -> Around:
    place, circuited = position.place, position.points.track_circuited is not False
    sides = (other.insulation_side for _, other in position.others if circuited)
    return Around(
        circuited,
        TELLING.intersection(sides),
        _room(place.space_ahead_mm),
        _room(place.space_behind_mm),
    )


def _room(space: float | None) -> Room | None:
    if space is None:
        return None
    if space < STRAIGHT_SPACE_MM:
        return Room.NONE
    return Room.STRAIGHT if space < GOOSENECK_SPACE_MM else Room.GOOSENECK


def clashes(rod: Lie, place: Around) -> bool:
    """Whether its insulation lies on one side and the others' all on the opposite one."""
    other_end = OTHER_END.get(rod.side)
    return other_end in place.sides and rod.side not in place.sides


def has_room(rod: Lie, place: Around) -> bool | None:
    """Whether the rod, lying as it does, keeps clear of the timbers; None: not known."""
    ahead, behind = place.ahead, place.behind
    if Room.NONE in (ahead, behind):
        return False  # there is not room for any rod
    if rod.form is not Form.STRAIGHT and rod.towards is Towards.UNKNOWN:
        ways = {has_room(rod._replace(towards=way), place) for way in (Towards.TOE, Towards.HEEL)}
        return ways.pop() if len(ways) == 1 else None
    if rod.form is Form.UNKNOWN:
        ways = {
            has_room(rod._replace(form=form), place) for form in (Form.STRAIGHT, Form.GOOSENECK)
        }
        return ways.pop() if len(ways) == 1 else None
    out = {Towards.TOE: ahead, Towards.HEEL: behind}.get(rod.towards)
    if rod.form is Form.GOOSENECK and out is Room.STRAIGHT:
        return False
    return None if ahead is None or behind is None else True


def wants_turning(rod: Lie, place: Around) -> bool:
    """Whether the rod is wrong as it lies and right, in what was wrong, end for end."""
    if clashes(rod, place):
        return True
    return (
        has_room(rod, place) is False
        and has_room(rod.turned, place) is True
        and not clashes(rod.turned, place)
    )


def as_used(rod: Lie, place: Around) -> Lie:
    """The way round the rod would go in."""
    return rod.turned if wants_turning(rod, place) else rod


# --- the rules ----------------------------------------------------------------------------------


def insulation_side(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    rod, place = lie(stretcher), around(position)
    side = rod.side
    if not place.circuited:
        return suits("Not track-circuited: the insulation side does not matter.")
    if side is InsulationSide.UNKNOWN:
        return cannot_say(
            "the insulation side of this stretcher is not known",
            "which end of the stretcher is insulated",
        )
    if side not in ONE_SIDED:
        told = "Insulated on both sides" if side is InsulationSide.BOTH else "Not insulated"
        return suits(f"{told}: no side to compare with the other stretchers.")
    if place.sides >= ONE_SIDED:
        return after_work(
            f"Insulated on the {side}; the stretchers fitted are already on different sides "
            f"({_sides(position)}).",
            "bring all the insulation of these points to one side",
        )
    if clashes(rod, place):
        return after_work(
            f"Insulated on the {side}, the others on the {OTHER_END[side]} ({_sides(position)}).",
            TURN,
        )
    if InsulationSide.UNKNOWN in place.sides:
        return cannot_say(
            f"insulated on the {side}; the side of another stretcher is not known "
            f"({_sides(position)})",
            "which end of each stretcher fitted here is insulated",
        )
    if side in place.sides:
        return suits(f"Insulated on the {side} like the others ({_sides(position)}).")
    return suits(f"Insulated on the {side}; no other stretcher here is insulated on one side only.")


def _sides(position: PositionFacts) -> str:
    return listed(f"{p.name} {rod.insulation_side.label}" for p, rod in position.others)


def timber_space(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Every rod needs room to the timbers, and a gooseneck stands out of the rod's line."""
    surroundings, place = around(position), position.place
    lies = lie(stretcher)
    rod = as_used(lies, surroundings)
    fits = has_room(rod, surroundings)
    space = f"{_space(place.space_ahead_mm)} ahead and {_space(place.space_behind_mm)} behind"
    told = f"{_needs(rod)}; there is {space}"
    if rod.form is not Form.STRAIGHT and rod.towards is not Towards.UNKNOWN:
        told += f", and it points towards the {rod.towards}"
    if fits and rod != lies and not clashes(lies, surroundings):
        return after_work(sentence(f"turned end for end, {told}"), TURN)
    if fits:
        return suits(sentence(told))
    if fits is None:
        return cannot_say(told, _timber_look(rod, surroundings))
    if rod.form is Form.STRAIGHT:  # no other rod has less to ask
        return misfit(sentence(told), MOVE_TIMBER)
    return after_work(sentence(told), MOVE_TIMBER)


def _needs(rod: Lie) -> str:
    straight = f"a straight stretcher needs {mm(STRAIGHT_SPACE_MM)} to the timbers"
    gooseneck = f"a gooseneck needs {mm(GOOSENECK_SPACE_MM)}"
    if rod.form is Form.STRAIGHT:
        return straight
    if rod.form is Form.UNKNOWN:
        return f"{straight}, {gooseneck}"
    return f"{gooseneck} on its side and {mm(STRAIGHT_SPACE_MM)} on the other"


def _space(value: float | None) -> str:
    return "an unknown space" if value is None else mm(value)


def _timber_look(rod: Lie, place: Around) -> str:
    looks = []
    if rod.form is Form.UNKNOWN:
        looks.append("whether the stretcher has a gooseneck")
    elif rod.towards is Towards.UNKNOWN:
        looks.append("which way the gooseneck points")
    if None in (place.ahead, place.behind):
        looks.append("the space between the stretcher and the timbers")
    return "; ".join(looks)


def turning(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Whether it can be turned, where it must be; the work itself is counted by what needs it."""
    rod, place = lie(stretcher), around(position)
    if not wants_turning(rod, place):
        return suits("No reason known to turn it end for end.")
    if stretcher.can_be_turned:
        return suits("Must be turned end for end, and can be.")
    if stretcher.can_be_turned is False:
        return misfit("Must be turned end for end, and cannot be.", _instead(rod, place))
    if stretcher.kicker:
        return misfit(
            "Must be turned end for end, and its kicker would then point the wrong way.",
            _instead(rod, place),
        )
    if stretcher.kicker is None or stretcher.form is Form.UNKNOWN:
        return cannot_say(
            "it must be turned end for end, and whether it can be is not known",
            "kicker, gooseneck and drive lug: would they be right the other way round?",
        )
    return suits("Must be turned end for end, and has no kicker to prevent it.")


def _instead(rod: Lie, place: Around) -> str:
    if clashes(rod, place):
        return f"use a stretcher insulated on the {OTHER_END[rod.side]}"
    way = Towards.TOE if place.ahead is Room.GOOSENECK else Towards.HEEL
    return f"use a straight stretcher, or one whose gooseneck points towards the {way}"
