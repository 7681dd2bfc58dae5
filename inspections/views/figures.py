"""The figures of the railway: what is in force, assumed or confirmed, and confirming one."""

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from assets.changes import changes_of
from assets.departments import name_of
from assets.engineering.assumed import ASSUMPTIONS, BY_CODE
from assets.models import RailwayFigure
from inspections.forms.figure import FigureForm


def figures(request):
    own = {figure.code: figure for figure in RailwayFigure.objects.all()}
    rows = [(row, own.get(row.code.value)) for row in ASSUMPTIONS]
    given = {"rows": rows, "confirmed": len(own), "section": "visits"}
    return render(request, "inspections/figures.html", given)


def figure_confirm(request, code: str):
    """Confirms a figure, as it is assumed or another, with where it is from."""
    row = BY_CODE.get(code)
    if row is None:
        raise Http404("There is no such figure.")
    figure = RailwayFigure.objects.filter(code=code).first()
    form = FigureForm(request.POST or None, row=row, instance=figure)
    if request.method == "POST" and form.is_valid():
        figure = form.save(commit=False)
        figure.confirmed_by, figure.account = name_of(request.user), request.user
        figure.confirmed_on = timezone.localdate()
        figure.save()
        messages.success(request, f"Confirmed: {figure}.")
        return redirect("inspections:figures")
    return render(
        request,
        "inspections/figure_form.html",
        {
            "form": form,
            "row": row,
            "figure": figure,
            "changes": changes_of(RailwayFigure, code=code),
            "section": "visits",
        },
    )


@require_POST
def figure_withdraw(request, code: str):
    """Takes a confirmation back: the figure is assumed again, and its history stays."""
    figure = get_object_or_404(RailwayFigure, code=code)
    figure.delete()
    messages.success(request, f"No longer confirmed: {figure}. The assumed figure is used again.")
    return redirect("inspections:figures")
