"""What may be done to a defect: one function for each move.

Every function is one transaction that locks the defect, refuses with a sentence what is not
allowed (see ``defects.moves.transitions``), and writes one event that stays. ``user`` is who acts;
``at`` is when; ``version`` is the state of the page that the person saw (by default the defect as
handed in). The moved defect is returned; the one handed in is left as it was.

Raises ``Refused`` where the move is not allowed, and ``Changed`` where somebody was quicker.
"""

from datetime import datetime

from django.db import transaction

from assets.departments import Department
from assets.engineering.words import Condition
from defects.closing import evidence
from defects.models import Defect
from defects.moves.event_log import (
    Changed,
    Refused,
    account_of,
    lock,
    needed,
    refuse_bad_fields,
    take,
    word_of,
    write,
)
from defects.moves.raising import due_date, raise_defect
from defects.moves.transitions import STEPS, Who, allowed, named, raised_for, refusal, standing_of
from defects.words import Move, OldPart, ReturnReason, State, TemporaryMeasure, Urgency
from inspections.models import Examination, Reading

__all__ = [
    "Changed",
    "Refused",
    "accept",
    "allowed",
    "close",
    "comment",
    "edit",
    "give_back",
    "hand_over",
    "lift_temporary_measure",
    "link_cause",
    "measured_again",
    "raise_defect",
    "raise_in_error",
    "set_temporary_measure",
    "work_done",
]


@transaction.atomic
def accept(defect: Defect, *, user, at: datetime, note: str = "", version=None) -> Defect:
    """The department that holds it will mend it."""
    defect = take(defect, Move.ACCEPT, user, version)
    return write(defect, Move.ACCEPT, user, at, note, mends=defect.owner)


@transaction.atomic
def hand_over(
    defect: Defect, *, user, at: datetime, reason: str, to: Department | None = None, version=None
) -> Defect:
    """To the other department: the mending, or after the work the checking."""
    defect = take(defect, Move.HAND_OVER, user, version)
    to = word_of(Department, to, "to") if to else other(defect.owner)
    if to == defect.owner:
        raise Refused(f"It is already with {to.label}.", "to")
    task = "checks" if defect.state == State.WORK_DONE else "mends"
    changes = {"owner": to.value, task: to.value}
    return write(defect, Move.HAND_OVER, user, at, needed(reason, "reason"), **changes)


@transaction.atomic
def give_back(
    defect: Defect, *, user, at: datetime, kind: ReturnReason, reason: str, version=None
) -> Defect:
    """Back to the department it came from; after the work, back to the one that mends."""
    defect = take(defect, Move.RETURN, user, version)
    kind = word_of(ReturnReason, kind, "kind")
    note, said = needed(reason, "reason"), {"return_kind": kind.value}
    if defect.state == State.WORK_DONE:
        if kind != ReturnReason.NOT_MENDED:
            raise Refused("After the work it can only be returned as not repaired yet.", "kind")
        return _back_to_work(defect, Move.RETURN, user, at, note, said)
    if kind == ReturnReason.NOT_MENDED:
        raise Refused("No work has been recorded as done yet.", "kind")
    giver = _giver(defect)
    if giver is None:
        raise Refused("It did not come from another department: hand it over instead.", "kind")
    changes = {"owner": giver}
    if kind == ReturnReason.NOT_OURS:
        changes["mends"] = giver
    return write(defect, Move.RETURN, user, at, note, said=said, **changes)


def _giver(defect: Defect) -> str | None:
    """The department that held it before, else that raised it, else that checks it."""
    holders = defect.events.order_by("-pk").values_list("owner", flat=True)
    before = (*holders, raised_for(defect), defect.checks)
    return next((holder for holder in before if holder and holder != defect.owner), None)


def _back_to_work(defect: Defect, move: Move, user, at, note: str, said: dict, **more) -> Defect:
    """The work did not mend it: it goes back to whoever mends it."""
    return write(
        defect,
        move,
        user,
        at,
        note,
        said=said,
        **more,
        state=State.RAISED.value,
        owner=defect.mends,
        work_done_at=None,
    )


