"""The page of the open switch: its clearance between the rods and how sure that is, what must be
turned, what the stretchers held over time, and trying a change.
"""

from dataclasses import dataclass

from django.core.exceptions import ValidationError
from django.shortcuts import render
from django.utils import timezone

from assets.engineering.cannot_say import CannotSay
from assets.engineering.figures import FigureRefused, figure
from assets.engineering.report import SwitchReport, report, what_if
from assets.engineering.separation import RodReport
from assets.engineering.switch_inputs import Rod
from assets.models import Points
from assets.views.lookup import points_or_404
from config.points.switch_reader import known_switch
from inspections.pictures.clearance import close_up, curve
from inspections.pictures.held import HeldPicture, held_picture
from inspections.upcoming.held import Held

MOST_CHANGE_MM = 60


def switch(request, code: str, number: str):
    points = points_or_404(code, number, Points.objects.with_places())
    known = known_switch(points, timezone.localdate())
    facts = known.read.facts
    rods = sorted(facts.rods, key=lambda rod: rod.order)
    changes, errors = _changes(request.GET, rods)
    may = "may" in request.GET
    as_read = report(facts, [*known.outdated, *known.doubts], ask_may=may)
    tried = None
    if changes and not errors:
        try:
            tried = what_if(facts, changes)
        except CannotSay as lacking:
            errors[""] = str(lacking)
    shown = tried or as_read
    places = [(rod.order, rod.distance_mm) for rod in rods if rod.distance_mm is not None]
    limit = facts.limits.fwc_least_mm
    lies = [
        (now, curve(now, limit, places, before if tried else None), close_up(now, limit, places))
        for now, before in zip(shown.lies, as_read.lies, strict=True)
    ]
    return render(
        request,
        "points/switch.html",
        {
            "read": known.read,
            "outdated": known.outdated,
            "steps": known.steps,
            "points": points,
            "as_read": as_read,
            "report": shown,
            "tried": tried,
            "asked_may": may,
            "lies": lies,
            "unseen": [one.unseen for one in as_read.answers.play if not one.shown],
            "rows": [_row(request.GET, rod, as_read, errors) for rod in rods],
            "pictures": _pictures(rods, known.held),
            "errors": errors,
            "section": "points",
        },
    )


@dataclass(frozen=True)
class Row:
    """A rod: what it holds on each lie, and the boxes to try a change."""

    rod: Rod
    report: RodReport | None
    mm: str
    turns: str
    error: str | None


def _row(given, rod: Rod, as_read: SwitchReport, errors: dict) -> Row:
    return Row(
        rod=rod,
        report=next((one for one in as_read.rods if one.order == rod.order), None),
        mm=given.get(f"mm_{rod.order}", ""),
        turns=given.get(f"turns_{rod.order}", ""),
        error=errors.get(rod.order),
    )


def _pictures(rods: list[Rod], held: Held) -> list[HeldPicture]:
    found = [held_picture(rod.name, rod.order, held) for rod in rods]
    return [picture for picture in found if picture is not None]


def _changes(given, rods: list[Rod]) -> tuple[dict[int, float], dict]:
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
