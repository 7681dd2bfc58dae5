"""How much lost motion a drive needs, and how much it can bear.

The lock must clear before the switch starts, and what is left of the stroke must still
open the switch fully. Lengths in mm; movements of the machine are its own, movements of
the drive rod are those times the lever ratio.
"""

from dataclasses import dataclass

from .cannot_say import CannotSay, known
from .facts import Interval


@dataclass(frozen=True, slots=True)
class Drive:
    """What moves the drive rod. ``lever_ratio`` is 1 where the rod is driven directly."""

    stroke_mm: float
    unlocking_mm: float  # movement of the machine before the lock is clear
    internal_mm: float  # lost motion inside the machine
    lever_ratio: float = 1.0  # a ratio: movement at the drive rod per movement of the machine

    def __post_init__(self) -> None:
        known(self.stroke_mm, "the stroke of the machine", above=True)
        known(self.unlocking_mm, "the unlocking stroke of the machine")
        known(self.internal_mm, "the lost motion inside the machine")
        known(self.lever_ratio, "the lever ratio of the drive", above=True)

    def movement_mm(self, fitting_mm: float) -> float:
        """Movement given to the switch with this much lost motion in the fitting."""
        return self.lever_ratio * (self.stroke_mm - self.internal_mm) - fitting_mm


@dataclass(frozen=True, slots=True)
class Window:
    """The lost motion that the external fitting may have.

    ``least_mm`` lets the lock clear, ``most_mm`` still opens the switch fully. Where least
    is above most no fitting will do. A most below 0 means that the stroke is too short.
    """

    least_mm: float
    most_mm: float

    @property
    def open(self) -> bool:
        return self.least_mm <= self.most_mm


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a fitting stands in the window. A margin below 0 is what is lacking, in mm."""

    window: Window
    unlocking_margin_mm: float  # spare at the fitting's least lost motion: the lock is clear
    opening_margin_mm: float  # spare at its most lost motion: the switch opens fully

    @property
    def in_window(self) -> bool:
        return self.unlocking_margin_mm >= 0 and self.opening_margin_mm >= 0


def window(drive: Drive, movement_mm: float) -> Window:
    """The window for the fitting, from the movement (mm) needed of the switch at the drive.

    Need: internal + fitting >= unlocking stroke, and stroke - (internal + fitting) >= movement
    (for a direct drive; with levers both scale with the lever ratio).

    >>> window(Drive(stroke_mm=200, unlocking_mm=50, internal_mm=20), movement_mm=108)
    Window(least_mm=30.0, most_mm=72.0)
    """
    needed = known(movement_mm, "the movement needed at the drive position")
    least = max(0.0, drive.lever_ratio * (drive.unlocking_mm - drive.internal_mm))
    return Window(least, drive.movement_mm(0.0) - needed)


def standing(drive: Drive, movement_mm: float, fitting: Interval | None) -> Standing:
    """Where a fitting with this range of lost motion stands; None means that there is none.

    Raises CannotSay where the fitting's lost motion was not measured.
    """
    least, most = (0.0, 0.0) if fitting is None else _ends(fitting)
    allowed = window(drive, movement_mm)
    spare = least - drive.lever_ratio * (drive.unlocking_mm - drive.internal_mm)
    return Standing(allowed, spare, allowed.most_mm - most)


def _ends(fitting: Interval) -> tuple[float, float]:
    if fitting.least is None and fitting.most is None:
        raise CannotSay("measure the lost motion of the fitting")
    least = fitting.most if fitting.least is None else fitting.least
    most = fitting.least if fitting.most is None else fitting.most
    return known(least, "the lost motion of the fitting"), known(most, "its most lost motion")
