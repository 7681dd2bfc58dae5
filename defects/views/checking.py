"""Pages made from what is recorded: the check of the register, and the handover note."""

from datetime import timedelta

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from assets.models import Points
from defects import handover, register_checks
from defects.forms import PeriodForm

USUAL_DAYS = 7  # a handover note looks back a week unless other days are chosen


def register_check(request):
    """What is wrong by the register alone; raises what is ticked."""
    now = timezone.now()
    found = register_checks.check_register(now)
    if request.method == "POST":
        ticked = set(request.POST.getlist("raise"))
        chosen = [one for one in found if one.key in ticked]
        raised = register_checks.raise_found(chosen, at=now, user=request.user)
        messages.success(request, f"{len(raised)} raised.")
        return redirect("defects:register_check")
    return render(
        request,
        "defects/register_check.html",
        {
            "certain": [one for one in found if one.certain],
            "cannot_say": [one for one in found if not one.certain],
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