@transaction.atomic
def work_done(
    defect: Defect,
    *,
    user,
    at: datetime,
    note: str,
    done_at: datetime | None = None,
    cause: str = "",
    version=None,
) -> Defect:
    """The work is done (at ``done_at``, by default now) and goes to the department that checks.

    What is measured from the minute of ``done_at`` on may prove it.
    """
    defect = take(defect, Move.WORK_DONE, user, version)
    done_at = (done_at or at).replace(second=0, microsecond=0)
    if done_at > at:
        raise Refused("The work cannot be done later than now.", "done_at")
    if done_at < defect.raised_at.replace(second=0, microsecond=0):
        raise Refused("The work cannot be done before the defect was raised.", "done_at")
    changes = {"owner": defect.checks, "work_done_at": done_at}
    if cause.strip():
        changes["cause"] = cause.strip()
    note, said = needed(note, "note"), {"done_at": done_at}
    return write(defect, Move.WORK_DONE, user, at, note, said=said, **changes)


@transaction.atomic
def close(
    defect: Defect,
    *,
    user,
    at: datetime,
    reading: Reading | None = None,
    examination: Examination | None = None,
    reason: str = "",
    cause: str = "",
    old_part: OldPart | str = "",
    version=None,
) -> Defect:
    """Closed on a reading or an examination, or on the engineer's written reason.

    ``evidence.refusal_to_close`` decides. ``old_part`` is what becomes of a stretcher that was
    replaced; it is done in the same act.
    """
    defect = lock(defect, version)
    step = STEPS.get((State(defect.state), Move.CLOSE))
    if cause.strip():
        defect.cause = cause.strip()
    sentence = evidence.refusal_to_close(
        defect, user=user, reading=reading, examination=examination, reason=reason
    )
    if step is None or sentence:
        raise Refused(sentence or refusal(defect, Move.CLOSE, user), "evidence")
    found = examination if reading is None else reading
    if found is not None and evidence.is_replacement(defect, found):
        reason = _away_with(defect, found, user, old_part)
    return write(
        defect,
        Move.CLOSE,
        user,
        at,
        reason.strip(),
        said={
            "reading": reading,
            "examination": examination,
            "agreed_by_engineer": reading is None and examination is None,
        },
        closed_at=at,
        cause=defect.cause,
    )


def _away_with(defect: Defect, found: Reading | Examination, user, old_part: str) -> str:
    """Sets the replaced stretcher aside or scraps it; what was done, in words."""
    old, new = defect.stretcher, found.stretcher
    if not old_part and (old.quarantined or old.condition == Condition.SCRAP):
        return f"Replaced by {new}."
    if not old_part:
        raise Refused(f"Say what becomes of {old}: it is replaced by {new}.", "old_part")
    becomes = word_of(OldPart, old_part, "old_part")
    if becomes == OldPart.SCRAPPED:
        old.condition = Condition.SCRAP.value
    else:
        old.quarantined = True
    old._history_user = account_of(user)
    old.save()
    return f"Replaced by {new}; {old} {becomes.label}."


@transaction.atomic
def raise_in_error(defect: Defect, *, user, at: datetime, reason: str, version=None) -> Defect:
    """It should not have been raised. What was found counts as not dealt with again."""
    defect = take(defect, Move.IN_ERROR, user, version)
    return write(defect, Move.IN_ERROR, user, at, needed(reason, "reason"))


@transaction.atomic
def comment(defect: Defect, *, user, at: datetime, note: str) -> Defect:
    """A remark; it takes nothing from anybody, so it never comes too late."""
    defect = take(defect, Move.COMMENT, user, None, stale_is_fine=True)
    return write(defect, Move.COMMENT, user, at, needed(note, "note"))


@transaction.atomic
def set_temporary_measure(
    defect: Defect, *, user, at: datetime, measure: TemporaryMeasure, note: str, version=None
) -> Defect:
    """What protects trains until it is mended; stays in sight until it is lifted."""
    defect = take(defect, Move.MEASURE, user, version)
    measure = word_of(TemporaryMeasure, measure, "measure")
    if measure == TemporaryMeasure.NONE:
        raise Refused("Choose a measure. To end one, lift it.", "measure")
    if not defect.is_open:
        raise Refused("This defect is not open: raise a new one for a new measure.", "measure")
    note, said = needed(note, "note"), {"measure": measure.value}
    return write(defect, Move.MEASURE, user, at, note, said=said, temporary_measure=measure.value)


