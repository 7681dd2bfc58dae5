"""Fitting a part at a place, and moving one there: the result first, then the work it took, then by
whom and when. The result is worked out again as the part is after that work."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render

from assets import fitting as service
from assets.days import day
from assets.departments import name_of
from assets.fitting_forms import FitForm, MoveForm
from assets.kinds import kind_of
from assets.models import Fitting
from assets.views.lookup import fitting_or_404, kind_or_404, position_or_404
from config.suiting import suits
from config.suiting.judging import judge
from config.suiting.take_out_page import missing_without, say_missing


def fit(request, code: str, number: str, order: int, kind: str):
    """Fit a spare at a position; one that does not suit asks for a written reason."""
    asked = kind_or_404(kind, at_a_place=True)
    position = position_or_404(code, number, order)
    present = fitting_at(position, kind)
    tag = request.POST.get("part") or request.GET.get("part")
    chosen = asked.model.objects.spare().filter(tag__iexact=tag).first() if tag else None
    form = FitForm(
        request.POST or None,
        kind=asked,
        present=present.part if present else None,
        chosen=chosen,
        initial={"by": name_of(request.user), "part": chosen.tag if chosen else None},
    )
    if request.method == "POST" and form.is_valid():
        fitted = _fit(form, position)
        if fitted:
            _say(request, fitted, "fitted at")
            return redirect(position.points)
    return render(
        request,
        "suiting/fit.html",
        {
            "form": form,
            "position": position,
            "points": position.points,
            "present": present,
            "chosen": chosen,
            "offer": suits.spares_for(position, [chosen])[0] if chosen else None,
            "kind": kind,
            "kind_name": asked.name,
            "section": "points",
        },
    )


def fitting_at(position, kind: str) -> Fitting | None:
    """The part of a kind that is at a position now."""
    current = Fitting.objects.current().filter(position=position, **{f"{kind}__isnull": False})
    return current.select_related(kind).first()


def _fit(form: FitForm, position) -> Fitting | None:
    given = form.cleaned_data
    try:
        return service.fit(
            given["part"],
            position,
            on=given["on"],
            by=given["by"],
            reason=given["reason"],
            found=given["found"],
            replacing=given.get("replacing", ""),
            put_away=form.put_away(),
            work=form.work(),
            judge=judge,
        )
    except ValidationError as problem:
        _refuse(form, problem)
        return None


def move(request, pk: int):
    """Move a fitted part to another position, where it is judged as if it came from the store."""
    fitting = fitting_or_404(pk)
    form = MoveForm(request.POST or None, fitting=fitting, initial={"by": name_of(request.user)})
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        left = missing_without(fitting)
        try:
            moved = service.move(
                fitting,
                given["to"],
                on=given["on"],
                by=given["by"],
                reason=given["reason"],
                replacing=given["replacing"],
                put_away=service.PutAway(given["kept_at"]),
                work=form.work(),
                judge=judge,
            )
        except ValidationError as problem:
            _refuse(form, problem)
        else:
            _say(request, moved, "moved to")
            say_missing(request, fitting, left)
            return redirect(moved.position.points)
    return render(
        request,
        "suiting/move.html",
        {
            "form": form,
            "fitting": fitting,
            "address": kind_of(fitting.part).address,
            "lead": f"It is at {fitting.position} since {day(fitting.fitted_on)}.",
            "section": "points",
        },
    )


def _refuse(form, problem: ValidationError) -> None:
    """Puts what does not suit beside the reason, and the rest above the form."""
    if hasattr(problem, "error_dict") and "fitted_reason" in problem.error_dict:
        form.add_error("reason", problem.message_dict["fitted_reason"])
    else:
        form.add_error(None, problem.messages)


def _say(request, fitted: Fitting, where: str) -> None:
    """What was recorded, how it was judged as it is now, and what is left to do."""
    [judged] = judge([fitted])
    told = f"{fitted.part} is recorded as {where} {fitted.position}: {judged.outcome.label}."
    if fitted.is_against_the_verdict:
        told += f" {fitted.against} It stays marked until the responsible engineer agrees to it."
    elif judged.to_do:
        told += f" Still to do: {'; '.join(judged.to_do)}."
    messages.success(request, told)
