"""What visits find that joins the rails of a track circuit."""

from dataclasses import dataclass

from .words import Side, Vocabulary


class InsulatedPart(Vocabulary):
    """Which insulation of a rod is meant; *rod* is whatever insulates the rod from the rails."""

    ROD = "rod"
    LEFT = "left"
    RIGHT = "right"
    DRIVE = "drive", "drive rod"
    LOCK_ROD = "lock_rod"


class Touching(Vocabulary):
    """Metal that touches where it should not."""

    ROD = "rod", "stretcher touching the stock rail"
    KICKER = "kicker", "kicker touching the rail foot"


@dataclass(frozen=True, slots=True)
class FailedInsulation:
    """An insulation found or measured as no longer insulating."""

    order: int
    part: InsulatedPart = InsulatedPart.ROD


@dataclass(frozen=True, slots=True)
class Contact:
    """Metal found touching a rail at a place."""

    order: int
    side: Side  # left or right
    what: Touching = Touching.ROD


@dataclass(frozen=True, slots=True)
class CircuitFound:
    """What visits found at one set of points that counts now."""

    contacts: tuple[Contact, ...] = ()
    failed_insulations: tuple[FailedInsulation, ...] = ()
