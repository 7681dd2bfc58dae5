"""Fitting a spare at a place, with what the rules say of it first."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render

from assets import fitting as service
from assets.departments import name_of
from assets.engineering.suitability import Outcome
from assets.forms import FitForm
from assets.models import Fitting
from assets.views.lookup import kind_or_404, position_or_404
from config.suiting import suits


def fit(request, code: str, number: str, order: int, kind: str):
    """Fit a spare at a position; one that does not suit asks for a written reason."""
    asked = kind_or_404(kind, at_a_place=True)
    position = position_or_404(code, number, order)
    present = fitting_at(position, kind)
    form = FitForm(
        request.POST or None,
        kind=asked,
        present=present.part if present else None,
        initial={"by": name_of(request.user), "part": request.GET.get("part")},
    )
    offer = None
    if request.method == "POST" and form.is_valid():
        offer = _offer(form.cleaned_data["part"], position)
        if _fit(form, position, offer):
            messages.success(
                request, f"{form.cleaned_data['part']} is recorded as fitted at {position}."
            )
            return redirect(position.points)
    elif request.GET.get("part"):
        chosen = asked.model.objects.filter(tag__iexact=request.GET["part"]).first()
        offer = _offer(chosen, position) if chosen else None
    return render(
        request,
        "suiting/fit.html",
        {
            "form": form,
            "position": position,
            "points": position.points,
            "present": present,
            "offer": offer,
            "kind": kind,
            "section": "points",
        },
    )


def fitting_at(position, kind: str) -> Fitting | None:
    """The part of a kind that is at a position now."""
    current = Fitting.objects.current().filter(position=position, **{f"{kind}__isnull": False})
    return current.select_related(kind).first()


def _offer(part, position):
    return suits.spares_for(position, [part])[0]


def _fit(form: FitForm, position, offer) -> bool:
    given = form.cleaned_data
    misfit = offer and offer.assessment.outcome == Outcome.DOES_NOT_SUIT
    if misfit and not given["found"] and not given["reason"]:
        form.add_error(
            "reason",
            "According to the rules this part does not suit here: write why it was fitted.",
        )
        return False
    try:
        service.fit(
            given["part"],
            position,
            on=given["on"],
            by=given["by"],
            reason=given["reason"],
            found=given["found"],
            replacing=given.get("replacing", ""),
        )
    except ValidationError as problem:
        form.add_error(None, problem.messages)
        return False
    return True
