"""What if other rods were fitted? Answers without saving anything."""

from django.shortcuts import render

from assets.engineering.as_fitted import as_fitted, differences, with_rods
from assets.models import Points
from assets.register_facts import all_points_facts
from assets.what_if import RodsForm

from .points import points_or_404


def what_if(request, code: str, number: str):
    from assets.plan.page import plan_context  # numpy waits until it is needed

    points = points_or_404(code, number, Points.objects.with_places())
    [facts] = all_points_facts([points])
    form = RodsForm(request.GET, points, facts)
    tried = with_rods(facts, form.rods()) if form.is_valid() else facts
    changed = tried != facts or tags(tried) != tags(facts)
    before, after = as_fitted(facts), as_fitted(tried)
    pairs = list(zip(before.places, after.places, strict=True))
    return render(
        request,
        "assets/what_if.html",
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
            **plan_context(
                points, request.GET.get("lie"), tried if changed else None, after.circuit
            ),
        },
    )


def tags(facts) -> list[str]:
    """Two rods alike in every fact are still two rods."""
    return [place.stretcher.tag if place.stretcher else "" for place in facts.places]


def tag(at) -> str:
    return at.place.stretcher.tag if at.place.stretcher else ""
