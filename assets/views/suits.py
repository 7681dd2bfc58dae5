"""What suits this place, and where could this rod go?"""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render

from assets import suiting
from assets.engineering.suitability import Outcome

from .parts import part_or_404
from .points import position_or_404

PAGE = 25


def suits_position(request, code: str, number: str, order: int):
    position = position_or_404(code, number, order)
    offers = suiting.spares_for(position)
    present = offers[0].occupied_by if offers else None
    return _offers(
        request,
        offers,
        {"position": position, "points": position.points, "present": present, "section": "points"},
        "assets/suits_position.html",
    )


def suits_part(request, kind: str, tag: str):
    if kind != "stretcher":
        raise Http404("Only stretchers are offered to places.")
    part = part_or_404(kind, tag)
    return _offers(
        request,
        suiting.places_for(part),
        {"part": part, "section": "parts"},
        "assets/suits_part.html",
    )


def _offers(request, offers, context, template):
    counts = dict.fromkeys(Outcome, 0)
    for offer in offers:
        counts[offer.assessment.outcome] += 1
    wanted = request.GET.get("outcome")
    shown = [o for o in offers if not wanted or o.assessment.outcome == wanted]
    context["counts"] = counts.items()
    context["wanted"] = wanted
    context["total"] = len(offers)
    context["page"] = Paginator(shown, PAGE).get_page(request.GET.get("page"))
    return render(request, template, context)
