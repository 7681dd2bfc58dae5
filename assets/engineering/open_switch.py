"""The open switch: free wheel clearance anywhere along it, and where it is least."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from .blade import Blade
from .cannot_say import CannotSay
from .shape import Floats, Shape, gap_behind

_STEPS = 160
_FINE_STEPS = 40


@dataclass(frozen=True)
class Least:
    """The least of something along the switch, and where it is."""

    mm: float
    at_mm: float  # from the toe


@dataclass(frozen=True)
class OpenSwitch:
    """A switch rail of known shape, opened to a known blade. Lengths in mm."""

    shape: Shape
    blade: Blade

    def __post_init__(self) -> None:
        if abs(self.shape.heel_mm - self.blade.heel_mm) > 1e-6:
            raise CannotSay(
                f"the shape ends at {self.shape.heel_mm:g} mm and the switch rail at "
                f"{self.blade.heel_mm:g} mm: measure from toe to heel"
            )

    def fwc(self, x_mm: ArrayLike) -> Floats:
        """Free wheel clearance (mm) at x: the closed gap behind the head, and the opening."""
        return gap_behind(self.shape, x_mm) + self.blade.at(x_mm)

    @cached_property
    def places_mm(self) -> Floats:
        """Places (mm from the toe) at which the curve is drawn and judged: evenly spaced ones,
        every rod, and the place where the head comes to its full width, where FWC has a corner.
        """
        corner = self.shape.where(self.shape.head_mm)
        corners = [*self.blade.positions_mm, *([] if corner is None else [corner])]
        even = np.linspace(0.0, self.shape.heel_mm, _STEPS + 1)
        return np.sort(np.concatenate((even, corners)))

    @cached_property
    def fwc_mm(self) -> Floats:
        """Free wheel clearance (mm) at each of ``places_mm``."""
        return self.fwc(self.places_mm)

    @property
    def opening_mm(self) -> float:
        """Gap at the toe (mm)."""
        return float(self.fwc(0.0))

    @cached_property
    def least_fwc(self) -> Least:
        """The least free wheel clearance, true to 0.001 mm, and its place."""
        return least_along(self.fwc, self.places_mm, self.fwc_mm)


def least_along(function: Callable[[Floats], Floats], places: Floats, values: Floats) -> Least:
    """The least of ``function`` near the least of its ``values`` at ``places`` (mm, sorted)."""
    lowest = int(np.argmin(values))
    left = places[max(lowest - 1, 0)]
    right = places[min(lowest + 1, len(places) - 1)]
    fine = np.append(np.linspace(left, right, _FINE_STEPS + 1), places[lowest])
    at = function(fine)
    best = int(np.argmin(at))
    return Least(float(at[best]), float(fine[best]))
