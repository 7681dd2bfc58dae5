"""The open switch on the points page, and what the arithmetic finds to measure there in a word."""

from collections.abc import Iterable
from datetime import date

from django.utils import timezone

from assets.engineering.report import report
from config.points import to_measure
from config.points.pieces.panel import Mark, Panel
from config.points.reader import Known
from config.points.switch_reader import why_outdated
from inspections.models import Outlook, ToMeasure
from inspections.pictures.clearance import curve

NOT_CALCULATED = Mark("switch not calculated yet", "cannot_say")


def of_points(known: Known) -> Panel:
    """Free wheel clearance along the switch on each lie, from the latest telling visit."""
    read = known.switch
    found = to_measure.of_points(known.points, timezone.localdate())
    outdated = read.changed_since or why_outdated(read, known.owing.changes)
    doubts = [*outdated, *(one.sentence for one in found if one.doubts)]
    result = report(read.facts, doubts)
    rods = [(rod.order, rod.distance_mm) for rod in read.facts.rods if rod.distance_mm is not None]
    limit = read.facts.limits.fwc_least_mm
    lies = [(lie, curve(lie, limit, rods)) for lie in result.lies]
    return Panel(
        heading="The open switch between the stretchers",
        template="points/_open_switch.html",
        context={
            "points": known.points,
            "read": read,
            "report": result,
            "lies": lies,
            "to_measure": found,
            "changed_since": outdated,
        },
        anchor="switch",
        marks=[_mark(found[0])] if found else [],
    )


def marks(rows: Iterable[Outlook], at: date) -> dict[int, list[Mark]]:
    """The gravest that is to be measured at each set of points; one query where nothing changed.

    What is not calculated yet says so.
    """
    rows = list(rows)
    behind = to_measure.kept_up(rows, at)
    found = {pk: [NOT_CALCULATED] for pk in behind}
    standing = ToMeasure.objects.standing(at).filter(points__in=[row.points_id for row in rows])
    for one in standing.filter(others__isnull=False):
        found[one.points_id] = [_mark(one)]
    return found


def _mark(first: ToMeasure) -> Mark:
    return Mark(f"to measure: {first.get_found_display()} {first.more}".strip(), "alert")
