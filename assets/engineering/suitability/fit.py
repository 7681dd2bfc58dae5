"""Does the rod go on at this place: what it was made for, and its shoes against the rail?"""

from itertools import combinations
from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    listed,
    misfit,
    mm,
    sentence,
    suits,
)

from ..facts import PositionFacts, ShoeFacts, StretcherFacts, Ticked
from ..rails import feet_agree
from ..words import Depth, DriveLug, Generation, Profile, Role, ShoeColour, Side

PROFILE_OF_COLOUR = {
    ShoeColour.ORANGE: Profile.BULLHEAD,
    ShoeColour.YELLOW: Profile.FLAT_BOTTOM,
}
COLOUR_OF_PROFILE = {profile: colour for colour, profile in PROFILE_OF_COLOUR.items()}
ROLE_LOOK = "the stretcher's length, lock notches and drive lug, to find out what it was made for"
LUGS = frozenset({DriveLug.PLAIN, DriveLug.THIN, DriveLug.RAISED_HEAD})


def has_lug(stretcher: StretcherFacts) -> bool:
    return stretcher.drive_lug in LUGS


def role(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """A lock stretcher and the others never change places; the others may, with some care.

    What nobody has said matters only where saying it could change the outcome.
    """
    wanted, made_for, lug = position.place.role, stretcher.made_for, has_lug(stretcher)
    unsaid = [one for one in Role if made_for.answer(one) is None]
    ways = [made_for.yes.union(more) for n in range(len(unsaid) + 1)
            for more in combinations(unsaid, n)]  # fmt: skip
    said = [_role(wanted, way, lug) for way in ways]
    if len({outcome for outcome, _, _ in said}) == 1:
        return said[0]  # in the words of what is recorded
    return cannot_say(_role_doubt(made_for, unsaid, wanted), ROLE_LOOK)


def _role_doubt(made_for: Ticked[Role], unsaid: list[Role], wanted: Role) -> str:
    needs = f"the place needs {wanted}"
    if len(unsaid) == len(Role):
        return f"what this stretcher was made for is not known; {needs}"
    made = f"recorded as made for {_roles(made_for.yes)}; " if made_for.yes else ""
    asked = listed(one.label for one in unsaid)
    return f"{made}whether it was made for {asked} is not known; {needs}"


def _role(wanted: Role, made_for: frozenset[Role], lug: bool) -> Said:
    """The rule where it is known of every role whether the rod was made for it."""
    told = _roles(made_for)
    if wanted in made_for:
        return suits(f"Made for {told}; the place needs {wanted}.")
    if wanted is Role.LOCK:
        return misfit(
            f"Made for {told}; the place is for the lock stretcher.", "use a lock stretcher"
        )
    if made_for == {Role.LOCK}:
        return misfit(
            f"A lock stretcher; the place needs {wanted}.",
            f"use a stretcher made for {wanted}, and keep this one for a lock",
        )
    if wanted is Role.DRIVE:
        if lug:
            return cannot_say(
                f"recorded as made for {told}, yet it has a drive lug",
                "whether the lug was made with the stretcher or fitted later",
            )
        return misfit(f"Made for {told}; the place needs drive.", "use a stretcher made for drive")
    if not made_for:
        return cannot_say(f"recorded as made for {told}; the place needs {wanted}", ROLE_LOOK)
    if wanted is Role.INTERMEDIATE and Role.DRIVE in made_for:
        return suits(f"Made for {told}; will do as an intermediate, with its lug not used.")
    return after_work(
        f"Made for {told}; the place needs {wanted}.",
        "offer it up and check that its shoes seat on the switch rail at this place",
    )


ROLE = Truth(
    suits="The stretcher was made for what the place needs, or for the drive where the place needs "
    "an intermediate one.",
    after_work="It was made for another place that is not the lock: check that its shoes seat.",
    cannot_say="What it was made for is not known, and it matters; or it has a drive lug and is "
    "not recorded as made for the drive.",
    does_not_suit="A lock stretcher elsewhere, another at the lock, or one made for no drive and "
    "without a lug where the place needs drive.",
)


def _roles(roles: frozenset[Role]) -> str:
    return listed(sorted(one.label for one in roles)) if roles else "no kind of place"


def left_shoe(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    return _shoe(stretcher.left_shoe, Side.LEFT, stretcher.generation, position)


def right_shoe(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    return _shoe(stretcher.right_shoe, Side.RIGHT, stretcher.generation, position)


SHOE = Truth(
    suits="The shoe is for the profile of the rail: bullhead on bullhead; flat-bottom on a rail "
    "whose foot agrees within {feet_agree_mm} with the one the shoe is made for, or on a railway "
    "whose flat-bottom rails all have feet alike.",
    after_work="The shoe is for the other profile: change it and set the length again.",
    cannot_say="The profile of shoe or rail is not known, what is recorded contradicts the paint, "
    "a bullhead shoe is recorded for another foot than the rail's, or the foot of shoe or rail is "
    "not known on a railway whose feet differ.",
    does_not_suit="The shoe is made for another foot.",
)


class RailFit(NamedTuple):
    """What a shoe must fit."""

    profile: Profile
    foot_mm: float | None
    one_family: bool | None  # all flat-bottom rails of the railway have feet alike
    feet_agree_mm: float


def rail_fit(position: PositionFacts) -> RailFit:
    points, rail = position.points, position.points.rail
    railway = points.one_flat_bottom_family, points.assumed.feet_agree_mm
    if rail is None:
        return RailFit(Profile.UNKNOWN, None, *railway)
    return RailFit(rail.profile, rail.foot_mm, *railway)


def shoe_profile(shoe: ShoeFacts) -> Profile:
    """The profile recorded, or else what the colour of the shoe shows."""
    return PROFILE_OF_COLOUR.get(shoe.colour, shoe.profile)


def _shoe(shoe: ShoeFacts, side: Side, generation: Generation, position: PositionFacts) -> Said:
    doubt = _shoe_doubt(shoe, side, generation)
    if doubt:
        return doubt
    have, need = shoe_profile(shoe), rail_fit(position)
    if have is Profile.UNKNOWN:
        return cannot_say(
            f"the profile of the {side} shoe is not known and no colour shows it",
            f"the {side} shoe: orange is bullhead, yellow flat-bottom; without paint measure it, "
            "a bullhead shoe is the shorter",
        )
    if need.profile is Profile.UNKNOWN:
        return cannot_say(
            f"the {side} shoe is {have.label}; the rail section is not known",
            "the switch rails: bullhead or flat-bottom",
        )
    told = f"{_by_colour(shoe)}{have.label} shoe on the {side}; the rail is {need.profile.label}"
    if have is not need.profile:
        return after_work(sentence(told), _change_shoe(side, need, generation))
    if have is Profile.FLAT_BOTTOM:
        return _family(told, shoe, side, need)
    made_for, foot = shoe.foot_mm, need.foot_mm
    if (
        made_for is not None
        and foot is not None
        and not feet_agree(made_for, foot, need.feet_agree_mm)
    ):
        return cannot_say(
            f"{told}, yet the shoe is recorded as made for a foot of {mm(made_for)} and the "
            f"rail's is {mm(foot)}",
            f"the {side} shoe: measure the foot it fits",
        )
    return suits(sentence(told))


def _shoe_doubt(shoe: ShoeFacts, side: Side, generation: Generation) -> Said | None:
    told = PROFILE_OF_COLOUR.get(shoe.colour)
    if told is None:
        return None
    if generation is Generation.BLACK:
        return cannot_say(
            f"a black stretcher's shoes carry no colour, yet the {side} one is {shoe.colour}",
            f"the {side} shoe: has a later one been fitted, or is the stretcher not a black one?",
        )
    if generation is Generation.UNKNOWN:
        return cannot_say(
            f"the {side} shoe is {shoe.colour}, which a black stretcher's shoes are not, and the "
            "generation of this stretcher is not known",
            "the stretcher's paint",
        )
    if shoe.profile not in (told, Profile.UNKNOWN):
        return cannot_say(
            f"the {side} shoe is recorded as {shoe.profile.label} yet painted {shoe.colour}, "
            f"which is {told.label}",
            f"the {side} shoe itself: measure its foot, do not trust the paint",
        )
    return None


def _by_colour(shoe: ShoeFacts) -> str:
    if shoe.profile is Profile.UNKNOWN and shoe.colour in PROFILE_OF_COLOUR:
        return f"{shoe.colour}, so "
    return ""


def _family(told: str, shoe: ShoeFacts, side: Side, rail: RailFit) -> Said:
    """Flat-bottom shoes grip the foot of the rail, so they fit one family of feet."""
    if shoe.foot_mm is None:
        if rail.one_family:
            return suits(sentence(told))
        return cannot_say(
            f"{told}, but flat-bottom rails differ in their feet, and which foot the shoe is made "
            "for is not known",
            f"the {side} shoe: measure the foot it fits, and the foot of the switch rail",
        )
    told = f"{told}; the shoe is made for a foot of {mm(shoe.foot_mm)}"
    if rail.foot_mm is None:
        return cannot_say(
            f"{told}, and the foot width of the rail is not known",
            "the switch rails: measure the foot",
        )
    told = f"{told}, the rail's is {mm(rail.foot_mm)}"
    if feet_agree(shoe.foot_mm, rail.foot_mm, rail.feet_agree_mm):
        return suits(sentence(told))
    return misfit(sentence(told), f"use a stretcher with shoes for a foot of {mm(rail.foot_mm)}")


def _change_shoe(side: Side, need: RailFit, generation: Generation) -> str:
    black = generation is Generation.BLACK
    colour = "" if black else f" ({COLOUR_OF_PROFILE[need.profile]})"
    foot = ""
    if need.profile is Profile.FLAT_BOTTOM and not need.one_family and need.foot_mm is not None:
        foot = f" for a foot of {mm(need.foot_mm)}"
    return (
        f"fit {need.profile.label} shoes{colour}{foot}: the {side} one is wrong; then set the "
        "length again"
    )


# --- depth --------------------------------------------------------------------------------------


def switch_depth(position: PositionFacts) -> tuple[Depth, bool | None]:
    """The depth of the switch, and whether the railway has recorded one depth alone."""
    return position.points.depth, position.points.one_depth


def depth(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """A stretcher made for full depth does not suit a shallow switch, nor the other way round.

    Where nothing of the railway, switch or stretcher, is recorded as of a second depth, an
    unrecorded one is taken to be like the rest, as an unmeasured shoe is where all rails have one
    foot: asked of every rod of a railway that has no shallow switch, it would drown what matters.
    The first thing recorded of the other depth makes every unknown one a question.
    """
    need, one_depth = switch_depth(position)
    have = stretcher.depth
    if Depth.UNKNOWN not in (have, need):
        told = f"Made for {have.label}; the switch is of {need.label}."
        return suits(told) if have is need else misfit(told, f"use one made for {need.label}")
    if one_depth:
        return suits("Nothing of a second depth is recorded on this railway.")
    unknown = []
    if have is Depth.UNKNOWN:
        unknown.append("the depth that the stretcher is made for")
    if need is Depth.UNKNOWN:
        unknown.append("the depth of the switch")
    return cannot_say(
        f"this railway has both full and shallow depth, and not known: {listed(unknown)}",
        listed(unknown),
    )


DEPTH = Truth(
    suits="The stretcher is made for the depth of the switch; or nothing of a second depth is "
    "recorded on the railway.",
    cannot_say="The railway has both depths, and that of the switch or of the stretcher is not "
    "known.",
    does_not_suit="It is made for full depth and the switch is shallow, or the other way round.",
)
