"""The railway's limits: seeing them, entering and changing them, and confirming them."""

from itertools import groupby

from django.contrib import messages
from django.db.models import Exists, OuterRef, Q
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from assets.departments import name_of
from inspections.catalogue.quantities import QUANTITIES
from inspections.forms.limit import LimitForm
from inspections.models import Limit, Reading
from inspections.verdicts.verdicts_a_limit_changes import calculated_changes_by, changes_by
from inspections.words import Level, QuantityCode, Scope


def limits(request):
    today = timezone.localdate()
    past = "past" in request.GET
    present = set(Limit.objects.in_force(today).values_list("pk", flat=True))
    rows = Limit.objects.all()
    if not past:
        rows = rows.filter(Q(pk__in=present) | Q(effective_from__gt=today))
    rows = rows.select_related("rail_section", "design", "points__location").annotate(
        has_judged=Exists(Reading.objects.filter(limit=OuterRef("pk")))
    )
    order = {code: place for place, code in enumerate(QUANTITIES)}
    levels, scopes = list(Level), list(Scope)
    rows = sorted(
        rows,
        key=lambda row: (
            order[QuantityCode(row.quantity)],
            scopes.index(row.scope),
            row.scope_key,
            levels.index(row.level),
            -row.effective_from.toordinal(),
            row.pk,
        ),
    )
    for row in rows:
        row.stands = _standing(row, present, today)
    groups = [
        (QUANTITIES[QuantityCode(code)], list(members))
        for code, members in groupby(rows, key=lambda row: row.quantity)
    ]
    without = [q for code, q in QUANTITIES.items() if code not in {q.code for q, _ in groups}]
    return render(
        request,
        "inspections/limits.html",
        {"groups": groups, "without": without, "past": past, "section": "visits"},
    )


def _standing(limit: Limit, present: set[int], today) -> str:
    if limit.effective_from > today:
        return "to come"
    if limit.pk not in present:
        return "past"
    return "ends the one before" if limit.minimum is limit.maximum is None else "in force"


def limit_new(request):
    """Add a limit; ``?like=`` begins from an older one, which stays as it was."""
    initial = {"effective_from": timezone.localdate()}
    like = request.GET.get("like", "")
    if like.isdecimal():
        older = get_object_or_404(Limit, pk=like)
        copied = ("quantity", "level", "scope", "rail_section", "layout", "design", "points")
        for name in (*copied, "minimum", "nominal", "maximum", "reason", "source"):
            initial[name] = getattr(older, f"{name}_id", getattr(older, name))
    form = LimitForm(request.POST or None, initial=initial)
    return _limit_form(request, form, "Add a limit")


def limit_edit(request, pk: int):
    """Puts right a limit that has judged nothing yet; one that has stays as it is."""
    limit = get_object_or_404(Limit, pk=pk)
    if limit.readings.exists():
        messages.warning(
            request,
            "This limit has judged readings and stays with them: enter the new figures here, to "
            "apply from a later day.",
        )
        return redirect(f"{reverse('inspections:limit_new')}?like={limit.pk}")
    form = LimitForm(request.POST or None, instance=limit)
    return _limit_form(request, form, f"Correct: {limit}")


def _limit_form(request, form: LimitForm, heading: str):
    changes, calculated, not_calculated = None, [], 0
    if request.method == "POST" and form.is_valid():
        changes = changes_by(form.instance, timezone.localdate())
        calculated, not_calculated = calculated_changes_by(form.instance, timezone.localdate())
        mark = form.mark_of(changes)
        if "save" in request.POST and form.cleaned_data["seen"] == mark:
            # Other figures than those that were confirmed need confirming again.
            form.instance.confirmed_by, form.instance.confirmed_on = "", None
            form.save()
            messages.success(request, f"Saved: {form.instance}. It is not confirmed yet.")
            return redirect("inspections:limits")
        form.data = form.data.copy()
        form.data["seen"] = mark
    return render(
        request,
        "inspections/limit_form.html",
        {
            "form": form,
            "heading": heading,
            "changes": changes,
            "calculated": calculated,
            "not_calculated": not_calculated,
            "section": "visits",
        },
    )


@require_POST
def limit_confirm(request, pk: int):
    limit = get_object_or_404(Limit, pk=pk)
    if limit.confirmed:
        messages.warning(request, f"{limit} was confirmed already, by {limit.confirmed_by}.")
    else:
        limit.confirmed_by = name_of(request.user)
        limit.confirmed_on = timezone.localdate()
        limit.save()
        messages.success(request, f"Confirmed: {limit}.")
    return redirect("inspections:limits")
