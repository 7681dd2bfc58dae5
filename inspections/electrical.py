"""What visits found that joins the rails: metal touching, and insulations that failed their test.

Given to ``assets.engineering.continuity``. Only what was found of the rod that is there now counts.
"""

from datetime import date

from assets.engineering.continuity import Contact, FailedInsulation, InsulatedPart
from assets.engineering.words import InsulationSide, Side
from assets.models import Points
from inspections.models import Examination, Reading
from inspections.sites import Site, sites_of
from inspections.words import ItemCode, QuantityCode


def contacts(points: Points, on: date) -> tuple[Contact, ...]:
    """Rods last seen with metal touching a rail, on the side that is insulated; three queries.

    The look does not say which rail is touched. Where the rod is bare already nothing is joined by
    it, so the insulated side is meant; of a rod whose side is not known, either.
    """
    touching = (
        Examination.objects.filter(inspection__points=points, item=ItemCode.METAL_TOUCHING.value)
        .latest()
        .defective()
    )
    sites = _sites_now(points, on)
    return tuple(
        Contact(sites[look.position_id].position.order, side)
        for look in touching.order_by("position__order", "pk")
        if _is_of_the_rod_there(look, sites)
        for side in _insulated_sides(sites[look.position_id])
    )


def failed_insulations(points: Points, on: date) -> tuple[FailedInsulation, ...]:
    """Insulations whose last resistance was out of limits, each once; three queries."""
    low = (
        Reading.objects.filter(
            inspection__points=points, quantity=QuantityCode.INSULATION_RESISTANCE.value
        )
        .latest()
        .out()
    )
    sites = _sites_now(points, on)
    found = [
        FailedInsulation(
            sites[reading.position_id].position.order, _part(sites[reading.position_id], reading)
        )
        for reading in low.order_by("position__order", "side", "pk")
        if _is_of_the_rod_there(reading, sites)
    ]
    return tuple(dict.fromkeys(found))


def _sites_now(points: Points, on: date) -> dict[int, Site]:
    return {site.position.pk: site for site in sites_of(points, on)}


def _is_of_the_rod_there(entry: Reading | Examination, sites: dict[int, Site]) -> bool:
    site = sites.get(entry.position_id)
    return site is not None and site.rod is not None and site.rod.pk == entry.stretcher_id


def _insulated_sides(site: Site) -> tuple[Side, ...]:
    side = site.rod.insulation_side
    if side in (Side.LEFT, Side.RIGHT):
        return (Side(side),)
    return () if side == InsulationSide.NONE else (Side.LEFT, Side.RIGHT)


def _part(site: Site, reading: Reading) -> InsulatedPart:
    if site.rod.insulation_side == InsulationSide.BOTH and reading.side:
        return InsulatedPart(reading.side)
    return InsulatedPart.ROD
