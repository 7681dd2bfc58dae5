"""Parts that are fitted although they do not suit, and the responsible engineer's agreement."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render

from assets import fitting as service
from assets.departments import name_of
from assets.fitting_forms import AgreeForm
from assets.models import Fitting
from assets.models.fittings import PART_FIELDS

PAGE = 50


def against(request):
    """All that wait for a part that suits, or for agreement."""
    page = Paginator(_waiting().in_order(), PAGE).get_page(request.GET.get("page"))
    return render(request, "assets/against.html", {"page": page, "section": "parts"})


def agree(request, pk: int):
    fitting = get_object_or_404(_waiting(), pk=pk)
    form = AgreeForm(request.POST or None)
    why = fitting.fitted_reason or "none given, as it was found fitted"
    if request.method == "POST" and form.is_valid():
        try:
            service.agree(fitting, by=name_of(request.user), words=form.cleaned_data["words"])
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            messages.success(request, f"Your agreement to {fitting} is recorded.")
            return redirect(fitting.position.points)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": f"Agree to {fitting}",
            "button": "Record my agreement",
            "lead": f"{fitting.against} Why it was fitted: {why}.",
            "back": fitting.position.points.get_absolute_url(),
            "section": "points",
        },
    )


def _waiting():
    links = (*PART_FIELDS, "position__points__location")
    return Fitting.objects.against_the_verdict().select_related(*links)
