"""The list of all points, each with what is to be said of it in a word."""

from django.db.models import Count, Q
from django.shortcuts import render
from django.utils import timezone

from assets.filters import PointsFilter, order_words
from assets.models import Points, Position
from assets.paging import page_of
from config.points.misfits import misfits_at
from config.points.owed_kept import kept_for
from config.points.pieces import defects, fitted, measured, open_switch, owed
from config.points.pieces.panel import Mark

PAGE = 50


def points_list(request):
    queryset = Points.objects.select_related("location", "design", "rail_section")
    narrowed = PointsFilter(request.GET, queryset.in_walking_order())
    rows = narrowed.qs if narrowed.is_valid() else queryset.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    shown = [points.pk for points in page.object_list]
    marks = marks_of(shown)
    counts = _counts(shown)
    for points in page.object_list:
        points.marks = marks.get(points.pk, [])
        points.places, points.rods = counts.get(points.pk, (0, 0))
    return render(
        request,
        "points/list.html",
        {
            "page": page,
            "filter": narrowed,
            "order": order_words(narrowed),
            "section": "points",
        },
    )


def _counts(points_ids: list[int]) -> dict[int, tuple[int, int]]:
    """By points: how many places there are for rods, and how many have one; one query."""
    rod = Q(fittings__taken_out_on__isnull=True, fittings__stretcher__isnull=False)
    rows = Position.objects.filter(points__in=points_ids).order_by().values("points")
    rows = rows.annotate(places=Count("pk", distinct=True), rods=Count("fittings", filter=rod))
    return {row["points"]: (row["places"], row["rods"]) for row in rows}


def marks_of(points_ids: list[int]) -> dict[int, list[Mark]]:
    """What rules, visits, arithmetic and defects say of each set of points; some ten queries."""
    found: dict[int, list[Mark]] = {}
    as_fitted = fitted.marks(misfits_at(points_ids, timezone.localdate()))
    kept = kept_for(points_ids)
    of_visits = (owed.marks(kept), measured.marks(points_ids))
    calculated = open_switch.marks(kept, timezone.localdate())
    for marks in (as_fitted, *of_visits, calculated, defects.marks(points_ids)):
        for points, said in marks.items():
            found.setdefault(points, []).extend(said)
    return found
