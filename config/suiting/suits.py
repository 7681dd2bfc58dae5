"""The two questions asked at the bench: what suits this place, and where could this part go?

Both use the same rules (assets.engineering.suitability) on facts read in a few queries.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from assets.engineering.facts import PartFacts, PointsFacts, PositionFacts
from assets.engineering.suitability import (
    Assessment,
    Outcome,
    assess,
    assess_lost_motion_fitting,
    assess_machine,
    assess_table,
)
from assets.engineering.suitability.answers import BY_SEVERITY
from assets.engineering.words import ServiceState
from assets.kinds import BY_FIELD
from assets.models import Points, Position
from assets.models.fittings import link_field
from assets.models.parts import Part
from assets.models.places import PointsQuerySet
from config.points.reader import facts_of, part_facts_of

# How a part of each kind is judged at a place.
JUDGES: dict[str, Callable[[Any, PositionFacts], Assessment]] = {
    "stretcher": assess,
    "machine": assess_machine,
    "lost_motion_fitting": assess_lost_motion_fitting,
}


@dataclass(frozen=True)
class Offer:
    """A part offered to a place, and what comes of it; its answers are made when asked for."""

    part: Part
    points: Points
    position: Position
    facts: PartFacts
    where: PositionFacts  # with the part thought away from wherever it is fitted now
    key: tuple[int, int, int, int]  # as Assessment.key: sorts best first

    @property
    def outcome(self) -> Outcome:
        return BY_SEVERITY[self.key[0]]

    @cached_property
    def assessment(self) -> Assessment:
        return JUDGES[link_field(self.part)](self.facts, self.where)

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
    place = _with_places(position)
    points = place.points
    [points_facts] = facts_of([points])
    if spares is None:
        spares = BY_FIELD[kind].model.objects.spare().order_by("tag", "pk")
    parts = list(spares)
    pairs = [
        (part, facts, points, place, _where(part, points_facts, place.order))
        for part, facts in zip(parts, part_facts_of(parts), strict=True)
    ]
    return sorted(_offers(pairs), key=lambda offer: (offer.key, offer.part.tag))


def _with_places(position: Position) -> Position:
    """The position as one of points read ``with_places()``, which it may be already."""
    if hasattr(position, "current_fittings"):
        return position
    points = Points.objects.with_places().get(pk=position.points_id)
    return next(p for p in points.positions.all() if p.pk == position.pk)


def standing_points() -> PointsQuerySet:
    """All points that are not lifted, with their places, along the line."""
    points = Points.objects.exclude(service_state=ServiceState.LIFTED.value)
    return points.with_places().in_walking_order()


def places_for(part: Part, points: Iterable[Points] | None = None) -> list[Offer]:
    """Every position of points not lifted (or of those given) offered this part, best first."""
    points = list(standing_points() if points is None else points)
    [facts] = part_facts_of([part])
    pairs = [
        (part, facts, one, position, _where(part, points_facts, position.order))
        for one, points_facts in zip(points, facts_of(points), strict=True)
        for position in one.positions.all()
    ]
    # Sorting is stable: places that come to the same stay in walking order.
    return sorted(_offers(pairs), key=lambda offer: offer.key)


def _offers(pairs: list[tuple]) -> list[Offer]:
    """One part at many places, or many parts at one: rods by distinct facts, others one by one."""
    if not pairs:
        return []
    kind = link_field(pairs[0][0])
    if kind != "stretcher":
        keys = [JUDGES[kind](facts, where).key for _, facts, _, _, where in pairs]
    else:
        # Whichever of the two there is only one of makes the table one row or one column.
        rods = list(dict.fromkeys(facts for _, facts, _, _, _ in pairs))
        places = list(dict.fromkeys(where for *_, where in pairs))
        table = assess_table(rods, places)
        row, column = _numbers(rods), _numbers(places)
        keys = [table.key(row[facts], column[where]) for _, facts, _, _, where in pairs]
    return [
        Offer(part, points, position, facts, where, key)
        for (part, facts, points, position, where), key in zip(pairs, keys, strict=True)
    ]


def _numbers(things: list) -> dict:
    return {thing: number for number, thing in enumerate(things)}


def _where(part: Part, points: PointsFacts, order: int) -> PositionFacts:
    """The place, with the part thought away from wherever it is fitted now."""
    kind = link_field(part)
    held = [getattr(place, kind) for place in points.places]
    if not any(one and one.tag == part.tag for one in held):
        return PositionFacts(points, order)
    places = tuple(
        replace(place, **{kind: None}) if one and one.tag == part.tag else place
        for place, one in zip(points.places, held, strict=True)
    )
    return PositionFacts(replace(points, places=places), order)
