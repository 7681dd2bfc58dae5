"""Whether wheels pass behind the open switch without touching it.

Lengths in mm. At one place: passage = gauge - residual opening - clearance.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from .cannot_say import known

if TYPE_CHECKING:
    from .shape import Floats

Length = TypeVar("Length", float, "Floats")  # one place, or many at once


@dataclass(frozen=True, slots=True)
class Wheels:
    """The narrowest wheelset that the railway allows to run."""

    back_to_back_mm: float  # between the backs of the two flanges
    flange_mm: float  # thickness of one flange
    front_to_front_mm: float | None = None  # over both flanges; only for the note

    def __post_init__(self) -> None:
        known(self.back_to_back_mm, "the minimum back-to-back of the wheels", above=True)
        known(self.flange_mm, "the minimum flange thickness of the wheels", above=True)

    @property
    def reach_mm(self) -> float:
        """From the closed switch rail's running edge to the back of the far flange, at least."""
        return self.back_to_back_mm + self.flange_mm

    def margin_mm(self, passage_mm: Length) -> Length:
        """Spare mm between the flange back and the open switch; below 0 they touch."""
        return self.reach_mm - passage_mm

    @property
    def note(self) -> str:
        """How likely the worst wheelset is: what the least front-to-front leaves of it."""
        if self.front_to_front_mm is None:
            return ""
        both = self.back_to_back_mm + 2 * self.flange_mm
        if both >= self.front_to_front_mm:
            return ""
        other = self.front_to_front_mm - self.reach_mm
        return (
            f"A wheelset at the minimum back-to-back ({self.back_to_back_mm:g} mm) with both "
            f"flanges at their minimum ({self.flange_mm:g} mm) would measure {both:g} mm over the "
            f"flanges, under the minimum front-to-front of {self.front_to_front_mm:g} mm, so both "
            f"extremes cannot meet in one wheelset; with one flange at {self.flange_mm:g} mm the "
            f"other must be at least {other:g} mm."
        )


def passage_mm(gauge_mm: Length, residual_mm: Length, clearance_mm: Length) -> Length:
    """Free wheel passage (mm): closed running edge to the back of the open switch rail.

    >>> passage = passage_mm(gauge_mm=1435, residual_mm=0, clearance_mm=60)
    >>> passage, Wheels(back_to_back_mm=1360, flange_mm=24).margin_mm(passage)
    (1375, 9)
    """
    return gauge_mm - residual_mm - clearance_mm


def clearance_mm(gauge_mm: Length, residual_mm: Length, passage_mm: Length) -> Length:
    """Free wheel clearance (mm) from the passage, where that was read instead."""
    return gauge_mm - residual_mm - passage_mm
