"""Does the rod keep the two rails of the track circuit apart?"""

from .. import continuity as circuit
from ..facts import PositionFacts, StretcherFacts
from ..words import InsulationKind, InsulationSide
from .findings import Said, after_work, cannot_say, misfit, suits
from .turning import as_used, wants_turning

ANY_ROD = StretcherFacts(insulation_side=InsulationSide.BOTH)


def insulation(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Insulated wherever there is a track circuit; harmless where there is none."""
    side, circuited = stretcher.insulation_side, position.points.track_circuited
    if circuited is False:
        return suits("Not track-circuited: insulation is not needed, and does no harm.")
    if side is InsulationSide.UNKNOWN:
        return cannot_say(
            "whether this rod is insulated is not known", "bushes, ferrules and plates of the rod"
        )
    if side is InsulationSide.NONE:
        if circuited is None:
            return cannot_say(
                "not insulated, and whether these points are track-circuited is not known",
                "whether these points are track-circuited",
            )
        return misfit("Track-circuited, and this rod is not insulated.", "use an insulated rod")
    if stretcher.insulation_kind is InsulationKind.NONE:
        return cannot_say(
            f"recorded as insulated on {side.label} yet with no kind of insulation",
            "bushes, ferrules and plates of the rod",
        )
    where = "both sides" if side is InsulationSide.BOTH else f"the {side.label}"
    return suits(f"Insulated on {where}.")


def continuity(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """The rails with this rod in place, lying the way round it would be used."""
    points = position.points
    if points.track_circuited is False:
        return suits("Not track-circuited: whether the rods join the rails does not arise.")
    rod = as_used(stretcher, position)
    drawn = circuit.arrangement(points.with_rod(position.order, rod))
    way = ", turned end for end," if wants_turning(stretcher, position) else ""
    with_rod = f"with this rod in place{way} the rails"
    if drawn.bridged is False:
        return suits(f"W{with_rod[1:]} are not joined.")
    if drawn.bridged is None:
        return cannot_say(
            f"{with_rod} may be joined ({drawn.path})",
            "; ".join(question.look for question in drawn.deciding),
        )
    if points.track_circuited is None:
        return cannot_say(
            f"{with_rod} are joined ({drawn.path}), if there is a track circuit to join",
            "whether these points are track-circuited",
        )
    without = circuit.arrangement(points.with_rod(position.order, None))
    if without.bridged:
        return after_work(
            f"The rails are joined already, without this rod: {without.path}.",
            "put that right first",
        )
    return misfit(
        f"W{with_rod[1:]} are joined: {drawn.path}.",
        "use a rod insulated on the side of the others, or on both sides",
    )


def circuit_part(position: PositionFacts) -> tuple | None:
    """All that continuity asks of the place: the joints round any rod that might go there."""
    points = position.points
    if points.track_circuited is False:
        return None
    joints = circuit.arrangement(points.with_rod(position.order, ANY_ROD))
    return points.track_circuited, position.order, joints
