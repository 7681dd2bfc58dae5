"""The two questions asked at the bench: what suits this place, and where could this rod go?

Both use the same rules (assets.engineering.suitability) on facts read in a few queries.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from .engineering.facts import PositionFacts
from .engineering.suitability import Assessment, assess
from .engineering.words import ServiceState
from .facts import all_points_facts, all_stretcher_facts
from .models import Points, Position, Stretcher


@dataclass(frozen=True)
class Offer:
    """A rod offered to a place, and what comes of it."""

    stretcher: Stretcher
    points: Points
    position: Position
    assessment: Assessment

    @property
    def occupied_by(self):
        """The rod that is there now, or None."""
        return next((f.stretcher for f in self.position.current_fittings if f.stretcher), None)


def spares_for(position: Position, spares: Iterable[Stretcher] | None = None) -> list[Offer]:
    """Every spare (or those given) offered to this position, best first; some six queries."""
    points = Points.objects.with_places().get(pk=position.points_id)
    place = next(p for p in points.positions.all() if p.pk == position.pk)
    [facts] = all_points_facts([points])
    where = PositionFacts(facts, place.order)
    rods = list(Stretcher.objects.spare().order_by("tag", "pk") if spares is None else spares)
    offers = [
        Offer(rod, points, place, assess(rod_facts, where))
        for rod, rod_facts in zip(rods, all_stretcher_facts(rods), strict=True)
    ]
    return sorted(offers, key=lambda offer: (offer.assessment.key, offer.stretcher.tag))


def places_for(stretcher: Stretcher, points: Iterable[Points] | None = None) -> list[Offer]:
    """Every position of points not lifted (or of those given) offered this rod, best first.

    The rod is thought away from wherever it is fitted now.
    """
    if points is None:
        points = Points.objects.exclude(service_state=ServiceState.LIFTED.value)
        points = points.with_places().in_walking_order()
    points = list(points)
    [rod] = all_stretcher_facts([stretcher])
    offers = []
    for one, facts in zip(points, all_points_facts(points), strict=True):
        without = replace(
            facts,
            places=tuple(
                replace(place, stretcher=None)
                if place.stretcher and place.stretcher.tag == stretcher.tag
                else place
                for place in facts.places
            ),
        )
        offers += [
            Offer(stretcher, one, position, assess(rod, PositionFacts(without, position.order)))
            for position in one.positions.all()
        ]
    places = {offer.position.pk: place for place, offer in enumerate(offers)}
    return sorted(offers, key=lambda o: (o.assessment.key, places[o.position.pk]))
