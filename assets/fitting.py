"""Fitting a part, taking it out, moving it: each one transaction, dated, with who and why."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from assets.days import day

from .models import Fitting, Position
from .models.fittings import link_field


@transaction.atomic
def fit(
    part,
    position: Position,
    *,
    on: date,
    by: str,
    reason: str = "",
    found: bool = False,
    replacing: str = "",
) -> Fitting:
    """Records ``part`` as fitted at ``position``.

    ``replacing`` is why the part of that kind now there is taken out the same day; without it an
    occupied position is refused. ``found`` means it was found there on that day. Raises
    ValidationError, with nothing changed.
    """
    not_in_the_future(on)
    field = link_field(part)
    if replacing:
        present = Fitting.objects.current().filter(position=position, **{f"{field}__isnull": False})
        for fitting in present:
            take_out(fitting, on=on, by=by, reason=replacing)
    fitting = Fitting(
        position=position,
        fitted_on=on,
        fitted_by=by,
        fitted_reason=reason,
        found_fitted=found,
        **{field: part},
    )
    fitting.full_clean()
    fitting.save()
    return fitting


@transaction.atomic
def take_out(fitting: Fitting, *, on: date, by: str, reason: str) -> Fitting:
    """Records that a fitted part was taken out; ValidationError where it cannot have been."""
    not_in_the_future(on)
    if fitting.taken_out_on is not None:
        raise ValidationError(
            f"{fitting.part} was already taken out on {day(fitting.taken_out_on)}."
        )
    fitting.taken_out_on = on
    fitting.taken_out_by = by
    fitting.taken_out_reason = reason
    fitting.full_clean()
    fitting.save()
    return fitting


@transaction.atomic
def move(
    fitting: Fitting, to: Position, *, on: date, by: str, reason: str, replacing: str = ""
) -> Fitting:
    """Takes a part out of its position and fits it at another the same day."""
    take_out(fitting, on=on, by=by, reason=reason)
    return fit(fitting.part, to, on=on, by=by, reason=reason, replacing=replacing)


def not_in_the_future(on: date) -> None:
    """Refuses a day to come: ValidationError."""
    if on > timezone.localdate():
        raise ValidationError(f"{day(on)} is in the future: give the day of the work.")
