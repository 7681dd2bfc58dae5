"""The workbook in the browser: what it is, taking the register away, its columns, visit sheets."""

import tempfile

from django import forms
from django.contrib import messages
from django.http import FileResponse, Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from assets.departments import Department, Post, name_of
from assets.filters import PART_FILTERS, PointsFilter
from assets.kinds import BY_ADDRESS
from assets.models import Matching, Points
from assets.sheets.loading import EVERYTHING, Choice
from assets.workbook.columns import Sheet
from assets.workbook.writing import explanation
from config.access import MAY
from config.workbook import register
from config.workbook.loading import XLSX, UploadForm
from inspections.sheets import to_fill_in

MOST_VISIT_SHEETS = 60


@require_GET
def workbook(request):
    """What can be taken away and loaded."""
    return render(
        request,
        "config/workbook/workbook.html",
        {
            "form": UploadForm(),
            "matchings": Matching.objects.all(),
            "departments": list(Department),
            "section": "workbook",
        },
    )


@require_GET
def save(request):
    """The register as a workbook: all of it, or what a list of points or parts now shows."""
    choice, what = _choice(request)
    target = tempfile.TemporaryFile()  # noqa: SIM115 - the response closes it
    register.save(target, choice)
    target.seek(0)
    name = f"{what} {timezone.localdate():%Y-%m-%d}.xlsx"
    return FileResponse(target, as_attachment=True, filename=name, content_type=XLSX)


def _choice(request):
    """What to take away, and what to call it; Http404 for a list or filter that there is not."""
    of = request.GET.get("of", "")
    if not of:
        return EVERYTHING, "Register"
    if of == "points":
        ids = _narrowed(PointsFilter, request, Points.objects.all())
        return Choice(points=ids), "Points"
    kind = BY_ADDRESS.get(of)
    if kind is None:
        raise Http404("There is no such list.")
    ids = _narrowed(PART_FILTERS[kind], request, kind.model.objects.all())
    return Choice(part_field=kind.field, parts=ids), kind.plural


def _narrowed(filters, request, queryset) -> frozenset[int]:
    narrowed = filters(request.GET, queryset)
    if not narrowed.is_valid():
        raise Http404("The list cannot be narrowed like that.")
    return frozenset(narrowed.qs.values_list("pk", flat=True))


@require_GET
def columns(request):
    """Every sheet and column, as the explaining sheet of a workbook has them."""
    sheets = [
        {
            "name": sheet.name,
            "help": " ".join(filter(None, (sheet.help, sheet.reading_only))),
            "columns": [(column, " ".join(explanation(column))) for column in sheet.columns],
            "posts": _posts(sheet),
        }
        for sheet in (*register.SHEETS, *register.LISTS)
    ]
    return render(
        request, "config/workbook/columns.html", {"sheets": sheets, "section": "workbook"}
    )


def _posts(sheet: Sheet) -> str:
    """Who may change its rows; "" for a sheet that is for reading only."""
    if sheet.reading_only:
        return ""
    return ", ".join(post.label for post in Post if post in MAY[register.NEEDS[sheet.name]])


@require_POST
def forget_matching(request, pk: int):
    """Takes a matching away; spreadsheets loaded by it stay loaded."""
    matching = get_object_or_404(Matching, pk=pk)
    matching.delete()
    messages.success(request, f"The matching {matching} is forgotten.")
    return redirect("workbook")


class PointsField(forms.ModelMultipleChoiceField):
    def label_from_instance(self, points: Points) -> str:
        return f"{points.key}, {points.location.name}"


class VisitSheetForm(forms.Form):
    points = PointsField(
        queryset=Points.objects.select_related("location").in_walking_order(),
        widget=forms.CheckboxSelectMultiple,
        label="Points",
        error_messages={"required": "Choose at least one set of points."},
    )

    def clean_points(self):
        chosen = self.cleaned_data["points"]
        if len(chosen) > MOST_VISIT_SHEETS:
            raise forms.ValidationError(f"Choose at most {MOST_VISIT_SHEETS} sets of points.")
        return chosen


@require_GET
def visit_sheet(request):
    """Visit sheets for chosen points, to be filled in where there is no signal, or on paper."""
    form = VisitSheetForm(request.GET if "points" in request.GET or "take" in request.GET else None)
    if not form.is_valid():
        return render(
            request, "config/workbook/visit_sheet.html", {"form": form, "section": "workbook"}
        )
    chosen = list(form.cleaned_data["points"])
    target = tempfile.TemporaryFile()  # noqa: SIM115 - the response closes it
    to_fill_in.write(target, chosen, name_of(request.user))
    target.seek(0)
    what = chosen[0].key if len(chosen) == 1 else f"{len(chosen)} sets of points"
    name = f"Visit sheet {what} {timezone.localdate():%Y-%m-%d}.xlsx"
    return FileResponse(target, as_attachment=True, filename=name, content_type=XLSX)