@transaction.atomic
def lift_temporary_measure(
    defect: Defect, *, user, at: datetime, note: str, version=None
) -> Defect:
    """Ends the measure: for the department that checks, which answers for what is measured."""
    defect = take(defect, Move.MEASURE, user, version)
    if defect.temporary_measure == TemporaryMeasure.NONE:
        raise Refused("There is no temporary measure to lift.", "note")
    if Who.CHECKER not in standing_of(defect, user, Who.CHECKER):
        raise Refused(f"Only {Who.CHECKER.label} may lift it{named(defect, Who.CHECKER)}.", "note")
    note, said = needed(note, "note"), {"measure": defect.temporary_measure, "lifted": True}
    none = TemporaryMeasure.NONE.value
    return write(defect, Move.MEASURE, user, at, note, said=said, temporary_measure=none)


EDITABLE = ("title", "description", "remedy", "urgency", "due_on", "cause")


@transaction.atomic
def edit(defect: Defect, *, user, at: datetime, version=None, **details) -> Defect:
    """Changes details (see EDITABLE); the event says what each was and is."""
    defect = take(defect, Move.EDIT, user, version)
    unknown = set(details) - set(EDITABLE)
    if unknown:
        raise Refused(f"Not a detail that can be changed: {', '.join(sorted(unknown))}.")
    before = {name: getattr(defect, name) for name in EDITABLE}
    after = {name: v.strip() if isinstance(v, str) else v for name, v in details.items()}
    urgency = word_of(Urgency, after.get("urgency", defect.urgency), "urgency")
    if urgency != defect.urgency and after.get("due_on", defect.due_on) == defect.due_on:
        after["due_on"] = due_date(urgency, defect.raised_at)
    changed = {name: value for name, value in after.items() if value != before[name]}
    if not changed:
        raise Refused("Nothing was changed.")
    for name, value in changed.items():
        setattr(defect, name, value)
    refuse_bad_fields(defect)
    note = "; ".join(_change_in_words(name, before[name], value) for name, value in changed.items())
    return write(defect, Move.EDIT, user, at, note, **changed)


def _change_in_words(name: str, before, after) -> str:
    label = Defect._meta.get_field(name).verbose_name
    if name == "urgency":
        before, after = Urgency(before).label, Urgency(after).label
    return f'{label}: "{before or "nothing"}" became "{after or "nothing"}"'


@transaction.atomic
def link_cause(
    defect: Defect, *, user, at: datetime, cause: Defect, note: str = "", version=None
) -> Defect:
    """This defect was caused by another: low clearance comes first, the cracked gooseneck after."""
    defect = take(defect, Move.LINK, user, version)
    above = cause
    while above is not None:
        if above.pk == defect.pk:
            raise Refused(f"Defect {cause.number} is already caused by this one.", "cause")
        above = above.caused_by
    return write(defect, Move.LINK, user, at, note, said={"other": cause}, caused_by=cause)


@transaction.atomic
def measured_again(
    defect: Defect,
    *,
    user,
    at: datetime,
    reading: Reading | None = None,
    examination: Examination | None = None,
    urgency: Urgency | None = None,
    note: str = "",
    version=None,
) -> Defect:
    """Found again while open, and still out; after the work that sends it back to be mended.

    ``urgency`` is what the finding alone would ask: a defect that was less urgent becomes as
    urgent, and due as soon.
    """
    defect = take(defect, Move.MEASURED_AGAIN, user, version)
    finding = reading or examination
    if finding is None:
        raise Refused("Say which reading or examination found it again.")
    if not evidence.same_finding(defect, type(finding)).filter(pk=finding.pk).exists():
        raise Refused("That is of another item or place, or was corrected.")
    said, more = {"reading": reading, "examination": examination}, {}
    if urgency is not None and urgency.before(defect.urgency):
        due = due_date(urgency, at)
        more = {"urgency": urgency.value, "due_on": min(due, defect.due_on or due)}
        said["urgency"] = urgency.value
    since = defect.work_done_at
    if since is not None and finding.inspection.at >= since:
        return _back_to_work(defect, Move.MEASURED_AGAIN, user, at, note, said, **more)
    return write(defect, Move.MEASURED_AGAIN, user, at, note, said=said, **more)


def other(department: str) -> Department:
    """The other of the two departments."""
    return next(d for d in Department if d != department)
