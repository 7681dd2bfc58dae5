"""The open switch on the points page."""

from assets.engineering.report import report
from config.points.pieces.panel import Panel
from config.points.reader import Known
from config.points.switch_reader import why_outdated
from inspections.pictures.clearance import curve


def of_points(known: Known) -> Panel:
    """Free wheel clearance along the switch on each lie, from the latest telling visit."""
    read = known.switch
    result = report(read.facts)
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
            "changed_since": read.changed_since or why_outdated(read, known.owing.changes),
        },
        anchor="switch",
    )
