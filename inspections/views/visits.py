"""Visits: making one, the list, one page for each, and correcting an entry."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Prefetch
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from assets.days import day
from assets.departments import name_of
from assets.paging import page_of
from assets.register_facts import figures_in_force
from assets.views.lookup import points_or_404
from inspections.catalogue.rod_places import rod_places_of
from inspections.catalogue.spots import asked_of, from_the_toe, looks_from_the_toe, place_key_of
from inspections.filters import VisitFilter
from inspections.forms.correction import ExaminationCorrection, ReadingCorrection
from inspections.forms.visit import VisitForm
from inspections.latest.taken_with import TakenWith
from inspections.models import Examination, ExaminationPhoto, Inspection, Reading
from inspections.recording.corrections import correct_examination, correct_reading
from inspections.words import ItemCode, Look, Reason

PAGE = 50


def inspect(request, code: str, number: str):
    points = points_or_404(code, number)
    asked = request.GET.get("reason", "")
    form = VisitForm(
        points,
        request.POST or None,
        request.FILES or None,
        by=name_of(request.user),
        reason=asked if asked in set(Reason) else "",
        begin_at=request.GET.get("for", ""),
    )
    if request.method == "POST" and form.is_valid():
        visit = form.save(request.user)
        if visit:
            messages.success(request, f"The visit to {points.key} on {day(visit.at)} is recorded.")
            return redirect(visit)
    return render(
        request,
        "inspections/inspect.html",
        {"points": points, "form": form, "groups": form.groups(), "section": "visits"},
        status=422 if form.errors else 200,
    )


def visit_list(request):
    narrowed = VisitFilter(
        request.GET, Inspection.objects.select_related("points__location").with_counts()
    )
    rows = narrowed.in_order() if narrowed.is_valid() else Inspection.objects.none()
    page = page_of(rows, request.GET.get("page"), PAGE)
    return render(
        request,
        "inspections/visit_list.html",
        {"page": page, "filter": narrowed, "section": "visits"},
    )


def visit_page(request, pk: int):
    visits = Inspection.objects.select_related("points__location", "recorded_by")
    visit = get_object_or_404(visits.with_counts().prefetch_related("instruments"), pk=pk)
    readings = visit.readings.select_related(
        "position", "stretcher", "instrument", "limit", "corrects", "correction"
    )
    examinations = visit.examinations.select_related(
        "position", "stretcher", "corrects", "correction"
    ).prefetch_related(
        Prefetch("photos", ExaminationPhoto.objects.select_related("photo__withdrawal"))
    )
    readings = sorted(readings, key=from_the_toe)
    used = TakenWith(visit.instruments.all(), figures_in_force())
    for reading in readings:
        reading.sure = used.sigma_words(reading)
    examinations = sorted(examinations, key=looks_from_the_toe)
    return render(
        request,
        "inspections/visit.html",
        {
            **_how_much(visit, readings, examinations),
            "visit": visit,
            "points": visit.points,
            "readings": readings,
            "examinations": examinations,
            "differences": visit.differences.with_rods(),
            "section": "visits",
        },
    )


def _how_much(visit: Inspection, readings, examinations) -> dict[str, int]:
    """How much of the form was measured and seen: what nobody entered is not "within limits"."""
    rod_places = rod_places_of(visit.points, timezone.localdate(visit.at))
    readings_asked, looks_asked = asked_of(visit.points, rod_places)
    entered = {place_key_of(r) for r in readings if r.value is not None and not _is_corrected(r)}
    seen = {
        (ItemCode(look.item), look.position_id)
        for look in examinations
        if look.found != Look.NOT_SEEN and not _is_corrected(look)
    }
    return {
        "entered": len(entered),
        "asked": len(readings_asked | entered),
        "seen": len(seen),
        "to_examine": len(looks_asked | seen),
    }


def _is_corrected(entry) -> bool:
    return hasattr(entry, "correction")


def reading_correct(request, pk: int):
    reading = get_object_or_404(
        Reading.objects.select_related("inspection__points__location", "position", "instrument"),
        pk=pk,
    )
    form = ReadingCorrection(reading, request.POST or None)
    return _correct(request, reading, form, correct_reading)


def examination_correct(request, pk: int):
    examination = get_object_or_404(
        Examination.objects.select_related("inspection__points__location", "position"), pk=pk
    )
    form = ExaminationCorrection(examination, request.POST or None)
    return _correct(request, examination, form, correct_examination)


def _correct(request, entry, form, correct):
    visit = entry.inspection
    if request.method == "POST" and form.is_valid():
        try:
            correct(entry, by=name_of(request.user), **form.cleaned_data)
        except ValidationError as refused:
            form.add_error(None, refused)
        else:
            messages.success(request, "Correction entered; the first entry is kept beside it.")
            return redirect(visit)
    return render(
        request,
        "assets/form.html",
        {
            "heading": f"Correct: {form.what}",
            "lead": f"{visit.points.key}, visit of {day(visit.at)}. The mistaken entry is "
            "kept as it was written; yours replaces it from now on.",
            "form": form,
            "button": "Enter the correction",
            "back": visit.get_absolute_url(),
            "section": "visits",
        },
    )
