"""Whether points that trains run over facing have a lock stretcher: said once for the points.

The register knows what is recorded and no more: a lock inside the machine, or points secured by
hand, are not seen by it, so nothing here says that there is no lock.
"""

from assets.engineering.suitability.answers import (
    PRACTICE,
    Answer,
    Said,
    after_work,
    cannot_say,
    suits,
)

from ..facts import PointsFacts
from ..words import Layout, MachineKind, Role, Use
from .drive_lug import MECHANICAL

FACING = frozenset({Use.FACING, Use.BOTH})
NONE_RECORDED = "no lock stretcher is recorded here"


def facing_lock(points: PointsFacts) -> Answer:
    """Whether a lock stretcher is recorded where trains run over the points facing."""
    return Answer("facing point lock", *_facing_lock(points), PRACTICE)


def _facing_lock(points: PointsFacts) -> Said:
    locks = [place for place in points.places if place.role is Role.LOCK]
    if any(place.stretcher for place in locks):
        return suits("A lock stretcher is recorded here.")
    if points.use is Use.TRAILING:
        return suits("Recorded as trailing only: no lock stretcher is asked for.")
    if points.use not in FACING:
        return cannot_say(
            f"{NONE_RECORDED}, and whether trains run over these points facing is not known",
            "which way trains run over the points",
        )
    if locks:
        return cannot_say(
            "used facing, and nothing is recorded at the place of the lock stretcher",
            "what is fitted at the place of the lock stretcher",
        )
    if not points.places:
        return cannot_say(
            "used facing, and no places for stretchers are recorded",
            "which stretchers the points have, the lock stretcher among them",
        )
    if points.layout in (Layout.TRAP, Layout.CATCH):
        return cannot_say(
            f"{NONE_RECORDED}; whether {points.layout.label} need one is for the railway's rules",
            "what locks the points, if anything does",
        )
    return _by_the_drive(points)


def _by_the_drive(points: PointsFacts) -> Said:
    """A motor machine may hold the lock; a lever and rodding from a frame do not."""
    kinds = {place.machine.kind for place in points.places if place.machine is not None}
    if MachineKind.MOTOR in kinds:
        return cannot_say(
            f"used facing, and {NONE_RECORDED}; the machine may have the lock inside it",
            "whether the machine locks the switch rails itself",
        )
    if not kinds or kinds - MECHANICAL:
        return cannot_say(
            f"used facing, and {NONE_RECORDED}; what drives these points is not known, and may "
            "have the lock inside it",
            "what drives the points, and what locks them",
        )
    return after_work(
        f"Used facing, and {NONE_RECORDED}.",
        "find out how the points are locked or secured for trains running over them facing, and "
        "record it",
    )
