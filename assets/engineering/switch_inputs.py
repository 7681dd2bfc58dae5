"""What the sums on one set of points start from: the points, their rods, limits and readings.

Lengths in mm. ``None`` means that nobody has looked; nothing is filled in for it.
"""

from dataclasses import dataclass

from assets.engineering.assumed import NOTHING_CONFIRMED, Assumed
from assets.engineering.cannot_say import known
from assets.engineering.facts import Interval, PlaceFacts
from assets.engineering.shape import Shape
from assets.engineering.wheels import Wheels
from assets.engineering.words import Adjustability, Heel, Lie, Role


@dataclass(frozen=True, slots=True)
class Rod:
    """A stretcher in its place, as far as setting it goes."""

    order: int  # 0 is the lock stretcher, then 1, 2 ... from the toe
    role: Role
    distance_mm: float | None = None  # from the toe
    adjustability: Adjustability = Adjustability.UNKNOWN
    thread_pitch_mm: float | None = None  # change of length for one turn of the nut
    shims_mm: float | None = None  # at both shoes together; how a fixed rod is set
    driven: bool | None = None
    gooseneck: bool | None = None  # bent to pass below: there to give; None: not known
    length_min_mm: float | None = None  # over the backs of the switch rails
    length_max_mm: float | None = None

    @property
    def name(self) -> str:
        return PlaceFacts(self.order, self.role).name

    @property
    def x_mm(self) -> float:
        """The distance from the toe; CannotSay where it is not known or cannot be."""
        return known(self.distance_mm, f"the distance of the {self.name} from the toe")


@dataclass(frozen=True, slots=True)
class SwitchLimits:
    """The railway's limits for these points; None where it has set none."""

    fwc_least_mm: float | None = None
    opening_min_mm: float | None = None
    opening_nominal_mm: float | None = None
    opening_max_mm: float | None = None
    residual_most_mm: float | None = None  # of the closed rail, over the planing


@dataclass(frozen=True, slots=True)
class Read:
    """One reading, at a rod (by its order) or at a distance from the toe."""

    mm: float
    order: int | None = None
    at_mm: float | None = None
    sigma_mm: float | None = None  # None: as the railway's figure for the quantity


@dataclass(frozen=True, slots=True)
class LieReadings:
    """What was read on one lie: FWC of the open switch rail, residual opening of the closed.

    ``gauge_of_either``: the gauge was read without saying on which lie, and serves both.
    """

    opening_mm: float | None = None  # at the toe
    opening_sigma_mm: float | None = None  # None: as the railway's figure for it
    fwc: tuple[Read, ...] = ()
    residual: tuple[Read, ...] = ()
    fwp: tuple[Read, ...] = ()
    gauge: tuple[Read, ...] = ()
    closed_gap: tuple[Read, ...] = ()  # between stock rail and back of the closed switch rail
    gauge_of_either: bool = False


@dataclass(frozen=True, slots=True)
class SwitchFacts:
    """One set of points with the readings of its two lies."""

    shape: Shape | None = None
    shape_missing: str = ""  # why there is no shape, where the caller knows it
    rods: tuple[Rod, ...] = ()
    heel: Heel = Heel.UNKNOWN
    stiffness_n_mm2: Interval | None = None  # E·Iyy; both ends, alike where it is published
    gauge_mm: float | None = None  # as recorded for the points, used where none was read
    limits: SwitchLimits = SwitchLimits()
    wheels: Wheels | None = None
    assumed: Assumed = NOTHING_CONFIRMED
    studs_mm: tuple[float, ...] | None = None  # behind the planing; None: nobody has looked
    four_rails: bool = False  # the rods carry four rails, as in slips
    left_closed: LieReadings = LieReadings()
    right_closed: LieReadings = LieReadings()

    def readings(self, lie: Lie) -> LieReadings:
        return self.left_closed if lie == Lie.LEFT_CLOSED else self.right_closed


LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)
