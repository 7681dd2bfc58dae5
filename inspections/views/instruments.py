"""What readings are taken with: the list, one instrument with its checks, and entering a check."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from assets.departments import name_of
from inspections.forms.reference import CheckForm, InstrumentForm
from inspections.models import Instrument, InstrumentCheck
from inspections.views.reference import form_page


def instruments(request):
    today = timezone.localdate()
    rows = list(Instrument.objects.with_checks().order_by("tag", "pk"))
    for row in rows:
        last, row.due_now = row.last_check(today), row.due(today)
        row.is_past_check = row.past_check(today)
        row.has_failed = last is not None and not last.passed
    return render(
        request, "inspections/instruments.html", {"instruments": rows, "section": "visits"}
    )


def instrument(request, pk: int):
    """One instrument: how finely it reads, and every check, those corrected since struck out."""
    today = timezone.localdate()
    found = get_object_or_404(Instrument.objects.with_checks(), pk=pk)
    standing = {check.pk for check in found.standing_checks}
    checks = sorted(found.checks.all(), key=lambda check: (check.day, check.pk), reverse=True)
    return render(
        request,
        "inspections/instrument.html",
        {
            "instrument": found,
            "checks": [(check, check.pk in standing) for check in checks],
            "due": found.due(today),
            "check_words": found.check_words(today),
            "is_past_check": found.past_check(today),
            "section": "visits",
        },
    )


def instrument_new(request):
    return form_page(request, InstrumentForm, Instrument(), "inspections:instruments")


def instrument_edit(request, pk: int):
    found = get_object_or_404(Instrument, pk=pk)
    return form_page(request, InstrumentForm, found, "inspections:instrument", pk)


def check_new(request, pk: int):
    return _check(request, get_object_or_404(Instrument, pk=pk))


def check_correct(request, pk: int):
    """A check entered anew in place of a mistaken one, which stays and is referred to."""
    checks = InstrumentCheck.objects.select_related("instrument", "correction")
    mistaken = get_object_or_404(checks, pk=pk)
    if hasattr(mistaken, "correction"):
        messages.warning(request, f"{mistaken} was corrected already.")
        return redirect("inspections:instrument", mistaken.instrument_id)
    return _check(request, mistaken.instrument, mistaken)


def _check(request, found: Instrument, mistaken: InstrumentCheck | None = None):
    form = CheckForm(request.POST or None, instrument=found, mistaken=mistaken)
    back = reverse("inspections:instrument", args=[found.pk])
    if request.method == "POST" and form.is_valid():
        check = form.save(by=name_of(request.user))
        messages.success(request, f"Saved: {check}.")
        return redirect(back)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": f"Correct: {mistaken}" if mistaken else f"A check of {found.tag}",
            "lead": "A check is never changed: correct a mistaken one, with the reason.",
            "button": "Save",
            "back": back,
            "section": "visits",
        },
    )
