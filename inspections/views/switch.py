"""The page of the open switch: its clearance between the rods, trying a change, setting it up."""

from django.core.exceptions import ValidationError
from django.shortcuts import render

from assets.engineering.cannot_say import CannotSay
from assets.engineering.figures import FigureRefused, figure
from assets.models import Points
from assets.views.lookup import points_or_404
from inspections.pictures.clearance import curve

MOST_CHANGE_MM = 60


def switch(request, code: str, number: str):
    from assets.engineering.report import report, what_if  # numpy waits until it is needed
    from inspections.latest.open_switch import read_points

    read = read_points(points_or_404(code, number, Points.objects.with_places()))
    rods = sorted(read.facts.rods, key=lambda rod: rod.order)
    changes, errors = _changes(request.GET, rods)
    as_read = report(read.facts)
    tried = None
    if changes and not errors:
        try:
            tried = what_if(read.facts, changes)
        except CannotSay as lacking:
            errors[""] = str(lacking)
    shown = tried or as_read
    places = [(rod.order, rod.distance_mm) for rod in rods if rod.distance_mm is not None]
    limit = read.facts.limits.fwc_least_mm
    drawings = [
        curve(now, limit, places, before if tried else None)
        for now, before in zip(shown.lies, as_read.lies, strict=True)
    ]
    return render(
        request,
        "inspections/switch.html",
        {
            "read": read,
            "points": read.points,
            "as_read": as_read,
            "report": shown,
            "tried": tried,
            "lies": list(zip(shown.lies, drawings, strict=True)),
            "rows": _rows(request.GET, rods, as_read, errors),
            "errors": errors,
            "limit": limit,
            "section": "points",
        },
    )


def _changes(given, rods) -> tuple[dict[int, float], dict]:
    """Changes of length by rod (mm), from millimetres or turns, and what is wrong with them."""
    changes, errors = {}, {}
    for rod in rods:
        try:
            change = _figure(given.get(f"mm_{rod.order}", ""), "mm")
            turns = _figure(given.get(f"turns_{rod.order}", ""), "turns")
            if turns:
                if rod.thread_pitch_mm is None:
                    raise ValidationError("The length for one turn is not known: give millimetres.")
                change += turns * rod.thread_pitch_mm
            if abs(change) > MOST_CHANGE_MM:
                raise ValidationError(f"No more than {MOST_CHANGE_MM} mm either way.")
        except ValidationError as problem:
            errors[rod.order] = " ".join(problem.messages)
            continue
        if change:
            changes[rod.order] = change
    return changes, errors


def _figure(text: str, unit: str) -> float:
    """A figure with its sign; a blank is 0."""
    try:
        return figure(text, unit) if text.strip() else 0.0
    except FigureRefused as problem:
        raise ValidationError(str(problem)) from problem


def _rows(given, rods, as_read, errors) -> list[dict]:
    """A row for each rod: what it holds on each lie, and the boxes to try a change."""
    reports = {rod.order: rod for rod in as_read.rods}
    return [
        {
            "rod": rod,
            "report": reports.get(rod.order),
            "mm": given.get(f"mm_{rod.order}", ""),
            "turns": given.get(f"turns_{rod.order}", ""),
            "error": errors.get(rod.order),
        }
        for rod in rods
    ]


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
