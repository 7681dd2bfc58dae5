"""Sets of points: the list, one page for each, entering and changing them."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Count, Q
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse

from assets import panels, survey
from assets.changes import changes_of
from assets.departments import name_of
from assets.filters import PointsFilter, order_words
from assets.forms import LocationForm, PointsForm, PositionForm
from assets.models import Location, Points, Position
from assets.paging import page_of
from assets.story import story_of

PAGE = 50
FITTINGS_SHOWN = 40  # of what was ever fitted


def points_or_404(code: str, number: str, queryset=None) -> Points:
    """The points at this address, however its letters are written."""
    queryset = Points.objects.select_related("location") if queryset is None else queryset
    return get_object_or_404(queryset, location__code__iexact=code, number__iexact=number)


def position_or_404(code: str, number: str, order: int) -> Position:
    points = points_or_404(code, number)
    return get_object_or_404(
        Position.objects.select_related("points__location"), points=points, order=order
    )


def points_list(request):
    queryset = Points.objects.select_related("location", "design", "rail_section")
    narrowed = PointsFilter(request.GET, queryset.in_walking_order())
    rows = narrowed.qs if narrowed.is_valid() else queryset.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    shown = [points.pk for points in page.object_list]
    marks = panels.points_marks(shown)
    counts = _counts(shown)
    for points in page.object_list:
        points.marks = marks.get(points.pk, [])
        points.places, points.rods = counts.get(points.pk, (0, 0))
    return render(
        request,
        "assets/points_list.html",
        {
            "page": page,
            "filter": narrowed,
            "order": order_words(narrowed),
            "section": "points",
        },
    )


def _counts(points_ids: list[int]) -> dict[int, tuple[int, int]]:
    """By points: how many places there are for rods, and how many have one; one query."""
    rod = Q(fittings__taken_out_on__isnull=True, fittings__stretcher__isnull=False)
    rows = Position.objects.filter(points__in=points_ids).order_by().values("points")
    rows = rows.annotate(places=Count("pk", distinct=True), rods=Count("fittings", filter=rod))
    return {row["points"]: (row["places"], row["rods"]) for row in rows}


def points_page(request, code: str, number: str):
    from assets.plan.page import plan_context  # numpy waits until it is needed

    points = points_or_404(code, number, Points.objects.with_places())
    points.seen = {}
    positions = list(points.positions.all())
    for position in positions:
        fitted = {f.part_field: f for f in position.current_fittings}
        position.rod = fitted.get("stretcher")
        position.machine = fitted.get("machine")
        position.lost_motion = fitted.get("lost_motion_fitting")
    pieces = panels.points_page(points, request)
    changes = changes_of(Points, id=points.pk) + changes_of(Position, points_id=points.pk)
    return render(
        request,
        "assets/points.html",
        {
            "points": points,
            "positions": positions,
            "marks": [mark for panel in pieces for mark in panel.marks],
            "panels": pieces,
            "story": story_of(points)[:FITTINGS_SHOWN],
            "changes": sorted(changes, key=lambda change: change.at, reverse=True),
            "section": "points",
            **plan_context(points, request.GET.get("lie")),
        },
    )


def points_new(request):
    form = PointsForm(request.POST or None, initial={"location": request.GET.get("location")})
    if request.method == "POST" and form.is_valid():
        points = form.save()
        messages.success(request, f"{points} entered. Now record what is installed.")
        return redirect("assets:points_as_installed", points.location.code, points.number)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": "New points",
            "button": "Enter these points",
            "section": "points",
        },
    )


def points_edit(request, code: str, number: str):
    points = points_or_404(code, number)
    # Before the form: what is typed, wrong or not, is put in the points.
    heading, back = f"Change {points}", points.get_absolute_url()
    form = PointsForm(request.POST or None, instance=points)
    if request.method == "POST" and form.is_valid():
        points = form.save()
        messages.success(request, f"{points} changed.")
        return redirect(points)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": heading,
            "button": "Save",
            "back": back,
            "section": "points",
        },
    )


def points_as_installed(request, code: str, number: str):
    points = points_or_404(code, number)
    found = survey.FoundForm(request.POST or None, initial={"by": name_of(request.user)})
    rods = survey.rods_formset(points, request.POST or None)
    if request.method == "POST" and found.is_valid() & rods.is_valid():
        try:
            done = survey.record(points, found, rods)
        except ValidationError as problem:
            messages.error(request, " ".join(problem.messages))
        else:
            messages.success(request, "; ".join(done) or "The places are recorded.")
            return redirect(points)
    return render(
        request,
        "assets/as_installed.html",
        {"points": points, "found": found, "rods": rods, "section": "points"},
    )


def position_new(request, code: str, number: str):
    points = points_or_404(code, number)
    return _position_form(request, Position(points=points), f"New place on {points}")


def position_edit(request, code: str, number: str, order: int):
    position = position_or_404(code, number, order)
    return _position_form(request, position, f"Change {position}")


def _position_form(request, position: Position, heading: str):
    points = position.points
    if position.pk is None:
        numbers = points.positions.values_list("order", flat=True)
        position.order = max(numbers, default=0) + 1
    form = PositionForm(request.POST or None, instance=position)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            position = form.save()
        messages.success(request, f"{position} saved.")
        return redirect(points)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": heading,
            "button": "Save",
            "back": points.get_absolute_url(),
            "section": "points",
        },
    )


def location_list(request):
    locations = Location.objects.annotate(count=Count("points"))
    return render(
        request, "assets/location_list.html", {"locations": locations, "section": "points"}
    )


def location_new(request):
    return _location_form(request, Location(), "New location", "Enter this location", "entered")


def location_edit(request, code: str):
    location = get_object_or_404(Location, code__iexact=code)
    return _location_form(request, location, f"Change {location}", "Save", "changed")


def _location_form(request, location: Location, heading: str, button: str, done: str):
    form = LocationForm(request.POST or None, instance=location)
    if request.method == "POST" and form.is_valid():
        location = form.save()
        messages.success(request, f"{location} {done}.")
        return redirect("assets:location_list")
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": heading,
            "button": button,
            "back": reverse("assets:location_list"),
            "changes": changes_of(Location, id=location.pk) if location.pk else [],
            "section": "points",
        },
    )
