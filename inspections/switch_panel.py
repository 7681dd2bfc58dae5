"""The open switch on the points page, and what it asks of each place.

numpy and scipy take a moment to load, so they wait until a page needs them: the home page does not.
"""

from assets.engineering.facts import PlaceNeeds
from assets.panels import Panel
from inspections.pictures.clearance import curve


def points_panel(points, request) -> Panel:
    """Free wheel clearance along the switch on each lie, from the latest telling visit."""
    from assets.engineering.report import report
    from inspections.latest.open_switch import read_points

    read = read_points(points)
    result = report(read.facts)
    rods = [(rod.order, rod.distance_mm) for rod in read.facts.rods if rod.distance_mm is not None]
    limit = read.facts.limits.fwc_least_mm
    lies = [(lie, curve(lie, limit, rods)) for lie in result.lies]
    return Panel(
        heading="The open switch between the stretchers",
        template="inspections/_switch_panel.html",
        context={"points": points, "read": read, "report": result, "lies": lies},
        anchor="switch",
    )


def place_needs(all_points: list) -> dict[int, PlaceNeeds]:
    """Separation and movement that the setting-up sheet asks of each position."""
    from inspections.latest import open_switch

    return open_switch.place_needs(all_points)
