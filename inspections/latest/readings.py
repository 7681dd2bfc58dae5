"""What was last measured and seen at each place of a set of points, and its visits."""

from django.db.models import BooleanField, Case, Count, Q, When

from assets.models import Points
from inspections.catalogue.quantities import LIES
from inspections.catalogue.spots import place_key_of
from inspections.models import Examination, Inspection, Reading
from inspections.words import QuantityCode

LastReadings = dict[tuple, Reading]
LastLooks = dict[tuple, Examination]

TELLING = (QuantityCode.FWC.value, QuantityCode.SWITCH_OPENING.value)
TOGETHER = 2  # telling readings on one lie: the opening or the first rod, and the last rod


def last_readings(points: Points) -> LastReadings:
    """The last value of each quantity at each place, by ``place_key_of``; one query."""
    latest = Reading.objects.filter(inspection__points=points).latest()
    rows = latest.select_related("inspection", "limit", "position", "stretcher", "instrument")
    return {place_key_of(reading): reading for reading in rows}


def last_examinations(points: Points) -> LastLooks:
    """What each thing was last found to be, by item and position; one query."""
    latest = Examination.objects.filter(inspection__points=points).latest()
    rows = latest.select_related("inspection", "position", "stretcher")
    return {(look.item, look.position_id): look for look in rows}


def visits_of(points: Points) -> list[Inspection]:
    """The visits, the latest first, each with how many ``telling`` readings it has, of clearance
    or opening, and whether those of one lie hang ``together``; one query."""
    read = Q(
        readings__quantity__in=TELLING,
        readings__value__isnull=False,
        readings__correction__isnull=True,
    )
    by_lie = {
        f"read_{lie.value}": Count("readings", filter=read & Q(readings__lie=lie.value))
        for lie in LIES
    }
    enough = Q()
    for name in by_lie:
        enough |= Q(**{f"{name}__gte": TOGETHER})
    visits = (
        Inspection.objects.filter(points=points)
        .annotate(telling=Count("readings", filter=read), **by_lie)
        .annotate(
            together=Case(When(enough, then=True), default=False, output_field=BooleanField())
        )
        .latest_first()
    )
    return list(visits)
