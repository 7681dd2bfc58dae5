"""What both lies of one set of points have in common, as far as it is known."""

from dataclasses import dataclass

from .cannot_say import CannotSay
from .readings import rods_in_place
from .shape import Shape
from .switch_inputs import Rod, SwitchFacts
from .words import Heel, Role


@dataclass(frozen=True)
class Frame:
    """Shape, heel and the rods in place, from the toe."""

    shape: Shape
    held: bool
    rods: tuple[Rod, ...]

    @property
    def homes_mm(self) -> tuple[float, ...]:
        """Where the closed switch rail is held: at the lock and at each driven rod."""
        return tuple(rod.x_mm for rod in self.rods if rod.role == Role.LOCK or rod.driven)


def frame_of(points: SwitchFacts) -> Frame:
    """The frame of these points; CannotSay names the first fact it lacks, or why there is none."""
    if points.four_rails:
        raise CannotSay("cannot say: stretchers that carry four rails are not calculated")
    if points.shape is None:
        raise CannotSay(
            points.shape_missing
            or "the shape of the switch is not known: find its design, or measure the offset of "
            "the closed switch rail at several distances from toe to heel"
        )
    if points.heel == Heel.UNKNOWN:
        raise CannotSay("check whether the heel of the switch rail is held or pivoted")
    rods = rods_in_place(points.rods, points.shape.heel_mm)
    return Frame(points.shape, points.heel == Heel.HELD, rods)
