"""Acts as a department's list has them: the same moves as the pages make."""

from collections.abc import Callable
from datetime import datetime

from assets.engineering.words import Vocabulary
from defects.models import Defect
from defects.moves import moves
from defects.moves.event_log import Behalf, Refused
from defects.words import ReturnReason, TemporaryMeasure


class Act(Vocabulary):
    """What a row may say was done; nothing where its cell is left blank."""

    NOTHING = "nothing"
    ACCEPT = "accept", "accepted"
    ACCEPT_AND_DO = "accept_and_do", "accepted and work done"
    WORK_DONE = "work_done"
    RETURN = "return", "returned"
    HAND_OVER = "hand_over", "handed over"
    COMMENT = "comment", "remark"
    MEASURE = "measure", "temporary measure"
    LIFT = "lift", "measure lifted"


NO_KIND = "none"
KINDS = (
    (NO_KIND, "no kind"),
    *((reason.value, reason.label) for reason in ReturnReason),
    *((m.value, m.label) for m in TemporaryMeasure if m != TemporaryMeasure.NONE),
)


def do(act: Act, defect: Defect, *, user: Behalf, at: datetime, note: str, kind: str) -> None:
    """Makes the moves of an act; raises Refused, its field that of the move or of the row."""
    if act in (Act.RETURN, Act.MEASURE):
        given = set(ReturnReason) if act == Act.RETURN else set(TemporaryMeasure)
        if kind not in given or kind == NO_KIND:
            raise Refused(f"Say of what kind: {act.label}.", "kind")
    elif kind != NO_KIND:
        raise Refused(f'Only "{Act.RETURN.label}" and "{Act.MEASURE.label}" have a kind.', "kind")
    _ACTS[act](defect, {"user": user, "at": at}, note, kind)


def _accept_and_do(defect: Defect, who: dict, note: str, kind: str) -> None:
    accepted = moves.accept(defect, **who)
    moves.work_done(accepted, **who, note=note)


_ACTS: dict[Act, Callable[[Defect, dict, str, str], object]] = {
    Act.ACCEPT: lambda d, who, note, kind: moves.accept(d, **who, note=note),
    Act.ACCEPT_AND_DO: _accept_and_do,
    Act.WORK_DONE: lambda d, who, note, kind: moves.work_done(d, **who, note=note),
    Act.RETURN: lambda d, who, note, kind: moves.give_back(d, **who, reason=note, kind=kind),
    Act.HAND_OVER: lambda d, who, note, kind: moves.hand_over(d, **who, reason=note),
    Act.COMMENT: lambda d, who, note, kind: moves.comment(d, **who, note=note),
    Act.MEASURE: lambda d, who, note, kind: moves.set_temporary_measure(
        d, **who, note=note, measure=kind
    ),
    Act.LIFT: lambda d, who, note, kind: moves.lift_temporary_measure(d, **who, note=note),
}
