"""Fitting a part, taking it out, moving it."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render

from assets import fitting as service
from assets import suiting
from assets.days import day
from assets.departments import name_of
from assets.engineering.suitability import Outcome
from assets.forms import FitForm, MoveForm, TakeOutForm
from assets.models import Fitting
from assets.models.fittings import PART_KINDS

from .points import position_or_404


def fit(request, code: str, number: str, order: int, kind: str):
    """Fit a spare at a position; one that does not suit asks for a written reason."""
    if kind not in PART_KINDS:
        raise Http404(f"There is no kind of part called {kind}.")
    position = position_or_404(code, number, order)
    present = fitting_at(position, kind)
    form = FitForm(
        request.POST or None,
        kind=kind,
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
        chosen = PART_KINDS[kind].objects.filter(tag__iexact=request.GET["part"]).first()
        offer = _offer(chosen, position) if chosen else None
    return render(
        request,
        "assets/fit.html",
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
    return suiting.spares_for(position, [part])[0]


def _fit(form: FitForm, position, offer) -> bool:
    given = form.cleaned_data
    misfit = offer and offer.assessment.outcome == Outcome.DOES_NOT_SUIT
    if misfit and not given["found"] and not given["reason"]:
        form.add_error(
            "reason", "By the rules this part does not suit here: write why it was fitted."
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


def fitting_or_404(pk: int) -> Fitting:
    queryset = Fitting.objects.current().select_related("position__points__location", *PART_KINDS)
    return get_object_or_404(queryset, pk=pk)


def take_out(request, pk: int):
    fitting = fitting_or_404(pk)
    form = TakeOutForm(request.POST or None, initial={"by": name_of(request.user)})
    if request.method == "POST" and form.is_valid():
        try:
            service.take_out(fitting, **form.cleaned_data)
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            messages.success(request, f"{fitting.part} is recorded as taken out; it is a spare.")
            return redirect(fitting.position.points)
    return _about(request, fitting, form, f"Take out {fitting.part}", "Record it as taken out")


def move(request, pk: int):
    fitting = fitting_or_404(pk)
    form = MoveForm(request.POST or None, fitting=fitting, initial={"by": name_of(request.user)})
    if request.method == "POST" and form.is_valid():
        try:
            service.move(fitting, **form.cleaned_data)
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            to = form.cleaned_data["to"]
            messages.success(request, f"{fitting.part} is recorded as moved to {to}.")
            return redirect(to.points)
    return _about(request, fitting, form, f"Move {fitting.part}", "Record it as moved")


def _about(request, fitting: Fitting, form, heading: str, button: str):
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": heading,
            "button": button,
            "lead": f"It is at {fitting.position} since {day(fitting.fitted_on)}.",
            "back": fitting.position.points.get_absolute_url(),
            "section": "points",
            "caution": True,
        },
    )
