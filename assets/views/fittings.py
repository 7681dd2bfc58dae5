"""Taking a part out, moving it."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render

from assets import fitting as service
from assets.days import day
from assets.departments import name_of
from assets.forms import MoveForm, TakeOutForm
from assets.models import Fitting
from assets.views.lookup import fitting_or_404


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
