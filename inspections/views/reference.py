"""What visits lean on: instruments with their checks, and the railway's seasons."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from inspections.forms.reference import InstrumentForm, SeasonForm
from inspections.models import Instrument, Season
from inspections.upcoming.due import DEFAULT_INTERVAL_DAYS, coming, with_points

PAGE = 50


def instruments(request):
    today = timezone.localdate()
    rows = list(Instrument.objects.order_by("tag", "pk"))
    for row in rows:
        row.is_past_check = row.past_check(today)
    return render(
        request, "inspections/instruments.html", {"instruments": rows, "section": "visits"}
    )


def instrument_new(request):
    return _form(request, InstrumentForm, Instrument(), "inspections:instruments")


def instrument_edit(request, pk: int):
    instrument = get_object_or_404(Instrument, pk=pk)
    return _form(request, InstrumentForm, instrument, "inspections:instruments")


def due(request):
    """Every set of points in use, the soonest due first, with the calendar that moves dates."""
    today = timezone.localdate()
    page = Paginator(coming(today), PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "inspections/due.html",
        {
            "page": page,
            "rows": with_points(page.object_list, today),
            "seasons": Season.objects.order_by("-first_use", "-pk"),
            "interval": DEFAULT_INTERVAL_DAYS,
            "section": "visits",
        },
    )


def season_new(request):
    return _form(request, SeasonForm, Season(), "inspections:due")


def season_edit(request, pk: int):
    return _form(request, SeasonForm, get_object_or_404(Season, pk=pk), "inspections:due")


def _form(request, form_class, thing, back: str):
    kind = thing._meta.verbose_name
    form = form_class(request.POST or None, instance=thing)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"Saved: {thing}.")
        return redirect(back)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": f"Change {kind}" if thing.pk else f"A new {kind}",
            "button": "Save",
            "back": redirect(back).url,
            "section": "visits",
        },
    )
