"""Which way round the rod lies: insulation side, gooseneck against the timbers, turning it.

Turned end for end a rod changes its left end for its right and its toe face for its heel face.
A rod is judged the way round it would be used: turned where that brings its insulation to the
side of the others, or its gooseneck clear of the timber without harm to the insulation.
"""

from dataclasses import replace

from ..facts import PositionFacts, StretcherFacts
from ..words import Form, InsulationSide, Towards
from .findings import Said, after_work, cannot_say, listed, misfit, mm, sentence, suits

GOOSENECK_SPACE_MM = 60.0  # assumed: measure how far the gooseneck stands out before relying on it

ONE_SIDED = frozenset({InsulationSide.LEFT, InsulationSide.RIGHT})
OTHER_END = {
    InsulationSide.LEFT: InsulationSide.RIGHT,
    InsulationSide.RIGHT: InsulationSide.LEFT,
}

Room = tuple[bool | None, bool | None]  # for a gooseneck: ahead, behind


def turned(stretcher: StretcherFacts) -> StretcherFacts:
    """The same rod end for end."""
    side = stretcher.insulation_side
    return replace(
        stretcher,
        insulation_side=OTHER_END.get(side, side),
        gooseneck_towards=stretcher.gooseneck_towards.opposite,
        left_shoe=stretcher.right_shoe,
        right_shoe=stretcher.left_shoe,
        shim_left_mm=stretcher.shim_right_mm,
        shim_right_mm=stretcher.shim_left_mm,
    )


def as_used(stretcher: StretcherFacts, position: PositionFacts) -> StretcherFacts:
    """The rod the way round it would go in."""
    return turned(stretcher) if wants_turning(stretcher, position) else stretcher


def wants_turning(stretcher: StretcherFacts, position: PositionFacts) -> bool:
    """Whether the rod is wrong as it lies and right, in what was wrong, end for end."""
    if clashes(stretcher, position):
        return True
    other_way = turned(stretcher)
    return (
        has_room(stretcher, position) is False
        and has_room(other_way, position) is True
        and not clashes(other_way, position)
    )


# --- insulation ---------------------------------------------------------------------------------


def other_sides(position: PositionFacts) -> frozenset[InsulationSide]:
    return frozenset(place.stretcher.insulation_side for place in position.others)


def clashes(stretcher: StretcherFacts, position: PositionFacts) -> bool:
    """Whether its insulation lies on one side and the others' all on the opposite one."""
    if position.points.track_circuited is False or stretcher.insulation_side not in ONE_SIDED:
        return False
    return other_sides(position) & ONE_SIDED == {OTHER_END[stretcher.insulation_side]}


def insulation_side(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    side, others = stretcher.insulation_side, other_sides(position)
    if position.points.track_circuited is False:
        return suits("Not track-circuited: the insulation side does not matter.")
    if side is InsulationSide.UNKNOWN:
        return cannot_say(
            "the insulation side of this rod is not known", "which end of the rod is insulated"
        )
    if side not in ONE_SIDED:
        told = "Insulated on both sides" if side is InsulationSide.BOTH else "Not insulated"
        return suits(f"{told}: no side to compare with the other rods.")
    if others >= ONE_SIDED:
        return after_work(
            f"Insulated on the {side}; the rods fitted disagree already ({_sides(position)}).",
            "bring the insulations of these points all to one side",
        )
    if clashes(stretcher, position):
        return after_work(
            f"Insulated on the {side}, the others on the {OTHER_END[side]} ({_sides(position)}).",
            "turn it end for end",
        )
    if InsulationSide.UNKNOWN in others:
        return cannot_say(
            f"insulated on the {side}; the side of another rod is not known ({_sides(position)})",
            "which end of each rod fitted here is insulated",
        )
    if side in others:
        return suits(f"Insulated on the {side} like the others ({_sides(position)}).")
    return suits(f"Insulated on the {side}; no other rod here is insulated on one side only.")


def _sides(position: PositionFacts) -> str:
    return listed(f"{p.name} {p.stretcher.insulation_side.label}" for p in position.others)


# --- gooseneck and timber -----------------------------------------------------------------------


def room(position: PositionFacts) -> Room:
    """Whether a gooseneck has space ahead of and behind the rod; None where not measured."""
    return _enough(position.place.space_ahead_mm), _enough(position.place.space_behind_mm)


def _enough(space: float | None) -> bool | None:
    return None if space is None else space >= GOOSENECK_SPACE_MM


def has_room(stretcher: StretcherFacts, position: PositionFacts) -> bool | None:
    """Whether the rod, lying as it does, keeps clear of the timbers; None: not known."""
    ahead, behind = room(position)
    if stretcher.form is Form.STRAIGHT or (ahead and behind):
        return True
    if stretcher.form is Form.UNKNOWN:
        return None
    if stretcher.gooseneck_towards is Towards.TOE:
        return ahead
    if stretcher.gooseneck_towards is Towards.HEEL:
        return behind
    return False if ahead is False and behind is False else None


def timber_space(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    used = as_used(stretcher, position)
    fits, place = has_room(used, position), position.place
    if stretcher.form is Form.STRAIGHT:
        return suits("Straight: no gooseneck to foul the timbers.")
    space = f"{_space(place.space_ahead_mm)} ahead and {_space(place.space_behind_mm)} behind"
    told = f"a gooseneck needs {mm(GOOSENECK_SPACE_MM)}; there is {space}"
    which = used.gooseneck_towards
    stands = "" if which is Towards.UNKNOWN else f", and it stands towards the {which}"
    if fits:
        return suits(sentence(f"{told}{stands}"))
    if fits is False:
        return after_work(
            sentence(f"{told}{stands}"),
            "P-way to move or replace the timber; do not cut it",
        )
    return cannot_say(f"{told}{stands}", _timber_look(used, room(position)))


def _space(value: float | None) -> str:
    return "an unknown space" if value is None else mm(value)


def _timber_look(stretcher: StretcherFacts, space: Room) -> str:
    looks = []
    if stretcher.form is Form.UNKNOWN:
        looks.append("whether the rod has a gooseneck")
    elif stretcher.gooseneck_towards is Towards.UNKNOWN:
        looks.append("which way the gooseneck stands")
    if None in space:
        looks.append("the space between the rod and the timbers")
    return "; ".join(looks)


# --- turning ------------------------------------------------------------------------------------


def turning(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Whether it can be turned, where it must be; the work itself is counted by what needs it."""
    if not wants_turning(stretcher, position):
        return suits("No reason known to turn it end for end.")
    if stretcher.can_be_turned:
        return suits("Must be turned end for end, and can be.")
    if stretcher.can_be_turned is False:
        return misfit("Must be turned end for end, and cannot be.", _instead(stretcher, position))
    if stretcher.kicker:
        return misfit(
            "Must be turned end for end, and its kicker would then point the wrong way.",
            _instead(stretcher, position),
        )
    if stretcher.kicker is None or stretcher.form is Form.UNKNOWN:
        return cannot_say(
            "it must be turned end for end, and whether it can be is not known",
            "kicker, gooseneck and drive lug: would they come right the other way round?",
        )
    return suits("Must be turned end for end, and has no kicker to prevent it.")


def _instead(stretcher: StretcherFacts, position: PositionFacts) -> str:
    if clashes(stretcher, position):
        return f"use a rod insulated on the {OTHER_END[stretcher.insulation_side]}"
    ahead, _ = room(position)
    way = Towards.TOE if ahead else Towards.HEEL
    return f"use a straight rod, or one whose gooseneck stands towards the {way}"
