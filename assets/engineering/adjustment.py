"""How far one rod can be altered, in which steps, and how that is told.

Lengths in mm; a change is positive where the rod is lengthened.
"""

from dataclasses import dataclass
from math import ceil, floor, inf

from assets.engineering.switch_inputs import Rod

from .cannot_say import known
from .nuts import Turning, flat_mm, turning
from .words import Adjustability

SHIM_STEP_MM = 1.0  # common practice, no source
_RULE_MM = 0.1  # how finely a rod of unknown thread is set


@dataclass(frozen=True, slots=True)
class Move:
    """One rod to be altered."""

    order: int
    name: str
    change_mm: float  # positive: lengthen
    turning: Turning | None  # of the nut; None for a fixed rod or a thread not known
    fixed: bool = False

    @property
    def text(self) -> str:
        verb = "lengthen" if self.change_mm > 0 else "shorten"
        told = f"{verb} the {self.name} by {abs(self.change_mm):.1f} mm"
        if self.turning is not None:
            about = "" if self.turning.exact else "about "
            return f"{told}: {about}{self.turning} of the nut"
        if self.fixed:
            do = "add" if self.change_mm > 0 else "take out"
            return f"{told}: {do} {abs(self.change_mm):g} mm of shims"
        return f"{told}: its thread pitch is not known, measure the length for one turn"


def step_mm(rod: Rod) -> float:
    """The least change (mm) that can be made to this rod: one flat, one shim, or by rule."""
    if rod.adjustability == Adjustability.FIXED:
        return SHIM_STEP_MM
    if rod.thread_pitch_mm is not None:
        return flat_mm(
            known(rod.thread_pitch_mm, f"the thread pitch of the {rod.name}", above=True)
        )
    return _RULE_MM


def bounds(rod: Rod, separation_mm: float | None, shim_most_mm: float) -> tuple[float, float]:
    """The least and most change (mm) that this rod can take; infinite where nothing says.

    A fixed rod gives back what shims it has and takes no more than ``shim_most_mm`` at each shoe.
    A rod not known to be either, or a fixed one whose shims are not known, is not altered.
    """
    if rod.adjustability == Adjustability.FIXED and rod.shims_mm is not None:
        return -rod.shims_mm, max(2 * shim_most_mm - rod.shims_mm, 0.0)
    if rod.adjustability != Adjustability.ADJUSTABLE:
        return 0.0, 0.0
    low = high = None
    if separation_mm is not None:
        low = None if rod.length_min_mm is None else rod.length_min_mm - separation_mm
        high = None if rod.length_max_mm is None else rod.length_max_mm - separation_mm
    return min(0.0, -inf if low is None else low), max(0.0, inf if high is None else high)


def whole_steps(ends: tuple[float, float], step: float) -> tuple[float, float]:
    """The bounds drawn in to whole steps, so that rounding never leaves them."""
    low, high = ends
    return (
        low if low == -inf else ceil(low / step - 1e-9) * step,
        high if high == inf else floor(high / step + 1e-9) * step,
    )


def move(rod: Rod, change_mm: float) -> Move:
    """How this rod is altered by so much (mm, positive: longer): by its nut or by shims."""
    fixed = rod.adjustability == Adjustability.FIXED
    turned = None
    if not fixed and rod.thread_pitch_mm is not None:
        turned = turning(change_mm, rod.thread_pitch_mm)
    return Move(rod.order, rod.name, change_mm, turned, fixed)


def end_of(rod: Rod, way: str) -> str:
    """Why this rod goes no further: ``way`` is lengthened or shortened."""
    if rod.adjustability == Adjustability.UNKNOWN:
        return f"the {rod.name}, which is not known to be adjustable"
    if rod.adjustability == Adjustability.FIXED and rod.shims_mm is None:
        return f"the {rod.name}, whose shims are not known"
    return f"the {rod.name}, which cannot be {way} any further"
