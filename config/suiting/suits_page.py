"""What suits this place, and where could this part go?"""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse

from assets.engineering.suitability import Outcome
from assets.kinds import KINDS
from assets.models import Points
from assets.paging import keys_of, stretch_of
from assets.views.lookup import kind_or_404, part_or_404, points_or_404
from config.suiting import suits

PAGE = 25
# Ranked together where there are no more of them, and otherwise so many at a time.
SPARES, SPARES_AT_ONCE = 500, 200
POINTS, POINTS_AT_ONCE = 400, 30


def suits_position(request, code: str, number: str, order: int, kind: str = "stretcher"):
    asked = kind_or_404(kind, at_a_place=True)
    points = points_or_404(code, number, Points.objects.with_places())
    position = next((p for p in points.positions.all() if p.order == order), None)
    if position is None:
        raise Http404(f"There is no place {order} on {points}.")
    present = next((f for f in position.current_fittings if f.part_field == kind), None)
    store = asked.model.objects.spare().order_by("tag", "pk")
    stretch = stretch_of(store, request.GET.get("stretch"), whole=SPARES, at_once=SPARES_AT_ONCE)
    return _offers(
        request,
        suits.spares_for(position, stretch.object_list),
        {
            "stretch": stretch,
            "position": position,
            "points": points,
            "kind": kind,
            "kind_name": asked.name,
            "spares": f"{reverse('assets:part_list', args=[asked.address])}?where=spare",
            "tabs": [(one.field, one.name) for one in KINDS],
            "present": present.part if present else None,
            "section": "points",
        },
        "suiting/suits_position.html",
    )


def suits_part(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    standing = suits.standing_points()
    stretch = stretch_of(
        keys_of(standing), request.GET.get("stretch"), whole=POINTS, at_once=POINTS_AT_ONCE
    )
    points = standing.filter(pk__in=list(stretch.object_list))
    return _offers(
        request,
        suits.places_for(part, points),
        {
            "part": part,
            "spare": part.current_fitting() is None,
            "kind": kind,
            "place_kind": kind_or_404(kind).field,
            "stretch": stretch,
            "section": "parts",
        },
        "suiting/suits_part.html",
    )


def _offers(request, offers, context, template):
    counts = dict.fromkeys(Outcome, 0)
    for offer in offers:
        counts[offer.outcome] += 1
    wanted = request.GET.get("outcome")
    shown = [offer for offer in offers if not wanted or offer.outcome == wanted]
    context["counts"] = counts.items()
    context["wanted"] = wanted
    context["total"] = len(offers)
    context["page"] = Paginator(shown, PAGE).get_page(request.GET.get("page"))
    return render(request, template, context)
