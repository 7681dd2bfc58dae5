"""Is there room to the timbers for the rod, and for its gooseneck?"""

from enum import Enum
from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    misfit,
    mm,
    sentence,
    suits,
)

from ..assumed import Assumed
from ..facts import PositionFacts, StretcherFacts
from ..words import Form, Towards

MOVE_TIMBER = "P-way to move or replace the timber; do not cut it"
CUT_AWAY = " The timber is recorded as cut away here, which P-way should examine."


class Room(Enum):
    """What the space to a timber is enough for."""

    NONE = "not even a straight stretcher"
    STRAIGHT = "a straight stretcher"
    GOOSENECK = "a gooseneck"


class Outline(NamedTuple):
    """What of a rod stands out towards the timbers."""

    form: Form
    towards: Towards


class Rooms(NamedTuple):
    """The room at a place; None: not measured."""

    ahead: Room | None
    behind: Room | None


def outline(stretcher: StretcherFacts) -> Outline:
    """A straight rod whose gooseneck is recorded all the same may be either."""
    form, towards = stretcher.form, stretcher.gooseneck_towards
    if form is Form.STRAIGHT and towards is not Towards.UNKNOWN:
        form = Form.UNKNOWN
    return Outline(form, towards)


def rooms(position: PositionFacts) -> Rooms:
    place, assumed = position.place, position.points.assumed
    return Rooms(_room(place.space_ahead_mm, assumed), _room(place.space_behind_mm, assumed))


def _room(space: float | None, assumed: Assumed) -> Room | None:
    if space is None:
        return None
    if space < assumed.straight_space_mm:
        return Room.NONE
    return Room.STRAIGHT if space < assumed.gooseneck_space_mm else Room.GOOSENECK


def has_room(rod: Outline, place: Rooms) -> bool | None:
    """Whether the rod, lying as it does, keeps clear of the timbers; None: not known."""
    ahead, behind = place
    if Room.NONE in place:
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


def timber_space(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Every rod needs room to the timbers, and a gooseneck stands out of the rod's line."""
    outcome, reason, remedy = _timber_space(outline(stretcher), position)
    return outcome, reason + (CUT_AWAY if position.place.chiselled else ""), remedy


def _timber_space(rod: Outline, position: PositionFacts) -> Said:
    surroundings, place = rooms(position), position.place
    fits = has_room(rod, surroundings)
    space = f"{_space(place.space_ahead_mm)} ahead and {_space(place.space_behind_mm)} behind"
    told = f"{_needs(rod, position.points.assumed)}; there is {space}"
    if rod.form is not Form.STRAIGHT and rod.towards is not Towards.UNKNOWN:
        told += f", and it points towards the {rod.towards}"
    if fits:
        return suits(sentence(told))
    if fits is None:
        return cannot_say(told, _timber_look(rod, surroundings))
    if rod.form is Form.STRAIGHT:  # no other rod has less to ask
        return misfit(sentence(told), MOVE_TIMBER)
    return after_work(sentence(told), MOVE_TIMBER)


TIMBER_SPACE = Truth(
    suits="There are at least {straight_space_mm} to the timber ahead and behind, and on the side "
    "of a gooseneck at least {gooseneck_space_mm}. Where the timber is recorded as cut away, the "
    "answer says so.",
    after_work="There is less, and the stretcher has a gooseneck or may have one: P-way to move or "
    "replace the timber.",
    cannot_say="A space is not measured, or the form of the stretcher or the way its gooseneck "
    "points is not known, and it matters.",
    does_not_suit="There is not even room for a straight stretcher, and this is one.",
)


def _needs(rod: Outline, assumed: Assumed) -> str:
    least, most = assumed.told("straight_space_mm"), assumed.told("gooseneck_space_mm")
    straight = f"a straight stretcher needs {least} to the timbers"
    gooseneck = f"a gooseneck needs {most}"
    if rod.form is Form.STRAIGHT:
        return straight
    if rod.form is Form.UNKNOWN:
        return f"{straight}, {gooseneck}"
    return f"{gooseneck} on its side and {least} on the other"


def _space(value: float | None) -> str:
    return "an unknown space" if value is None else mm(value)


def _timber_look(rod: Outline, place: Rooms) -> str:
    looks = []
    if rod.form is Form.UNKNOWN:
        looks.append("whether the stretcher has a gooseneck")
    elif rod.towards is Towards.UNKNOWN:
        looks.append("which way the gooseneck points")
    if None in place:
        looks.append("the space between the stretcher and the timbers")
    return "; ".join(looks)
