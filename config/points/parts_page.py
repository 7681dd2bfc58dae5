"""The list of parts of a kind, each stretcher with what comes of it where it is fitted."""

from collections.abc import Iterable

from django.db.models import Prefetch
from django.shortcuts import render
from django.utils import timezone

from assets.filters import PART_FILTERS, order_words
from assets.models import Fitting, Stretcher
from assets.paging import page_of
from assets.views.lookup import kind_or_404
from assets.views.parts import tabs
from config.points.misfits import misfits_at
from defects.models import Misfit

PAGE = 50


def part_list(request, kind: str):
    asked = kind_or_404(kind)
    places = Fitting.objects.current().select_related("position__points__location")
    queryset = asked.model.objects.order_by("tag", "pk").prefetch_related(
        Prefetch("fittings", queryset=places)
    )
    narrowed = PART_FILTERS[asked](request.GET, queryset)
    rows = narrowed.qs if narrowed.is_valid() else queryset.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    of_rods = _misfits(page.object_list) if kind == "stretcher" else {}
    for part in page.object_list:
        part.misfit = of_rods.get(part.pk)
    return render(
        request,
        "points/parts.html",
        {
            "kind": kind,
            "kind_name": asked.name,
            "tabs": tabs(),
            "page": page,
            "filter": narrowed,
            "order": order_words(narrowed),
            "section": "parts",
        },
    )


def _misfits(rods: Iterable[Stretcher]) -> dict[int, Misfit]:
    """What does not suit, or needs work, of these stretchers read with their fittings, by id."""
    fitted = filter(None, (rod.current_fitting() for rod in rods))
    points = {fitting.position.points_id for fitting in fitted}
    found = misfits_at(points, timezone.localdate())
    return {one.stretcher_id: one for one in found if one.stretcher_id is not None}
