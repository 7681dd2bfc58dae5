"""How the railway tests locks and detection: seeing it, choosing, changing and confirming it."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from assets.departments import name_of
from inspections.catalogue.quantities import QUANTITIES
from inspections.forms.reference import RegimeForm
from inspections.models import Regime
from inspections.recording import regimes as choosing


def regimes(request):
    rows = list(Regime.objects.order_by("-in_force", "name", "pk"))
    for row in rows:
        row.tests = [(QUANTITIES[code], trial) for code, trial in row.trials.items()]
    return render(request, "inspections/regimes.html", {"regimes": rows, "section": "visits"})


def regime_new(request):
    return _form(request, Regime(), "A new test regime")


def regime_edit(request, pk: int):
    regime = get_object_or_404(Regime, pk=pk)
    return _form(request, regime, f"Change: {regime}")


def _form(request, regime: Regime, heading: str):
    form = RegimeForm(request.POST or None, instance=regime)
    if request.method == "POST" and form.is_valid():
        # Other figures than those that were confirmed need confirming again.
        form.instance.confirmed_by, form.instance.confirmed_on = "", None
        form.save()
        messages.success(request, f"Saved: {form.instance}. It is not confirmed yet.")
        return redirect("inspections:regimes")
    return render(
        request,
        "assets/form.html",
        {
            "form": form,
            "heading": heading,
            "button": "Save",
            "back": redirect("inspections:regimes").url,
            "section": "visits",
        },
    )


@require_POST
def regime_choose(request, pk: int):
    """Puts a regime in force, or ends the one that is."""
    regime = get_object_or_404(Regime, pk=pk)
    if regime.in_force:
        choosing.end(regime)
        messages.success(request, f"Ended: {regime}. No regime is in force now.")
        return redirect("inspections:regimes")
    added = choosing.put_in_force(regime, timezone.localdate())
    messages.success(request, f"In force: {regime}. Visits ask for its tests from now on.")
    if added:
        names = "; ".join(QUANTITIES[limit.quantity].label for limit in added)
        messages.warning(request, f"Limits were added, to be confirmed: {names}.")
    return redirect("inspections:regimes")


@require_POST
def regime_confirm(request, pk: int):
    regime = get_object_or_404(Regime, pk=pk)
    if regime.confirmed:
        messages.warning(request, f"{regime} was confirmed already, by {regime.confirmed_by}.")
    else:
        regime.confirmed_by = name_of(request.user)
        regime.confirmed_on = timezone.localdate()
        regime.save()
        messages.success(request, f"Confirmed: {regime}.")
    return redirect("inspections:regimes")
