"""The whole drive: from the stroke of the machine to the opening at the toe."""

from collections.abc import Sequence
from dataclasses import dataclass

from .blade import Blade
from .cannot_say import CannotSay, known
from .lost_motion import Drive


@dataclass(frozen=True, slots=True)
class DrivenPlace:
    """A place where a drive takes hold of the switch."""

    distance_mm: float  # from the toe
    drive: Drive
    fitting_mm: float = 0.0  # lost motion in the external fitting

    @property
    def movement_mm(self) -> float:
        """Movement of the switch at this place; CannotSay where the drive has none to give."""
        movement = self.drive.movement_mm(known(self.fitting_mm, "the lost motion of the fitting"))
        if movement <= 0:
            raise CannotSay(
                f"the lost motion takes up the whole stroke of {self.drive.stroke_mm:g} mm: look "
                "the machine, its levers and the fitting"
            )
        return movement


@dataclass(frozen=True)
class Driven:
    """The switch as its drives leave it, every other rod going where the blade goes."""

    blade: Blade
    movements_mm: tuple[float, ...]  # at each driven place, from the toe

    @property
    def opening_mm(self) -> float:
        """Opening at the toe (mm)."""
        return self.blade.toe_mm


def driven(
    places: Sequence[DrivenPlace],
    heel_mm: float,
    held: bool = True,
    stiffness_n_mm2: float | None = None,
) -> Driven:
    """The blade that one or more drives give (a long switch has a supplementary drive)."""
    ordered = sorted(places, key=lambda place: place.distance_mm)
    movements = tuple(place.movement_mm for place in ordered)
    blade = Blade.through(
        [place.distance_mm for place in ordered], movements, heel_mm, held, stiffness_n_mm2
    )
    return Driven(blade, movements)
