"""How much lost motion a drive needs, and how much it can bear.

The lock must clear before the switch starts, what is left of the stroke must still open the
switch fully, and it must not be more than the rods can take. Lengths in mm; movements of the
machine are its own, movements of the drive rod are those times the lever ratio.
"""

from dataclasses import dataclass

from .cannot_say import CannotSay, known
from .facts import Interval


@dataclass(frozen=True, slots=True)
class Drive:
    """What moves the drive rod. ``lever_ratio`` is 1 where the rod is driven directly."""

    stroke_mm: float
    unlocking_mm: float  # movement of the machine before the lock is clear
    internal_mm: float  # lost motion inside the machine, before it moves the drive rod
    lever_ratio: float = 1.0  # a ratio: movement at the drive rod per movement of the machine
    end_mm: float = 0.0  # lost motion inside the machine after it has moved the drive rod

    def __post_init__(self) -> None:
        known(self.stroke_mm, "the stroke of the machine", above=True)
        known(self.unlocking_mm, "the unlocking stroke of the machine")
        known(self.internal_mm, "the lost motion inside the machine")
        known(self.end_mm, "the lost motion of the machine at the end of its stroke")
        known(self.lever_ratio, "the lever ratio of the drive", above=True)

    def movement_mm(self, fitting_mm: float) -> float:
        """Movement given to the switch with this much lost motion in the fitting."""
        return self.lever_ratio * (self.stroke_mm - self.internal_mm - self.end_mm) - fitting_mm


@dataclass(frozen=True, slots=True)
class Movement:
    """What the rods of the switch ask of the drive at its place (mm).

    The rods fix the opening, the drive must match it: what it moves beyond that presses the
    closed rail against its stock rail.
    """

    least_mm: float  # opens the switch as far as it must
    greatest_mm: float | None = None  # for the greatest permitted opening; None: not known
    best_mm: float | None = None  # for the nominal opening; None: not known

    def __post_init__(self) -> None:
        known(self.least_mm, "the movement needed at the drive position")

    @property
    def most_mm(self) -> float:
        """The most the drive may move, as far as is known: no more than the opening needs."""
        if self.greatest_mm is not None:
            return self.greatest_mm
        return self.least_mm if self.best_mm is None else self.best_mm


@dataclass(frozen=True, slots=True)
class Window:
    """The lost motion that the external fitting may have, in mm.

    ``least_mm`` lets the lock clear and keeps the throw from being too long, ``most_mm`` still
    opens the switch fully. Where least is above most no fitting will do. A most below 0 means
    that the stroke is too short.
    """

    least_mm: float
    most_mm: float
    lock_mm: float  # what the lock alone needs
    best_mm: float | None = None  # for the nominal opening; None: not known

    @property
    def open(self) -> bool:
        return self.least_mm <= self.most_mm


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a fitting stands in the window. A margin below 0 is what is lacking, in mm."""

    window: Window
    unlocking_margin_mm: float  # spare at the fitting's least lost motion: the lock is clear
    opening_margin_mm: float  # spare at its most lost motion: the switch opens fully
    throw_margin_mm: float  # spare at its least lost motion: the throw is not too long
    greatest_known: bool = True  # without it a throw margin below 0 says nothing

    @property
    def too_long(self) -> bool | None:
        """Whether the throw is too long; None: cannot say."""
        if self.throw_margin_mm >= 0:
            return False
        return True if self.greatest_known else None

    @property
    def in_window(self) -> bool:
        return (
            self.unlocking_margin_mm >= 0
            and self.opening_margin_mm >= 0
            and self.throw_margin_mm >= 0
        )


def window(drive: Drive, movement: Movement) -> Window:
    """The window for the fitting, from the movement that the rods ask of the drive.

    With D = ratio (stroke - internal - end) - fitting: internal + fitting >= unlocking stroke
    (both at the drive rod), and least <= D <= most.

    >>> window(Drive(stroke_mm=200, unlocking_mm=60, internal_mm=70), Movement(85, 100, 90))
    Window(least_mm=30.0, most_mm=45.0, lock_mm=0.0, best_mm=40.0)
    """
    lock = max(0.0, drive.lever_ratio * (drive.unlocking_mm - drive.internal_mm))
    without = drive.movement_mm(0.0)
    least, most = max(lock, without - movement.most_mm), without - movement.least_mm
    best = None if movement.best_mm is None else min(max(without - movement.best_mm, least), most)
    return Window(least, most, lock, best)


def standing(drive: Drive, movement: Movement, fitting: Interval | None) -> Standing:
    """Where a fitting with this range of lost motion stands; None means that there is none.

    Raises CannotSay where the fitting's lost motion was not measured.
    """
    least, most = (0.0, 0.0) if fitting is None else _ends(fitting)
    allowed = window(drive, movement)
    return Standing(
        allowed,
        least - drive.lever_ratio * (drive.unlocking_mm - drive.internal_mm),
        allowed.most_mm - most,
        movement.most_mm - drive.movement_mm(least),
        movement.greatest_mm is not None,
    )


def _ends(fitting: Interval) -> tuple[float, float]:
    if fitting.least is None and fitting.most is None:
        raise CannotSay("measure the lost motion of the fitting")
    least = fitting.most if fitting.least is None else fitting.least
    most = fitting.least if fitting.most is None else fitting.most
    ends = known(least, "the lost motion of the fitting"), known(most, "its most lost motion")
    return min(ends), max(ends)  # whichever way round they were written down
