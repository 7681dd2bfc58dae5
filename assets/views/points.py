"""Sets of points, their places and locations: entering and changing them."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Count
from django.http import JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from assets.changes import changes_of
from assets.departments import name_of
from assets.forms import LocationForm, PointsForm, PositionForm
from assets.models import Location, Points, Position
from assets.survey.recording import record
from assets.survey.survey import Survey
from assets.views.lookup import location_or_404, points_or_404, position_or_404


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
    """The survey of a set of points; the page's own script asks for JSON and gets the way on."""
    points = points_or_404(code, number, Points.objects.select_related("location", "design"))
    survey = Survey(points, request.POST or None, by=name_of(request.user))
    by_script = request.headers.get("Accept") == "application/json"
    status = 200
    if request.method == "POST":
        status = 422 if by_script else 200
        if survey.is_valid():
            try:
                done = record(points, survey)
            except ValidationError:
                pass  # each reason stands beside its box
            else:
                messages.success(request, "; ".join(done) or "Nothing new was found.")
                if by_script:
                    return JsonResponse({"url": points.get_absolute_url()}, status=201)
                return redirect(points)
    return render(
        request,
        "assets/as_installed.html",
        {"points": points, "survey": survey, "section": "points"},
        status=status,
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
    location = location_or_404(code)
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
