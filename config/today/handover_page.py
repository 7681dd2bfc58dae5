"""The handover note of a set of points, on screen and on paper."""

from datetime import timedelta

from django.shortcuts import render
from django.utils import timezone

from assets.models import Points
from assets.views.lookup import points_or_404
from config.today.handover import note_of
from defects.forms import PeriodForm

USUAL_DAYS = 7  # a handover note looks back a week unless other days are chosen


def handover_note(request, code: str, number: str):
    """What was done to these points, what was measured and what remains."""
    points = points_or_404(code, number, Points.objects.with_places())
    today = timezone.localdate()
    usual = {"since": today - timedelta(days=USUAL_DAYS), "until": today}
    form = PeriodForm(request.GET if "since" in request.GET else usual)
    days = form.cleaned_data if form.is_valid() else usual
    return render(
        request,
        "today/handover.html",
        {
            "form": form,
            "note": note_of(points, days["since"], days["until"]),
            "now": timezone.now(),
            "today": today,
            "section": "defects",
        },
    )
