"""The question which rod was measured, put to a person."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from assets.days import day
from assets.departments import name_of
from inspections.forms.which_rod import WhichRodForm
from inspections.models import Difference
from inspections.recording.which_rod import answer
from inspections.words import WhichRod


def difference(request, pk: int):
    asked = get_object_or_404(
        Difference.objects.with_rods().select_related("inspection__points__location"), pk=pk
    )
    visit = asked.inspection
    form = WhichRodForm(asked, request.POST or None)
    if request.method == "POST" and form.is_valid():
        which = WhichRod(form.cleaned_data["which"])
        try:
            answer(asked, which, by=name_of(request.user), at=timezone.now())
        except ValidationError as refused:
            form.add_error(None, refused)
        else:
            messages.success(request, f"Saved: the readings are {which.label}.")
            return redirect(visit)
    return render(
        request,
        "assets/form.html",
        {
            "heading": f"Which stretcher was it? {visit.points.key}, {asked.position.name}",
            "lead": f"Visit of {day(visit.at)} by {visit.by}. {asked}.",
            "form": form,
            "button": "Save the answer",
            "back": visit.get_absolute_url(),
            "section": "visits",
        },
        status=422 if form.errors else 200,
    )
