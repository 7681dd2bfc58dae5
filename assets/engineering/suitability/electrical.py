"""Does the rod keep the two rails of the track circuit apart?"""

from dataclasses import replace
from itertools import product
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

from ..circuit.drawing import Rod, arrangement, lug_sits
from ..circuit.joints import Joint, lug_of
from ..facts import PointsFacts, PositionFacts, StretcherFacts
from ..words import DetectionRods, InsulationKind, InsulationSide, Side, Soleplate

ANY_ROD = StretcherFacts(insulation_side=InsulationSide.BOTH, lug_beyond=False)
FOUND = "That is what was last found of it."
BARE_ENDS = {  # left, right
    InsulationSide.LEFT: (False, True),
    InsulationSide.RIGHT: (True, False),
    InsulationSide.BOTH: (False, False),
    InsulationSide.NONE: (True, True),
}
AT_REST = {Side.LEFT: 0, Side.RIGHT: 1, None: 2}  # the part of a ``Way`` that a lug is joined to


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


class Circuit(NamedTuple):
    """All that continuity asks of a place: the metal round a rod that touches none of it.

    Each way has a number for the left rail, the right rail, the rod's bar and what takes hold of
    its drive lug; what bare metal joins has one number.
    """

    known: bool  # to be track-circuited
    ways: frozenset[tuple[int, ...]]
    machine_side: Side
    joined_without: bool  # the rails, with no rod here at all


def circuit(position: PositionFacts) -> Circuit | None:
    """The metal round the place; None without a track circuit."""
    order, rod = position.order, position.place.name
    points = position.points.cleared(order)  # what was found of the rod there goes with it
    if points.track_circuited is False:
        return None
    drawn = arrangement(points.with_rod(order, ANY_ROD), of_parts=True)
    lug = Joint(rod, lug_of(rod))
    loose = replace(drawn, joints=tuple(joint for joint in drawn.joints if joint != lug))
    ways = loose.ways(rod, lug.other)
    joined = all(left == right for left, right, *_ in ways)
    return Circuit(
        points.track_circuited is True,
        ways,
        points.machine_side,
        joined and arrangement(points.with_rod(order, None), of_parts=True).bridged is True,
    )


def continuity_outcome(rod: Rod, place: Circuit | None) -> Outcome:
    """The outcome from the two parts alone, since every spare meets every place."""
    if place is None:
        return Outcome.SUITS
    ends = (
        [BARE_ENDS[rod.insulation_side]]
        if rod.insulation_side in BARE_ENDS
        else [*BARE_ENDS.values()]
    )
    sits = lug_sits(rod, place.machine_side)
    joined = {_joined(*one) for one in product(place.ways, ends, sits)}
    if True not in joined:
        return Outcome.SUITS
    if False in joined or not place.known:
        return Outcome.CANNOT_SAY
    return Outcome.SUITS_AFTER_WORK if place.joined_without else Outcome.DOES_NOT_SUIT


def _joined(way: tuple[int, ...], ends: tuple[bool, bool], sits: Side | None) -> bool:
    """Whether the rails are joined with a rod bare at these ends, its lug beyond a side or not."""
    touching = [(3, AT_REST[sits]), *((end, 2) for end in (0, 1) if ends[end])]
    for one, other in touching:
        kept, gone = way[one], way[other]
        way = tuple(kept if number == gone else number for number in way)
    return way[0] == way[1]


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
    "stretcher in place, whatever is still to be examined; a soleplate or detection rods that join "
    "them by themselves are said of the points.",
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
    drawn = arrangement(points, of_parts=True)
    told = f"with {part} in place the track circuit"
    if drawn.bridged is False:
        apart = _said_of_the_points(points)
        return suits(
            sentence(f"{told} is not shorted{apart and f' by stretchers and drives{apart}'}")
        )
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
    before = arrangement(without, of_parts=True)
    if before.bridged:
        return after_work(
            f"The track circuit is already shorted, without {part}: {before.path}.",
            "correct that first",
        )
    return misfit(sentence(f"{told} is shorted: {drawn.path}"), remedy)


def _said_of_the_points(points: PointsFacts) -> str:
    """What joins or may join the rails whatever is fitted, to be named beside what suits."""
    bare = [
        name
        for name, found in (
            ("the soleplate", points.soleplate is Soleplate.BARE),
            ("the detection rods", points.detection_rods is DetectionRods.BARE),
        )
        if found
    ]
    if bare:
        return f"; {' and '.join(bare)} short it"
    unknown = [
        name
        for name, found in (
            ("the soleplate", points.soleplate is Soleplate.UNKNOWN),
            ("the detection rods", points.detection_rods is DetectionRods.UNKNOWN),
        )
        if found
    ]
    return f"; whether {' or '.join(unknown)} short it is not known" if unknown else ""
