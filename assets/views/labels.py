"""Sheets of labels to print: of a list as it is narrowed, or of one set of points with everything
fitted there."""

from django import forms
from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.http import Http404
from django.shortcuts import render
from django.utils import timezone

from assets.filters import PART_FILTERS, PointsFilter
from assets.kinds import BY_ADDRESS
from assets.labels import STATIONERY, part_label, points_label, sheets
from assets.models import Fitting, Points
from assets.views.lookup import points_or_404

from .parts import tabs

MOST = 210  # labels on one page: ten sheets of the small ones
ONLY_HERE = {"localhost", "127.0.0.1", "[::1]"}


class SheetForm(forms.Form):
    """How the labels are printed. ``pick`` and ``without`` choose among them."""

    size = forms.ChoiceField(
        label="Size of label",
        choices=[(code, one.title) for code, one in STATIONERY.items()],
        required=False,
    )
    used = forms.IntegerField(
        label="Labels already used from the first sheet",
        min_value=0,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
    )
    marks = forms.BooleanField(label="Cut marks, for plain paper", required=False)
    pick = forms.ModelMultipleChoiceField(queryset=None, required=False)
    without = forms.ModelMultipleChoiceField(queryset=None, required=False)

    def __init__(self, *args, model, **kwargs):
        super().__init__(*args, **kwargs)
        for name in ("pick", "without"):
            self.fields[name].queryset = model.objects.all()

    def clean(self):
        cleaned = super().clean()
        stationery = STATIONERY[cleaned.get("size") or "small"]
        if (cleaned.get("used") or 0) >= stationery.per_sheet:
            self.add_error("used", f"A sheet of these has {stationery.per_sheet} labels.")
        return cleaned


def label_sheet(request, what: str = "points"):
    """Labels of sets of points, or of parts of one kind."""
    if what == "points":
        model, filters = Points, PointsFilter
        rows = Points.objects.select_related("location").in_walking_order()
    elif kind := BY_ADDRESS.get(what):
        model, filters = kind.model, PART_FILTERS[kind]
        places = Fitting.objects.current().select_related("position__points__location")
        rows = model.objects.order_by("tag", "pk").prefetch_related(
            Prefetch("fittings", queryset=places)
        )
    else:
        raise Http404(f"There are no labels for {what}.")
    narrowed = filters(request.GET, rows)
    form = SheetForm(request.GET, model=model)
    valid = form.is_valid() and narrowed.is_valid()
    chosen = narrowed.qs if valid else rows.none()
    picked = form.cleaned_data.get("pick")
    page = Paginator(chosen.filter(pk__in=picked) if picked else chosen, MOST)
    page = page.get_page(request.GET.get("page"))
    root, day = _root(request), timezone.localdate()
    labels = [
        points_label(one, root, day) if what == "points" else _fitted_label(one, root, day)
        for one in page
    ]
    more = {"filter": narrowed, "page": page, "what": what, "on_page": labels, "picked": picked}
    more["tabs"] = [("points", "Points"), *tabs()]
    more["left_out"] = {one.pk for one in form.cleaned_data.get("without") or ()}
    printed = [label for label in labels if label.pk not in more["left_out"]]
    return _sheets(request, form, printed, more)


def points_labels(request, code: str, number: str):
    """Labels of one set of points and of every part fitted there."""
    points = points_or_404(code, number, Points.objects.with_places())
    root, day = _root(request), timezone.localdate()
    labels = [points_label(points, root, day)]
    for position in points.positions.all():
        for fitting in position.current_fittings:
            labels.append(part_label(fitting.part, root, day, place=position))
    return _sheets(request, SheetForm(request.GET, model=Points), labels, {"points": points})


def _fitted_label(part, root: str, day):
    fitting = part.current_fitting()
    return part_label(part, root, day, place=fitting.position if fitting else None)


def _root(request) -> str:
    return request.build_absolute_uri("/").rstrip("/")


def _sheets(request, form: SheetForm, labels, more: dict):
    given = form.cleaned_data if form.is_valid() else {}
    stationery = STATIONERY[given.get("size") or "small"]
    context = {
        "form": form,
        "labels": labels,
        "stationery": stationery,
        "marks": given.get("marks"),
        "sheets": sheets(labels, stationery, given.get("used") or 0) if given else [],
        "root": _root(request),
        "only_here": request.get_host().rsplit(":", 1)[0] in ONLY_HERE,
        "section": "points" if more.get("what", "points") == "points" else "parts",
    }
    return render(request, "assets/labels.html", context | more)
