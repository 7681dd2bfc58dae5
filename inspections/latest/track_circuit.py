"""What visits found that joins the rails: metal touching, and insulations that failed their test.

It goes into the facts of the points (assets.register_facts). Only what was found of the rod that is
there now counts.
"""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q, QuerySet

from assets.engineering.circuit_faults import Contact, FailedInsulation, InsulatedPart
from assets.engineering.words import InsulationSide, Side
from assets.models import Points, Stretcher
from inspections.catalogue.quantities import from_the_toe, looks_from_the_toe
from inspections.latest.readings import last_examinations, last_readings
from inspections.models import Examination, Reading
from inspections.words import ItemCode, Look, QuantityCode, Verdict


@dataclass(frozen=True)
class Found:
    """What counts at one set of points now."""

    contacts: tuple[Contact, ...] = ()
    failed_insulations: tuple[FailedInsulation, ...] = ()


def circuit_findings(all_points: list[Points]) -> dict[int, Found]:
    """What was found, by points (read ``with_places()``); two queries, however many points.

    Points of which nothing was found are left out.
    """
    rods = {
        (position.pk, fitting.stretcher_id): (points, position, fitting.stretcher)
        for points in all_points
        for position in points.positions.all()
        for fitting in position.current_fittings
        if fitting.stretcher_id
    }
    touching, low = _last_of(*all_points) if len(all_points) == 1 else _last_of_many(all_points)
    contacts, failed = defaultdict(list), defaultdict(list)
    for look in touching:
        points, position, rod = rods.get((look.position_id, look.stretcher_id), (None, None, None))
        for side in _insulated_sides(rod) if rod else ():
            contacts[points.pk].append(Contact(position.order, side))
    for reading in low:
        points, position, rod = rods.get(
            (reading.position_id, reading.stretcher_id), (None, None, None)
        )
        if rod:
            failed[points.pk].append(FailedInsulation(position.order, _part(rod, reading)))
    return {
        pk: Found(tuple(contacts[pk]), tuple(dict.fromkeys(failed[pk])))
        for pk in contacts.keys() | failed.keys()
    }


def _last_of(points: Points) -> tuple[list[Examination], list[Reading]]:
    """As ``_last_of_many``, from what the page of one set of points has asked for anyway."""
    looks = last_examinations(points).values()
    readings = sorted(last_readings(points).values(), key=from_the_toe)
    return (
        [
            look
            for look in sorted(looks, key=looks_from_the_toe)
            if look.item == ItemCode.METAL_TOUCHING and look.found == Look.DEFECTIVE
        ],
        [
            reading
            for reading in readings
            if reading.quantity == QuantityCode.INSULATION_RESISTANCE
            and Verdict(reading.verdict).is_out
        ],
    )


def _last_of_many(all_points: list[Points]) -> tuple[QuerySet, QuerySet]:
    return _touching(all_points), _low(all_points)


def _touching(all_points: list[Points]) -> QuerySet[Examination]:
    """Rods last seen with metal touching a rail.

    The look does not say which rail is touched. Where the rod is bare already nothing is joined by
    it, so the insulated side is meant; of a rod whose side is not known, either.
    """
    return (
        Examination.objects.standing()
        .defective()
        .filter(item=ItemCode.METAL_TOUCHING.value, inspection__points__in=all_points)
        .exclude(
            _superseded(Examination.objects.standing().exclude(found=Look.NOT_SEEN.value), "item")
        )
        .order_by("position__order", "pk")
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
        .order_by("position__order", "side", "pk")
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
