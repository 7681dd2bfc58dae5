"""What suits this place, and where could this part go?"""

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import render
from django.urls import reverse

from assets import suiting
from assets.engineering.suitability import Outcome
from assets.models.fittings import PART_KINDS

from .fittings import fitting_at
from .parts import part_or_404
from .points import position_or_404

PAGE = 25


def suits_position(request, code: str, number: str, order: int, kind: str = "stretcher"):
    if kind not in PART_KINDS:
        raise Http404(f"There is no kind of part called {kind}.")
    model = PART_KINDS[kind]
    position = position_or_404(code, number, order)
    present = fitting_at(position, kind)
    return _offers(
        request,
        suiting.spares_for(position, kind=kind),
        {
            "position": position,
            "points": position.points,
            "kind": kind,
            "kind_name": model._meta.verbose_name,
            "spares": f"{reverse('assets:part_list', args=[model._meta.model_name])}?where=spare",
            "tabs": [(each, one._meta.verbose_name) for each, one in PART_KINDS.items()],
            "present": present.part if present else None,
            "section": "points",
        },
        "assets/suits_position.html",
    )


def suits_part(request, kind: str, tag: str):
    part = part_or_404(kind, tag)
    return _offers(
        request,
        suiting.places_for(part),
        {"part": part, "kind": kind, "section": "parts"},
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
