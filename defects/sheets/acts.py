"""Moves entered from a workbook: the same functions as the screens use, in the words of a row.

``kind`` and ``note`` of a row are together the note of an event: "Not ours: belongs to the
signalling" is the kind *not ours* and the note *belongs to the signalling*.
"""

import re
from dataclasses import dataclass
from datetime import datetime

from assets.departments import Department, departments_of
from defects.closing import evidence
from defects.models import Defect
from defects.moves import moves
from defects.moves.event_log import Behalf, Refused
from defects.words import Move, ReturnReason, State, TemporaryMeasure
from inspections.models import Examination, Reading

LIFTED = "lifted"
KINDS = (
    *((reason.value, reason.label) for reason in ReturnReason),
    *((m.value, m.label) for m in TemporaryMeasure if m != TemporaryMeasure.NONE),
    (LIFTED, "measure lifted"),
)
_LIFTED_NOTE = re.compile(r"Lifted \([^)]*\): (.*)", re.DOTALL)


@dataclass(frozen=True)
class Said:
    """One event as a row says it."""

    move: Move
    at: datetime
    note: str = ""
    kind: str = ""
    to: str = ""  # who holds it after it
    evidence: Reading | Examination | None = None
    agreed: bool = False
    done_at: datetime | None = None
    cause: Defect | None = None

    @property
    def found_by(self) -> dict[str, Reading | Examination | None]:
        return {
            "reading": self.evidence if isinstance(self.evidence, Reading) else None,
            "examination": self.evidence if isinstance(self.evidence, Examination) else None,
        }


def split_note(move: str, note: str) -> tuple[str, str]:
    """Kind and note of an event's note; the kind is "" where the move has none."""
    words = {Move.RETURN: ReturnReason, Move.MEASURE: TemporaryMeasure}.get(move, ())
    for word in words:
        start = f"{word.label.capitalize()}: "
        if note.startswith(start):
            return word.value, note.removeprefix(start)
    lifted = _LIFTED_NOTE.fullmatch(note) if move == Move.MEASURE else None
    return (LIFTED, lifted[1]) if lifted else ("", note)


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


def replay(defect: Defect, said: Said, actor: Behalf) -> Defect:
    """Makes the move that a row says; Refused with the column at fault."""
    act = _ACTS.get(said.move)
    if act is None:
        raise Refused(f'"{said.move.label}" is not an event that a row can enter.', "move")
    return act(defect, said, {"user": actor, "at": said.at})


def _hand_over(defect: Defect, said: Said, who: dict) -> Defect:
    return moves.hand_over(defect, **who, reason=said.note, to=said.to or None)


def _give_back(defect: Defect, said: Said, who: dict) -> Defect:
    if said.kind not in set(ReturnReason):
        raise Refused("Say of what kind the return is.", "kind")
    return moves.give_back(defect, **who, kind=said.kind, reason=said.note)


def _work_done(defect: Defect, said: Said, who: dict) -> Defect:
    return moves.work_done(defect, **who, note=said.note, done_at=said.done_at)


def _close(defect: Defect, said: Said, who: dict) -> Defect:
    if said.evidence is None and not said.agreed:
        raise Refused(
            f"Closing needs {evidence.what_is_needed(defect)}: name it as evidence. Without it "
            "only the responsible engineer may close, who agrees with a written reason.",
            "evidence",
        )
    return moves.close(defect, **who, **said.found_by, reason=said.note)


def _measure(defect: Defect, said: Said, who: dict) -> Defect:
    if said.kind == LIFTED:
        return moves.lift_temporary_measure(defect, **who, note=said.note)
    if said.kind not in set(TemporaryMeasure):
        raise Refused("Say which measure.", "kind")
    return moves.set_temporary_measure(defect, **who, measure=said.kind, note=said.note)


def _link(defect: Defect, said: Said, who: dict) -> Defect:
    if said.cause is None:
        raise Refused("Say in the sheet Defects, under Comes of, what caused this one.", "move")
    return moves.link_cause(defect, **who, cause=said.cause, note=said.note)


_ACTS = {
    Move.ACCEPT: lambda d, s, who: moves.accept(d, **who, note=s.note),
    Move.HAND_OVER: _hand_over,
    Move.RETURN: _give_back,
    Move.WORK_DONE: _work_done,
    Move.CLOSE: _close,
    Move.IN_ERROR: lambda d, s, who: moves.raise_in_error(d, **who, reason=s.note),
    Move.COMMENT: lambda d, s, who: moves.comment(d, **who, note=s.note),
    Move.EDIT: lambda d, s, who: moves.note_edit(d, **who, note=s.note),
    Move.MEASURE: _measure,
    Move.MEASURED_AGAIN: lambda d, s, who: moves.measured_again(
        d, **who, **s.found_by, note=s.note
    ),
    Move.LINK: _link,
}


def refuse_otherwise(defect: Defect, state: str | None, owner: str | None) -> None:
    """Refused where an event left the defect otherwise than its row says."""
    if state is not None and defect.state != state:
        raise Refused(f"After this it is {State(defect.state).label}.", "state")
    if owner is not None and defect.owner != owner:
        raise Refused(f"After this it is with {Department(defect.owner).label}.", "owner")
