"""Raising a defect by hand."""

from django.contrib import messages
from django.shortcuts import redirect, render
from django.utils import timezone

from defects.forms import ChoosePointsForm, RaiseForm
from defects.models import Defect
from defects.moves import moves
from defects.moves.raising import found_by_hand
from defects.routing.routing import found_of


def raise_by_hand(request):
    """First which points (?points=SKB+12), then what is wrong there."""
    chosen = ChoosePointsForm(request.GET if "points" in request.GET else None)
    if not chosen.is_valid():
        context = {"form": chosen, "section": "defects"}
        return render(request, "defects/raise_where.html", context)
    points = chosen.cleaned_data["points"]
    first = {"position": request.GET.get("position"), "found": request.GET.get("found")}
    form = RaiseForm(request.POST or None, points=points, initial=first)
    if request.method == "POST" and form.is_valid():
        values = {name: value for name, value in form.cleaned_data.items() if value}
        found = found_of(values.pop("found", ""))
        finding = found_by_hand(points, found, values.pop("position", None))
        try:
            defect = moves.raise_defect(
                finding, points=points, user=request.user, at=timezone.now(), **values
            )
        except moves.Refused as refused:
            form.add_error(
                refused.field if refused.field in form.fields else None, refused.sentence
            )
        else:
            messages.success(request, f"Defect {defect.number} raised.")
            return redirect(defect)
    return render(
        request,
        "defects/raise.html",
        {
            "form": form,
            "points": points,
            "open_here": Defect.objects.open().filter(points=points).most_urgent_first(),
            "section": "defects",
        },
    )
