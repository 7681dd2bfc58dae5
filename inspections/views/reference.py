"""What visits lean on: when inspections are due, and the railway's seasons."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from inspections.forms.reference import SeasonForm
from inspections.models import Season
from inspections.upcoming.due import DEFAULT_INTERVAL_DAYS, coming, with_points

PAGE = 50


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
    return form_page(request, SeasonForm, Season(), "inspections:due")


def season_edit(request, pk: int):
    return form_page(request, SeasonForm, get_object_or_404(Season, pk=pk), "inspections:due")


def form_page(request, form_class, thing, back: str, *args):
    """A form for one thing; ``back``, with its arguments, is the page to go back to."""
    kind = thing._meta.verbose_name
    form = form_class(request.POST or None, instance=thing)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, f"Saved: {thing}.")
        return redirect(back, *args)
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": f"Change {kind}" if thing.pk else f"A new {kind}",
            "button": "Save",
            "back": redirect(back, *args).url,
            "section": "visits",
        },
    )
