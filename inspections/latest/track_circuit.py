"""What visits found that joins the rails: metal touching, and insulations that failed their test.

It goes into the facts of the points (assets.register_facts). Only what was found of the rod that is
there now counts.
"""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import Exists, OuterRef, Q, QuerySet

from assets.engineering.circuit_faults import (
    CircuitFound,
    Contact,
    FailedInsulation,
    InsulatedPart,
)
from assets.engineering.words import InsulationSide, Side
from assets.models import Points, Stretcher
from inspections.catalogue.spots import from_the_toe, looks_from_the_toe
from inspections.models import Examination, Reading
from inspections.words import ItemCode, Look, QuantityCode, Verdict


def circuit_findings(all_points: list[Points]) -> dict[int, CircuitFound]:
    """What counts at each of these points (read ``with_places()``); two queries, however many."""
    looks, readings = defaultdict(list), defaultdict(list)
    for look in _touching(all_points):
        looks[look.inspection.points_id].append(look)
    for reading in _low(all_points):
        readings[reading.inspection.points_id].append(reading)
    return {
        points.pk: circuit_found(points, looks[points.pk], readings[points.pk])
        for points in all_points
    }


def circuit_found(
    points: Points, looks: Iterable[Examination], readings: Iterable[Reading]
) -> CircuitFound:
    """What counts of the last looks and readings of points read ``with_places()``; no query."""
    rods = {
        (position.pk, fitting.stretcher_id): (position, fitting.stretcher)
        for position in points.positions.all()
        for fitting in position.current_fittings
        if fitting.stretcher_id
    }
    contacts, failed = [], []
    for look in sorted(looks, key=looks_from_the_toe):
        position, rod = rods.get((look.position_id, look.stretcher_id), (None, None))
        if rod and look.item == ItemCode.METAL_TOUCHING and look.found == Look.DEFECTIVE:
            contacts += [Contact(position.order, side) for side in _insulated_sides(rod)]
    for reading in sorted(readings, key=from_the_toe):
        position, rod = rods.get((reading.position_id, reading.stretcher_id), (None, None))
        resistance = reading.quantity == QuantityCode.INSULATION_RESISTANCE
        if rod and resistance and Verdict(reading.verdict).is_out:
            failed.append(FailedInsulation(position.order, _part(rod, reading)))
    return CircuitFound(tuple(contacts), tuple(dict.fromkeys(failed)))


def _touching(all_points: list[Points]) -> QuerySet[Examination]:
    """Rods last seen with metal touching a rail.

    The look does not say which rail is touched. Where the rod is bare already nothing is joined by
    it, so the insulated side is meant; of a rod whose side is not known, either.
    """
    return (
        Examination.objects.standing()
        .out()
        .filter(item=ItemCode.METAL_TOUCHING.value, inspection__points__in=all_points)
        .exclude(
            _superseded(Examination.objects.standing().exclude(found=Look.NOT_SEEN.value), "item")
        )
        .select_related("inspection", "position")
    )


def _low(all_points: list[Points]) -> QuerySet[Reading]:
    """Insulations whose last resistance was out of limits."""
    taken = Reading.objects.standing().filter(value__isnull=False)
    return (
        Reading.objects.standing()
        .out()
        .filter(
            quantity=QuantityCode.INSULATION_RESISTANCE.value, inspection__points__in=all_points
        )
        .exclude(_superseded(taken, "quantity", "side"))
        .select_related("inspection", "position")
    )


def _superseded(entries, *same: str) -> Exists:
    """Whether the same place was seen again later; only the few that are wrong are asked."""
    again = entries.filter(position=OuterRef("position"), **{name: OuterRef(name) for name in same})
    return Exists(
        again.filter(
            Q(inspection__at__gt=OuterRef("inspection__at"))
            | Q(inspection__at=OuterRef("inspection__at"), pk__gt=OuterRef("pk"))
        )
    )


def _insulated_sides(rod: Stretcher) -> tuple[Side, ...]:
    side = rod.insulation_side
    if side in (Side.LEFT, Side.RIGHT):
        return (Side(side),)
    return () if side == InsulationSide.NONE else (Side.LEFT, Side.RIGHT)


def _part(rod: Stretcher, reading: Reading) -> InsulatedPart:
    if rod.insulation_side == InsulationSide.BOTH and reading.side:
        return InsulatedPart(reading.side)
    return InsulatedPart.ROD
