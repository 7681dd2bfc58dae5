"""All the insulation of one set of points lies on one side."""

from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    listed,
    suits,
)

from ..facts import PositionFacts, StretcherFacts
from ..words import InsulationSide

ONE_SIDED = frozenset({InsulationSide.LEFT, InsulationSide.RIGHT})
TELLING = ONE_SIDED | {InsulationSide.UNKNOWN}


class Others(NamedTuple):
    """The sides of the other rods that tell anything: left, right, unknown."""

    circuited: bool  # or not known; without a track circuit no side matters
    sides: frozenset[InsulationSide]


def others(position: PositionFacts) -> Others:
    circuited = position.points.track_circuited is not False
    sides = (other.insulation_side for _, other in position.others if circuited)
    return Others(circuited, TELLING.intersection(sides))


def clashes(side: InsulationSide, place: Others) -> bool:
    """Whether its insulation lies on one side and the others' all on the opposite one."""
    if side not in ONE_SIDED:
        return False
    return side.turned in place.sides and side not in place.sides


def insulation_side(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    side, place = stretcher.insulation_side, others(position)
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
    if clashes(side, place):
        return after_work(
            f"Insulated on the {side}, the others on the {side.turned} ({_sides(position)}).",
            f"use a stretcher insulated on the {side.turned}",
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


INSULATION_SIDE = Truth(
    suits="There is no track circuit, or the stretcher, the way round it is used, is insulated on "
    "the side of all the others, on both sides, or not at all.",
    after_work="The others are on different sides already, or a stretcher turned for another "
    "reason would be on the side opposite to theirs.",
    cannot_say="There is or may be a track circuit, and the side of this stretcher or of another "
    "one here is not known.",
)


def _sides(position: PositionFacts) -> str:
    return listed(f"{p.name} {rod.insulation_side.label}" for p, rod in position.others)
