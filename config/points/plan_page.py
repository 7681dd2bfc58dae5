"""The plan of the points with readings and defects on it, and on a page of its own."""

from django.shortcuts import render
from django.utils import timezone

from assets.models import Points
from assets.plan.page import lie_from, plan_context
from assets.views.lookup import points_or_404
from config.points.misfits import misfits_of
from config.points.plan_notes import notes, of_misfits, opening
from config.points.reader import Known, known


def plan(request, code: str, number: str):
    points = points_or_404(code, number, Points.objects.with_places())
    context = {"points": points, "section": "points"}
    context |= plan_shown(known(points, timezone.localdate()), request.GET.get("lie"))
    return render(request, "points/plan.html", context)


def plan_shown(here: Known, lie_asked: str | None) -> dict:
    """The plan as last read on the lie asked for, for ``_plan.html``."""
    lie = lie_from(lie_asked, here.points)
    written = (*notes(here, lie), *of_misfits(misfits_of(here.points, here.facts)))
    drawn = {"opening": opening(here, lie), "notes": written}
    return plan_context(here.points, lie, here.facts, **drawn)
