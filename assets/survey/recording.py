"""What was found on a set of points, put in the register: all of it or nothing."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import models, transaction

from assets import fitting
from assets.engineering.words import Role
from assets.models import LostMotionFitting, Machine, Points, Position, Stretcher

from .questions import NONE, NONE_IF_NONE, NOT_SEEN, ONLY_IF, FoundForm, FoundMachine, FoundPlace
from .survey import Survey

NOT_SAVED = "Not saved yet: correct the marked boxes."


@transaction.atomic
def record(points: Points, survey: Survey) -> list[str]:
    """Saves what a valid survey found; one sentence for each thing recorded.

    A part with a tag that the register has is that part: only what was looked at is put in it.
    What is refused is put beside the box that it is about and nothing is saved: ValidationError.
    """
    on, by = survey.day.cleaned_data["on"], survey.day.cleaned_data["by"]
    done, failed = [], False
    for form in survey.forms:
        try:
            with transaction.atomic():
                if isinstance(form, FoundPlace):
                    done += _place(points, form, on, by)
                elif isinstance(form, FoundMachine):
                    done += _at_the_drive(points, form, on, by)
                elif _put(points, form.answers(Points)):
                    done.append("what is of the points recorded")
        except ValidationError as problem:
            _say(form, problem)
            failed = True
    if failed:
        raise ValidationError(NOT_SAVED)
    return done


def _place(points: Points, form: FoundPlace, on: date, by: str) -> list[str]:
    if not form.is_there:
        return []
    position = form.things[Position] or Position(points=points, order=form.order)
    position.points = points
    given = {**form.answers(Position), "role": form.role}
    if form.role == Role.DRIVE:
        given["driven"] = True  # what is known of the other places stays
    new = position.pk is None
    changed = _put(position, given)
    if not form.cleaned_data["tag"]:
        return [f"{position.name} recorded"] if new or changed else []
    return [_part(Stretcher, position, form, f"as {position.name}", on, by)]


def _at_the_drive(points: Points, form: FoundMachine, on: date, by: str) -> list[str]:
    if not form.cleaned_data["tag"]:
        return []
    try:
        position = Position.objects.at(points, form.cleaned_data["at"])
    except Position.DoesNotExist as problem:
        raise ValidationError({"at": str(problem)}) from None
    [model] = form.facts
    return [_part(model, position, form, f"as the {model._meta.verbose_name}", on, by)]


def _part(
    model: type[Stretcher] | type[Machine] | type[LostMotionFitting],
    position: Position,
    form: FoundForm,
    called: str,
    on: date,
    by: str,
) -> str:
    part = form.things[model] or model(tag=form.cleaned_data["tag"])
    _put(part, form.answers(model))
    present = part.current_fitting()
    if present and present.position_id == position.pk:
        return f"{part} confirmed {called}"
    try:
        fitting.fit(part, position, on=on, by=by, found=True)
    except ValidationError as problem:
        raise ValidationError({"tag": problem.messages}) from None
    return f"{part} recorded {called}"


def _put(thing: models.Model, given: dict) -> bool:
    """Puts what was looked at in the thing and saves it; False where nothing is new."""
    new = {name: value for name, value in given.items() if getattr(thing, name) != value}
    if thing.pk is not None and not new:
        return False
    for name, value in new.items():
        setattr(thing, name, value)
    for name, (other, _) in ONLY_IF.items():
        # What hung on the fact as it was recorded is not known of the fact as it was found.
        if (
            other in new
            and name not in given
            and isinstance(getattr(thing, name, None), str | bool)
        ):
            there_is_none = name in NONE_IF_NONE and new[other] in (False, NONE)
            not_known = NOT_SEEN if isinstance(getattr(thing, name), str) else None
            setattr(thing, name, NONE if there_is_none else not_known)
    thing.full_clean()
    thing.save()
    return True


def _say(form: FoundForm, problem: ValidationError) -> None:
    """Puts each message beside its box where the form has one, else above the form."""
    if not hasattr(problem, "error_dict"):
        form.add_error(None, problem.messages)
        return
    for field, messages in problem.message_dict.items():
        form.add_error(field if field in form.fields else None, messages)
