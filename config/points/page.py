"""One set of points as a whole: the page where everything known of it comes together."""

from django.shortcuts import render
from django.utils import timezone

from assets.changes import changes_of
from assets.models import Points, Position
from assets.views.lookup import points_or_404
from config.points.misfits import misfits_of
from config.points.pieces import against, defects, fitted, measured, open_switch, owed
from config.points.plan_page import plan_shown
from config.points.reader import known

FITTINGS_SHOWN = 40  # of what was ever fitted


def points_page(request, code: str, number: str):
    points = points_or_404(code, number, Points.objects.with_places())
    positions = list(points.positions.all())
    here = known(points, timezone.localdate())
    misfits = misfits_of(points, here.facts)
    of_rods = {misfit.position.pk: misfit for misfit in misfits if misfit.position}
    for position in positions:
        parts = {f.part_field: f for f in position.current_fittings}
        position.rod = parts.get("stretcher")
        position.machine = parts.get("machine")
        position.lost_motion = parts.get("lost_motion_fitting")
        position.misfit = of_rods.get(position.pk)
    whole = fitted.of_points(here)
    pieces = [measured.of_points(here), open_switch.of_points(here), defects.of_points(here)]
    pieces += [piece for piece in [against.of_points(here)] if piece is not None]
    owing = owed.of_points(here)
    changes = changes_of(Points, id=points.pk) + changes_of(Position, points_id=points.pk)
    return render(
        request,
        "points/page.html",
        {
            "points": points,
            "positions": positions,
            "marks": [
                *fitted.marks_of(misfits),
                *(mark for panel in [*filter(None, [owing]), *pieces] for mark in panel.marks),
            ],
            "panels": [*filter(None, [whole]), *pieces],
            "owing": owing,
            "story": here.story[:FITTINGS_SHOWN],
            "changes": sorted(changes, key=lambda change: change.at, reverse=True),
            "section": "points",
            **plan_shown(here, request.GET.get("lie")),
        },
    )
