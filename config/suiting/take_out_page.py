"""Taking a part out: what is missing without it, why it comes out, and where it is put."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render

from assets import fitting as service
from assets.days import day
from assets.departments import name_of
from assets.engineering.as_fitted import as_fitted
from assets.engineering.facts import PointsFacts
from assets.engineering.suitability import Answer, Outcome
from assets.fitting_forms import TakeOutForm
from assets.models import Fitting, Points
from assets.views.lookup import fitting_or_404
from config.points.reader import facts_of


def take_out(request, pk: int):
    fitting = fitting_or_404(pk)
    part = fitting.part
    form = TakeOutForm(request.POST or None, part=part, initial={"by": name_of(request.user)})
    missing = missing_without(fitting)
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            service.take_out(
                fitting,
                on=given["on"],
                by=given["by"],
                reason=given["reason"],
                put_away=form.put_away(),
            )
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            kept = f", kept at {part.kept_at}" if part.kept_at else ""
            messages.success(request, f"{part} is recorded as taken out{kept}.")
            say_missing(request, fitting, missing)
            return redirect(fitting.position.points)
    return render(
        request,
        "suiting/take_out.html",
        {
            "form": form,
            "fitting": fitting,
            "lead": f"It is at {fitting.position} since {day(fitting.fitted_on)}.",
            "missing": missing,
            "section": "points",
        },
    )


def say_missing(request, fitting: Fitting, sentences: list[str]) -> None:
    """What the points lack now that a part is out, beside what was recorded."""
    if sentences:
        at = fitting.position.points.key
        messages.warning(request, f"Missing at {at} now: {' '.join(sentences)}")


def missing_without(fitting: Fitting) -> list[str]:
    """What the points lack once a part is out: a sentence each."""
    points = Points.objects.with_places().get(pk=fitting.position.points_id)
    [before] = facts_of([points])
    return missing(before, fitting.position.order, str(fitting.part_field))


def missing(points: PointsFacts, order: int, kind: str) -> list[str]:
    """What points lack without the part of this kind at a place: a sentence each."""
    place = points.place(order)
    after = as_fitted(points.with_place(order, **{kind: None}))
    said = []
    if kind == "stretcher":
        said.append(f"There is no {place.name}.")
        said += _wrong(after.number)
    if kind == "machine" and place.driven:
        said.append("Nothing is recorded that moves the switch here.")
    drive = dict(after.lost_motion)
    said += [
        sentence
        for at, answer in drive.items()
        if at.order == order and kind != "machine"
        for sentence in _wrong(answer)
    ]
    return said


def _wrong(answer: Answer) -> list[str]:
    return [] if answer.outcome in (Outcome.SUITS, Outcome.CANNOT_SAY) else [answer.reason]
