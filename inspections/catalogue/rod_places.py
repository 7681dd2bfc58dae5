"""The places of a set of points with the rod that was at each on a day."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from assets.engineering.words import Adjustability, InsulationSide
from assets.models import Fitting, Points, Position, Stretcher

if TYPE_CHECKING:
    from assets.engineering.shape import Shape


@dataclass(frozen=True)
class RodPlace:
    """A stretcher's place on one set of points, and the rod recorded there (None: none is).

    ``gap_mm`` is the gap expected there between the stock rail and the back of the closed switch
    rail: 0 over the planing; None where the shape of the switch or the place is not known.
    """

    points: Points
    position: Position
    rod: Stretcher | None = None
    gap_mm: float | None = None

    @property
    def name(self) -> str:
        return self.position.name

    @property
    def is_lock(self) -> bool:
        return self.position.order == 0


def rod_places_of(points: Points, on: date) -> list[RodPlace]:
    """Every place of the points from the toe, with the rod there on that day.

    Two queries, and up to three for the shape of the switch where it has not been read.
    """
    from assets.switch_facts import shape_of  # numpy waits until it is needed

    fitted = Fitting.objects.on(on).filter(position__points=points, stretcher__isnull=False)
    rods = {
        fitting.position_id: fitting.stretcher for fitting in fitted.select_related("stretcher")
    }
    shape = shape_of(points).shape
    return [
        RodPlace(points, position, rods.get(position.pk), gap_at(position, shape))
        for position in Position.objects.filter(points=points).order_by("order", "pk")
    ]


def gap_at(position: Position, shape: "Shape | None") -> float | None:
    """The gap (mm) expected behind the closed switch rail there; None where it is not known."""
    x_mm = position.distance_mm
    if shape is None or x_mm is None or x_mm > shape.heel_mm:
        return None
    from assets.engineering.shape import expected_gap  # numpy waits until it is needed

    return expected_gap(shape, x_mm)


def may_be(value: str, *words: str) -> bool:
    return value in words or value == "unknown"


def may_be_insulated(rod) -> bool:
    """Insulated, or not known not to be."""
    return rod.insulation_side != InsulationSide.NONE


def may_be_fixed_by(rod, fixings: str) -> bool:
    """Whether either of its ends has such fixings, or may have."""
    return may_be(rod.left_fixings, fixings) or may_be(rod.right_fixings, fixings)


def may_be_adjustable(rod) -> bool:
    return may_be(rod.adjustability, Adjustability.ADJUSTABLE)
