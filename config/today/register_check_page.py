"""The check of the register: what is wrong by the records alone, raised when ticked."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone

from assets.paging import keys_of, stretch_of
from config.points.to_measure import of_many
from config.suiting.suits import standing_points
from config.today.register_check import check_register, raise_found

POINTS, POINTS_AT_ONCE = 400, 30  # sets checked together where there are no more, or at a time


def register_check(request):
    """What is wrong by the register alone; raises what is ticked."""
    now = timezone.now()
    standing = standing_points()
    stretch = stretch_of(
        keys_of(standing), request.GET.get("stretch"), whole=POINTS, at_once=POINTS_AT_ONCE
    )
    points = standing.filter(pk__in=list(stretch.object_list))
    found = check_register(now, points)
    if request.method == "POST":
        ticked = set(request.POST.getlist("raise"))
        chosen = [one for one in found if one.key in ticked]
        raised = raise_found(chosen, at=now, user=request.user)
        messages.success(request, f"{len(raised)} raised.")
        return redirect(request.get_full_path())
    to_measure, not_calculated = of_many(list(stretch.object_list), timezone.localdate(now))
    certain = [one for one in found if one.certain]
    return render(
        request,
        "today/register_check.html",
        {
            "certain": certain,
            "any_left": any(one.open_defect is None for one in certain),
            "cannot_say": [one for one in found if not one.certain],
            "to_measure": to_measure,
            "not_calculated": not_calculated,
            "stretch": stretch,
            "section": "defects",
        },
    )
