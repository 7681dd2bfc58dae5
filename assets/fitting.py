"""Fitting a part, taking it out, moving it: each one transaction, dated, with who and why.

What the rules say of a part at a place needs visits and defects besides the register, so whoever
calls hands in what judges (``Judge``). A part that does not suit is fitted for a written reason
only, and stays marked.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from assets.days import day
from assets.engineering.suitability.answers import Outcome
from assets.engineering.words import Condition

from .models import Fitting, Position
from .models.fittings import link_field
from .models.parts import Part
from .work import Work


@dataclass(frozen=True)
class Judged:
    """What the rules say of a part at its place."""

    outcome: Outcome
    against: str = ""  # the first rule that fails, where it does not suit
    to_do: tuple[str, ...] = ()  # work left, and what has still to be looked at


# Judges fittings, saved or not, by the register as it is: one result each, in their order.
Judge = Callable[[Sequence[Fitting]], list[Judged]]


@dataclass(frozen=True)
class PutAway:
    """Where a part that comes out is put, and how it is; what is not said stays as it was."""

    kept_at: str = ""
    condition: Condition | None = None
    set_aside: bool = False

    def done_to(self, part: Part) -> None:
        part.kept_at = self.kept_at or part.kept_at
        part.condition = part.condition if self.condition is None else self.condition.value
        part.quarantined = part.quarantined or self.set_aside


def without_a_reason(fitting: Fitting, judged: Judged) -> str:
    """Why it is refused, and how to put that right; "" where it may be fitted."""
    if judged.outcome is not Outcome.DOES_NOT_SUIT or fitting.found_fitted:
        return ""
    if fitting.fitted_reason.strip():
        return ""
    return (
        f"{fitting.part} does not suit {fitting.position}. {judged.against} If it is fitted all "
        'the same, give the reason in "Why it was fitted"; if it was only found there, mark '
        '"Found fitted".'
    )


@transaction.atomic
def fit(
    part: Part,
    position: Position,
    *,
    on: date,
    by: str,
    reason: str = "",
    found: bool = False,
    replacing: str = "",
    put_away: PutAway | None = None,
    work: Work | None = None,
    judge: Judge | None = None,
) -> Fitting:
    """Records ``part`` as fitted at ``position``, and in its facts the ``work`` done for that.

    ``replacing`` is why the part of that kind now there is taken out the same day, and ``put_away``
    where that one is put; without a reason an occupied position is refused. ``found`` means it was
    found there on that day. ``judge`` judges it as it is after the work; without one it stands as
    not judged. Raises ValidationError with nothing changed but ``part`` itself, which then has to
    be read again.
    """
    not_in_the_future(on)
    work = work or Work()
    if found and work:
        raise ValidationError(
            "A part that was found fitted was not worked on that day: leave the work out, or say "
            "that it was fitted."
        )
    field = link_field(part)
    if replacing:
        present = Fitting.objects.current().filter(position=position, **{f"{field}__isnull": False})
        for fitting in present:
            take_out(fitting, on=on, by=by, reason=replacing, put_away=put_away)
    fitting = Fitting(
        position=position,
        fitted_on=on,
        fitted_by=by,
        fitted_reason=reason,
        found_fitted=found,
        work_done=work.in_words(),
        **{field: part},
    )
    fitting.set_order_on_day()
    fitting.full_clean()
    if work or part.kept_at:
        work.do(part)
        part.kept_at = ""  # where it lay in the store
        _keep(part, f"fitted at {position}")
    if judge is not None:
        [judged] = judge([fitting])
        refusal = without_a_reason(fitting, judged)
        if refusal:
            raise ValidationError({"fitted_reason": refusal})
        fitting.outcome, fitting.against = judged.outcome.value, judged.against
        fitting.full_clean()
    fitting.save()
    return fitting


@transaction.atomic
def take_out(
    fitting: Fitting, *, on: date, by: str, reason: str, put_away: PutAway | None = None
) -> Fitting:
    """Records that a fitted part was taken out, and where it was put.

    ValidationError where it cannot have been.
    """
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
    if put_away not in (None, PutAway()):
        put_away.done_to(fitting.part)
        _keep(fitting.part, f"taken out of {fitting.position}")
    return fitting


@transaction.atomic
def move(
    fitting: Fitting,
    to: Position,
    *,
    on: date,
    by: str,
    reason: str,
    replacing: str = "",
    put_away: PutAway | None = None,
    work: Work | None = None,
    judge: Judge | None = None,
) -> Fitting:
    """Takes a part out of its position and fits it at another the same day, as ``fit`` does."""
    take_out(fitting, on=on, by=by, reason=reason)
    return fit(
        fitting.part,
        to,
        on=on,
        by=by,
        reason=reason,
        replacing=replacing,
        put_away=put_away,
        work=work,
        judge=judge,
    )


@transaction.atomic
def agree(fitting: Fitting, *, by: str, words: str) -> Fitting:
    """Records today that the responsible engineer agrees to a part that does not suit.

    ValidationError where there is nothing to agree to.
    """
    if not Fitting.objects.against_the_verdict().filter(pk=fitting.pk).exists():
        raise ValidationError(f"{fitting.part} is not waiting for agreement.")
    fitting.agreed_on, fitting.agreed_by, fitting.agreement = timezone.localdate(), by, words
    fitting.full_clean()
    fitting.save()
    return fitting


def _keep(part: Part, why: str) -> None:
    part.full_clean()
    part._change_reason = why
    part.save()


def not_in_the_future(on: date) -> None:
    """Refuses a day to come: ValidationError."""
    if on > timezone.localdate():
        raise ValidationError(f"{day(on)} is in the future: give the day of the work.")
