"""What a set of points of the demo would show when measured: worked out, not made up.

The blade lies as the lock stretcher and the rods hold it, so the readings of one visit agree with
one another as real ones do. What the eye and the rule add is a little, and the same every time.
"""

from dataclasses import dataclass
from zlib import crc32

from assets.engineering.blade import Blade
from assets.engineering.shape import gap_behind
from assets.engineering.words import Heel
from assets.models import Points
from assets.switch_facts import shape_of
from inspections.catalogue.spots import Spot
from inspections.words import QuantityCode


def lies_at(points: Points, opening_mm: float, forced: dict[str, float]) -> dict[int, float]:
    """Displacement (mm) at each rod by its order, opened at the toe by the first rod alone.

    ``forced`` gives the displacement of rods that hold the blade elsewhere.
    """
    places = [(p.order, p.distance_mm) for p in points.positions.all()]
    free = _opened_at_toe(places[0][1], opening_mm, points)
    lies = {order: float(free.at(distance)) for order, distance in places}
    return lies | {int(order): mm for order, mm in forced.items()}


def _opened_at_toe(first_rod_mm: float, opening_mm: float, points: Points) -> Blade:
    heel, held = points.length_mm, points.heel_kind == Heel.HELD
    if not held:  # a loose heel held by one rod: a straight line
        at_heel = 1 - first_rod_mm / heel
        return Blade.through(
            [first_rod_mm, heel / 2], [opening_mm * at_heel, opening_mm / 2], heel, held
        )
    one = Blade.through([first_rod_mm], [1.0], heel, held)
    return Blade.through([first_rod_mm], [opening_mm / one.toe_mm], heel, held)


@dataclass
class Set:
    """A set of points as it stands at one round: see "set" in fixtures/demo/visits.json."""

    points: Points
    given: dict
    round_number: int

    def __post_init__(self) -> None:
        self.shape = shape_of(self.points).shape
        self.lies = lies_at(self.points, self.given["opening"], self.given.get("forced", {}))
        drift = self.given.get("drift")
        if drift:
            self.lies[drift["order"]] += drift["from"] + drift["each_round"] * self.round_number
        places = {p.order: p.distance_mm for p in self.points.positions.all()}
        self.blade = Blade.through(
            [places[order] for order in self.lies],
            list(self.lies.values()),
            self.points.length_mm,
            self.points.heel_kind == Heel.HELD,
        )

    def reads(self, spot: Spot, days_ago: int) -> float | None:
        """The reading that a person takes at this spot; None where none is taken."""
        code = spot.quantity.code
        eye = _Eye(f"{self.points.key}, {days_ago}, {spot.position}, {spot.side}, {spot.lie}")
        gauge_eye = _Eye(f"{self.points.key}, {days_ago}")  # what is off is so on both lies
        readers = {
            QuantityCode.SWITCH_OPENING: lambda: eye.near(self.blade.toe_mm, 0.5),
            QuantityCode.TRACK_GAUGE: lambda: gauge_eye.near(self.given["gauge"], 0.5),
            QuantityCode.FWC: lambda: eye.near(self._fwc(spot), 0.5),
            QuantityCode.FWP: lambda: eye.near(
                self.given["gauge"] - self.given["residual"] - self._fwc(spot), 0.5
            ),
            QuantityCode.RESIDUAL_OPENING: lambda: eye.near(self.given["residual"], 0.1, 2),
            QuantityCode.CLOSED_GAP: lambda: eye.near(
                spot.rod_place.gap_mm + self.given["residual"], 0.1, 2
            ),
            QuantityCode.KICKER_CLEARANCE: lambda: eye.near(4.5, 0.5),
            QuantityCode.LOCK_GO: lambda: 1,
            QuantityCode.LOCK_NO_GO: lambda: 0,
            QuantityCode.DETECT_GO: lambda: 1,
            QuantityCode.DETECT_NO_GO: lambda: 0,
            QuantityCode.LOCK_ENGAGEMENT: lambda: eye.near(26, 1),
            QuantityCode.LOCK_SLOT: lambda: eye.near(41, 0.5),
            QuantityCode.HOLDING_FORCE: lambda: None,  # no spring balance on this railway
            QuantityCode.INSULATION_RESISTANCE: lambda: eye.near(20e6, 1e6, 4),
            QuantityCode.TORQUE: lambda: eye.near(222, 1, 6),
            QuantityCode.LOST_MOTION: lambda: self._lost_motion(spot, eye),
        }
        return readers[code]()

    def _fwc(self, spot: Spot) -> float:
        gap = float(gap_behind(self.shape, spot.position.distance_mm))
        return gap + self.lies[spot.position.order]

    def _lost_motion(self, spot: Spot, eye: "_Eye") -> float | None:
        """The machine's own lost motion and the fitting's; None where they are not known."""
        parts = [f.machine or f.lost_motion_fitting for f in spot.position.fittings.current()]
        known = [
            getattr(part, "internal_lost_motion_mm", getattr(part, "lost_motion_min_mm", None))
            for part in parts
            if part is not None
        ]
        if not known or None in known:
            return None
        return max(0.0, eye.near(sum(known), 0.5))


class _Eye:
    """A person's reading of a rule: to its marks, now and then a mark off, ever the same."""

    def __init__(self, where: str):
        self.chance = crc32(where.encode()) / 2**32  # 0 to 1, by the place and the day alone

    def near(self, value: float, mark: float, marks_off: int = 1) -> float:
        off = round((self.chance - 0.5) * 2 * marks_off * 0.8)
        return round((round(value / mark) + off) * mark, 2)
