"""What entering a row as something that a person did takes: for whom, when, and what is wrong."""

from collections.abc import Collection
from datetime import datetime

from django.core.exceptions import ValidationError

from assets.departments import Department, departments_of
from assets.sheets.loading import Loading
from defects.models import Defect
from defects.moves.event_log import Behalf, Refused


def on_behalf(name: str, department: str, account) -> Behalf:
    """Whoever a row names, entered by an account that may act for that department."""
    actor = Behalf(" ".join(name.split()), department, account)
    if not actor.name:
        raise Refused("Say who did it.", "by")
    if actor.answers_for_both:
        return actor
    own = departments_of(actor)
    if not department:
        raise Refused(
            "Say for which department; without one it is the responsible engineer's, which your "
            "post is not.",
            "department",
        )
    if department not in own:
        label = Department(department).label
        raise Refused(f"This was done for {label}, for which you may not act.", "department")
    return actor


def not_to_come(loading: Loading, at: datetime, field: str) -> None:
    if at > loading.now:
        raise ValidationError({field: "That time is in the future."})


def _answer(refused: Refused, **columns: str) -> ValidationError:
    """A refusal beside the column of the row that it is about."""
    field = columns.get(refused.field, refused.field)
    return ValidationError({field: refused.sentence} if field else refused.sentence)


def as_validation(do, **columns: str):
    """The function with what the moves refuse said as what is wrong with a row."""

    def done() -> None:
        try:
            do()
        except Refused as refused:
            raise _answer(refused, **columns) from refused

    return done


def name_the_workbook(loading: Loading, numbers: Collection[int]) -> None:
    """Gives the workbook as the reason why these defects changed, in their history."""
    made_here = Defect.history.filter(
        number__in=numbers, history_date__gte=loading.now, history_change_reason=None
    )
    made_here.update(history_change_reason=loading.reason)
