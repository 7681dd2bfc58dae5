"""The setting-up sheet: the order in which to set the rods, and to what."""

from django.shortcuts import render

from assets.engineering.cannot_say import CannotSay
from assets.models import Points
from assets.views.lookup import points_or_404


def setting_up(request, code: str, number: str):
    """The order in which to set the rods, and to what; made to be printed."""
    from assets.engineering.report import setting_up_sheet  # numpy waits until it is needed
    from inspections.latest.open_switch import read_points

    read = read_points(points_or_404(code, number, Points.objects.with_places()))
    sheet, lacking = None, ""
    try:
        sheet = setting_up_sheet(read.facts)
    except CannotSay as problem:
        lacking = str(problem)
    return render(
        request,
        "inspections/setting_up.html",
        {
            "read": read,
            "points": read.points,
            "sheet": sheet,
            "lacking": lacking,
            "limits": read.facts.limits,
            "section": "points",
        },
    )
