"""The two questions asked at the bench: what suits this place, and where could this part go?

Both use the same rules (assets.engineering.suitability) on facts read in a few queries.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from .engineering.facts import PartFacts, PointsFacts, PositionFacts
from .engineering.suitability import (
    Assessment,
    assess,
    assess_lost_motion_fitting,
    assess_machine,
)
from .engineering.words import ServiceState
from .facts import all_part_facts, all_points_facts
from .models import Points, Position
from .models.fittings import PART_KINDS, link_field
from .models.parts import Part


@dataclass(frozen=True)
class Kind:
    """How parts of one kind are judged, and where a place's facts hold them."""

    judge: Callable[[PartFacts, PositionFacts], Assessment]
    held_in: str


KINDS = {
    "stretcher": Kind(assess, "stretcher"),
    "machine": Kind(assess_machine, "machine"),
    "lost_motion_fitting": Kind(assess_lost_motion_fitting, "lost_motion"),
}


@dataclass(frozen=True)
class Offer:
    """A part offered to a place, and what comes of it."""

    part: Part
    points: Points
    position: Position
    assessment: Assessment

    @property
    def occupied_by(self) -> Part | None:
        """The part of the same kind that is there now, or None."""
        kind = link_field(self.part)
        fittings = self.position.current_fittings
        return next((f.part for f in fittings if f.part_field == kind), None)


def spares_for(
    position: Position, spares: Iterable[Part] | None = None, kind: str = "stretcher"
) -> list[Offer]:
    """Every spare of a kind (or those given) offered to a position, best first.

    Takes some six queries. ``kind`` is "stretcher", "machine" or "lost_motion_fitting".
    """
    points = Points.objects.with_places().get(pk=position.points_id)
    place = next(p for p in points.positions.all() if p.pk == position.pk)
    [points_facts] = all_points_facts([points])
    if spares is None:
        spares = PART_KINDS[kind].objects.spare().order_by("tag", "pk")
    parts = list(spares)
    offers = [
        _offer(part, facts, points, points_facts, place)
        for part, facts in zip(parts, all_part_facts(parts), strict=True)
    ]
    return sorted(offers, key=lambda offer: (offer.assessment.key, offer.part.tag))


def places_for(part: Part, points: Iterable[Points] | None = None) -> list[Offer]:
    """Every position of points not lifted (or of those given) offered this part, best first."""
    if points is None:
        points = Points.objects.exclude(service_state=ServiceState.LIFTED.value)
        points = points.with_places().in_walking_order()
    points = list(points)
    [facts] = all_part_facts([part])
    offers = [
        _offer(part, facts, one, points_facts, position)
        for one, points_facts in zip(points, all_points_facts(points), strict=True)
        for position in one.positions.all()
    ]
    # Sorting is stable: places that come to the same stay in walking order.
    return sorted(offers, key=lambda offer: offer.assessment.key)


def _offer(
    part: Part, facts: PartFacts, points: Points, points_facts: PointsFacts, position: Position
) -> Offer:
    """The part is thought away from wherever it is fitted now."""
    kind = KINDS[link_field(part)]
    places = tuple(
        replace(place, **{kind.held_in: None})
        if (held := getattr(place, kind.held_in)) and held.tag == part.tag
        else place
        for place in points_facts.places
    )
    where = PositionFacts(replace(points_facts, places=places), position.order)
    return Offer(part, points, position, kind.judge(facts, where))
