"""Pages made from what is recorded: the check of the register, and the handover note."""

from datetime import timedelta

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from assets.models import Points
from assets.paging import keys_of, stretch_of
from assets.suiting import standing_points
from defects import handover, register_checks
from defects.forms import PeriodForm

POINTS, POINTS_AT_ONCE = 400, 30  # sets checked together where there are no more, or at a time
USUAL_DAYS = 7  # a handover note looks back a week unless other days are chosen


def register_check(request):
    """What is wrong by the register alone; raises what is ticked."""
    now = timezone.now()
    standing = standing_points()
    stretch = stretch_of(
        keys_of(standing), request.GET.get("stretch"), whole=POINTS, at_once=POINTS_AT_ONCE
    )
    points = standing.filter(pk__in=list(stretch.object_list))
    found = register_checks.check_register(now, points)
    if request.method == "POST":
        ticked = set(request.POST.getlist("raise"))
        chosen = [one for one in found if one.key in ticked]
        raised = register_checks.raise_found(chosen, at=now, user=request.user)
        messages.success(request, f"{len(raised)} raised.")
        return redirect(request.get_full_path())
    certain = [one for one in found if one.certain]
    return render(
        request,
        "defects/register_check.html",
        {
            "certain": certain,
            "any_left": any(one.open_defect is None for one in certain),
            "cannot_say": [one for one in found if not one.certain],
            "stretch": stretch,
            "section": "defects",
        },
    )


def handover_note(request, code: str, number: str):
    """What was done to these points, what was measured and what remains."""
    points = get_object_or_404(
        Points.objects.select_related("location", "design", "rail_section"),
        location__code__iexact=code,
        number__iexact=number,
    )
    today = timezone.localdate()
    usual = {"since": today - timedelta(days=USUAL_DAYS), "until": today}
    form = PeriodForm(request.GET if "since" in request.GET else usual)
    days = form.cleaned_data if form.is_valid() else usual
    return render(
        request,
        "defects/handover.html",
        {
            "form": form,
            "note": handover.note_of(points, days["since"], days["until"]),
            "now": timezone.now(),
            "today": today,
            "section": "defects",
        },
    )
