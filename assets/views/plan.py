"""The plan of the points on a page of its own."""

from django.shortcuts import render

from assets.models import Points

from .points import points_or_404


def plan(request, code: str, number: str):
    from assets.plan.page import plan_context  # numpy waits until it is needed

    points = points_or_404(code, number, Points.objects.with_places())
    points.seen = {}
    context = {"points": points, "section": "points"}
    context |= plan_context(points, request.GET.get("lie"))
    return render(request, "assets/plan.html", context)
