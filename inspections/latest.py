"""What was last measured and seen at each place of a set of points."""

from assets.models import Points
from assets.panels import once
from inspections.catalogue import place_key_of
from inspections.models import Examination, Reading

LastReadings = dict[tuple, Reading]


def last_readings(points: Points) -> LastReadings:
    """The last value of each quantity at each place, by ``place_key_of``; one query."""
    return once(points, "last readings", lambda: _last_readings(points))


def _last_readings(points: Points) -> LastReadings:
    latest = Reading.objects.filter(inspection__points=points).latest()
    rows = latest.select_related("inspection", "limit", "position", "stretcher", "instrument")
    return {place_key_of(reading): reading for reading in rows}


def last_examinations(points: Points) -> dict[tuple, Examination]:
    """What each thing was last found to be, by item and position; one query."""
    return once(points, "last examinations", lambda: _last_examinations(points))


def _last_examinations(points: Points) -> dict[tuple, Examination]:
    latest = Examination.objects.filter(inspection__points=points).latest()
    rows = latest.select_related("inspection", "position", "stretcher")
    return {(look.item, look.position_id): look for look in rows}
