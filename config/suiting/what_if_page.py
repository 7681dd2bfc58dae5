"""What if other rods were fitted? Answers without saving anything."""

from django.shortcuts import render
from django.utils import timezone

from assets.engineering.as_fitted import as_fitted, differences, with_rods
from assets.models import Points
from assets.plan.page import lie_from, plan_context
from assets.views.lookup import points_or_404
from config.points.plan_page import plan_shown
from config.points.reader import known
from config.suiting.what_if import RodsForm


def what_if(request, code: str, number: str):
    points = points_or_404(code, number, Points.objects.with_places())
    here = known(points, timezone.localdate())
    facts = here.facts
    form = RodsForm(request.GET, points, facts)
    tried = with_rods(facts, form.rods()) if form.is_valid() else facts
    changed = tried != facts or tags(tried) != tags(facts)
    before, after = as_fitted(facts), as_fitted(tried)
    pairs = list(zip(before.places, after.places, strict=True))
    if changed:  # readings were taken with the rods that are there, so none is drawn
        plan = plan_context(points, lie_from(request.GET.get("lie"), points), tried, after.circuit)
    else:
        plan = plan_shown(here, request.GET.get("lie"))
    return render(
        request,
        "suiting/what_if.html",
        {
            "points": points,
            "form": form,
            "changed": changed,
            "before": before,
            "after": after,
            "places": pairs,
            "drives": list(zip(before.lost_motion, after.lost_motion, strict=True)),
            "put_in": [now for was, now in pairs if now.assessment and tag(was) != tag(now)],
            "others": differences(before, after),
            "section": "points",
            **plan,
        },
    )


def tags(facts) -> list[str]:
    """Two rods alike in every fact are still two rods."""
    return [place.stretcher.tag if place.stretcher else "" for place in facts.places]


def tag(at) -> str:
    return at.place.stretcher.tag if at.place.stretcher else ""
