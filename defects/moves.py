"""What may be done to a defect: the table of moves, and one function for each.

Every function is one transaction that locks the defect, refuses with a sentence what is not
allowed, and writes one event that stays. ``user`` is who acts; ``at`` is when; ``version`` is the
state of the page that the person saw (by default the defect as handed in). The moved defect is
returned; the one handed in is left as it was.

Raises ``Refused`` where the move is not allowed, and ``Changed`` where somebody was quicker.
"""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.db.models import Q
from django.utils import timezone

from assets.departments import Department, Post, departments_of, name_of, posts_of
from assets.engineering.words import Vocabulary
from assets.models import Points, Position
from assets.models.fittings import link_field
from defects import evidence, routing
from defects.models import Defect, Event
from defects.words import Move, ReturnReason, State, TemporaryMeasure, Urgency
from inspections.models import Examination, Reading

REPEAT_WITHIN = timedelta(days=365)


class Refused(Exception):
    """A move that is not allowed; the sentence is for people, ``field`` the box it belongs to."""

    def __init__(self, sentence: str, field: str = ""):
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


class Changed(Refused):
    """Somebody acted on the defect meanwhile; ``events`` are what they did, oldest first."""

    def __init__(self, events: list[Event]):
        done = "; ".join(_in_words(event) for event in events)
        super().__init__(f"The defect changed meanwhile: {done}. Look again, then decide.")
        self.events = events


def _in_words(event: Event) -> str:
    note = f" ({event.note})" if event.note else ""
    return f"{Move(event.move).label} by {event.by} at {timezone.localtime(event.at):%H:%M}{note}"


class Who(Vocabulary):
    """Who may make a move. The responsible engineer answers for both departments."""

    HOLDER = "holder", "the department that holds it"
    RAISER = "raiser", "the department that raised it"
    PARTY = "party", "a department that holds, mends or checks it"
    CHECKER = "checker", "the department that checks it"
    ENGINEER = "engineer", "the responsible engineer"
    ANY = "any", "either department"


@dataclass(frozen=True)
class Step:
    """Where a move leads and who may make it; ``to`` None leaves the state as it is."""

    to: State | None
    who: Who


_ANY_STATE = tuple(State)
_OPEN = tuple(state for state in State if state.is_open)
_BEFORE_WORK = (State.RAISED, State.ACCEPTED)

STEPS: dict[tuple[State, Move], Step] = {
    (State.RAISED, Move.ACCEPT): Step(State.ACCEPTED, Who.HOLDER),
    (State.ACCEPTED, Move.WORK_DONE): Step(State.WORK_DONE, Who.HOLDER),
    **{(state, Move.HAND_OVER): Step(State.RAISED, Who.HOLDER) for state in _BEFORE_WORK},
    # After the work it is the checking that is handed over.
    (State.WORK_DONE, Move.HAND_OVER): Step(None, Who.HOLDER),
    **{(state, Move.RETURN): Step(State.RAISED, Who.HOLDER) for state in _OPEN},
    (State.WORK_DONE, Move.CLOSE): Step(State.CLOSED, Who.HOLDER),
    **{(state, Move.CLOSE): Step(State.CLOSED, Who.ENGINEER) for state in _BEFORE_WORK},
    **{(state, Move.IN_ERROR): Step(State.IN_ERROR, Who.RAISER) for state in _BEFORE_WORK},
    **{(state, Move.COMMENT): Step(None, Who.ANY) for state in _ANY_STATE},
    **{(state, Move.EDIT): Step(None, Who.PARTY) for state in _OPEN},
    **{(state, Move.MEASURED_AGAIN): Step(None, Who.ANY) for state in _OPEN},
    **{(state, Move.LINK): Step(None, Who.ANY) for state in _ANY_STATE},
    **{(state, Move.MEASURE): Step(None, Who.ANY) for state in _OPEN},
    # A measure outlasts the defect until somebody lifts it.
    **{(state, Move.MEASURE): Step(None, Who.CHECKER) for state in (State.CLOSED, State.IN_ERROR)},
}


def refusal(defect: Defect, move: Move, user) -> str:
    """Why this user may not make this move now; "" where they may."""
    step = STEPS.get((State(defect.state), move))
    if step is None:
        return f"Defect {defect.number} is {State(defect.state).label}: it cannot be {move.label}."
    if step.who not in _standing_of(defect, user, asked=step.who):
        return f"This is for {step.who.label}{_named(defect, step.who)}."
    return ""


def allowed(defect: Defect, user) -> list[Move]:
    """The moves this user may make now, in the order of the vocabulary."""
    return [move for move in Move if move != Move.RAISE and not refusal(defect, move, user)]


def _standing_of(defect: Defect, user, asked: Who) -> set[Who]:
    """What the user is to this defect; who raised it is looked up only when asked for."""
    departments = departments_of(user) if user is not None else frozenset()
    standing = {Who.ANY} if departments else set()
    if Post.ENGINEER in (posts_of(user) if user is not None else ()):
        standing.add(Who.ENGINEER)
    if defect.owner in departments:
        standing.add(Who.HOLDER)
    if defect.checks in departments:
        standing.add(Who.CHECKER)
    if departments & {defect.owner, defect.mends, defect.checks}:
        standing.add(Who.PARTY)
    if asked == Who.RAISER and (_raised_for(defect) or defect.checks) in departments:
        standing.add(Who.RAISER)
    return standing


def _named(defect: Defect, who: Who) -> str:
    if who == Who.HOLDER:
        return f": {Department(defect.owner).label}"
    if who == Who.CHECKER:
        return f": {Department(defect.checks).label}"
    return ""


def _raised_for(defect: Defect) -> str:
    """The department that raised it; "" where nobody's department did."""
    first = defect.events.order_by("pk").values_list("department", flat=True).first()
    return first or ""


def other(department: str) -> Department:
    """The other of the two departments."""
    return next(d for d in Department if d != department)


# --- raising ---------------------------------------------------------------------------------


@transaction.atomic
def raise_defect(
    *,
    points: Points,
    at: datetime,
    user=None,
    by: str = "",
    title: str = "",
    found: str = "",
    reading: Reading | None = None,
    examination: Examination | None = None,
    position: Position | None = None,
    part=None,
    description: str = "",
    remedy: str | None = None,
    urgency: Urgency | None = None,
    mends: Department | None = None,
    checks: Department | None = None,
    due_on: date | None = None,
    table: dict | None = None,
) -> Defect:
    """A new defect, with what is not said taken from the routing table.

    A repeat (the same found at the same place within a year) is linked to the last one and made
    one step more urgent, unless the urgency is given. ``user`` None is the program itself acting
    when asked (a register check); then ``by`` names it.
    """
    acting = _acting_for(user)
    if user is not None and not departments_of(user):
        raise Refused("Raising a defect is for a department: signalling or permanent way.")
    finding = reading or examination
    if finding is not None and finding.inspection.points_id != points.pk:
        raise Refused(f"That was found at {finding.inspection.points}, not at {points}.")
    if position is None and finding is not None:
        position = finding.position
    if position is not None and position.points_id != points.pk:
        raise Refused(f"{position} is not a place of {points}.", "position")
    found = found or _found(reading, examination)
    route = routing.route_for(found, table)
    earlier = last_of(points, position, found, reading)
    repeat_of = earlier if earlier is not None and _counts(earlier, at, reading) else None
    if urgency is None:
        soon = repeat_of is not None and _within_a_year(repeat_of, at)
        urgency = route.urgency.raised if soon else route.urgency
    mends = Department(mends or (route.mends if route.row else acting or Department.SIGNALLING))
    checks = Department(checks or (route.checks if route.row else acting or mends))
    defect = Defect(
        points=points,
        position=position,
        route=route.row,
        found=found,
        reading=reading,
        examination=examination,
        title=(title or route.title).strip(),
        description=_with_note(description, route.note),
        remedy=(route.remedy if remedy is None else remedy).strip(),
        urgency=Urgency(urgency).value,
        owner=mends.value,
        mends=mends.value,
        checks=checks.value,
        raised_at=at,
        raised_by=by or name_of(user),
        due_on=due_on or due_date(urgency, at),
        needs_cause=route.needs_cause,
        repeat_of=repeat_of,
        **({link_field(part): part} if part is not None else {}),
    )
    _refuse_bad_fields(defect)
    _number_and_save(defect)
    note = f"Repeat of defect {repeat_of.number}." if repeat_of else ""
    return _write(
        defect, Move.RAISE, user, at, note, by=by, reading=reading, examination=examination
    )


def _found(reading: Reading | None, examination: Examination | None) -> str:
    if reading is not None:
        return routing.found_in_reading(reading)
    return routing.item_code(examination.item) if examination is not None else ""


def _with_note(description: str, note: str) -> str:
    return "\n".join(text for text in (description.strip(), note) if text)


def due_date(urgency: Urgency, raised_at: datetime) -> date:
    """The day by which a defect of this urgency should be closed, on the railway's calendar."""
    return timezone.localtime(raised_at).date() + timedelta(days=Urgency(urgency).days)


def last_of(
    points: Points, position: Position | None, found: str, reading: Reading | None = None
) -> Defect | None:
    """The last defect of the same found at the same place, whatever became of it."""
    if not found:
        return None
    base = found.removesuffix(routing.GAUGE_OUT)
    same = Defect.objects.standing().filter(
        points=points, position=position, found__in=[base, base + routing.GAUGE_OUT]
    )
    if reading is not None:
        here = Reading.objects.same_place(reading)
        same = same.filter(Q(reading__isnull=True) | Q(reading__in=here))
    return same.order_by("-number", "-pk").first()


def _within_a_year(earlier: Defect, at: datetime) -> bool:
    return at - (earlier.closed_at or earlier.raised_at) <= REPEAT_WITHIN


def _counts(earlier: Defect, at: datetime, reading: Reading | None) -> bool:
    """A reading out again is always linked to the last time; other findings within a year."""
    return reading is not None or _within_a_year(earlier, at)


def _number_and_save(defect: Defect) -> None:
    """The next number, tried again where somebody took it between looking and saving."""
    while True:
        last = Defect.objects.order_by("-number").values_list("number", flat=True).first()
        defect.number = (last or 0) + 1
        try:
            with transaction.atomic():
                defect.save(force_insert=True)
            return
        except IntegrityError:
            if not Defect.objects.filter(number=defect.number).exists():
                raise


# --- the moves -------------------------------------------------------------------------------


@transaction.atomic
def accept(defect: Defect, *, user, at: datetime, note: str = "", version=None) -> Defect:
    """The department that holds it will mend it."""
    defect = _take(defect, Move.ACCEPT, user, version)
    return _write(defect, Move.ACCEPT, user, at, note, mends=defect.owner)


@transaction.atomic
def hand_over(
    defect: Defect, *, user, at: datetime, reason: str, to: Department | None = None, version=None
) -> Defect:
    """To the other department: the mending, or after the work the checking."""
    defect = _take(defect, Move.HAND_OVER, user, version)
    to = Department(to) if to else other(defect.owner)
    if to == defect.owner:
        raise Refused(f"It is with {to.label} already.", "to")
    task = "checks" if defect.state == State.WORK_DONE else "mends"
    changes = {"owner": to.value, task: to.value}
    return _write(defect, Move.HAND_OVER, user, at, _needed(reason, "reason"), **changes)


@transaction.atomic
def give_back(
    defect: Defect, *, user, at: datetime, kind: ReturnReason, reason: str, version=None
) -> Defect:
    """Back to the department it came from; after the work, back to the one that mends."""
    defect = _take(defect, Move.RETURN, user, version)
    kind = ReturnReason(kind)
    note = f"{kind.label.capitalize()}: {_needed(reason, 'reason')}"
    if defect.state == State.WORK_DONE:
        if kind != ReturnReason.NOT_MENDED:
            raise Refused("After the work it is returned as not mended yet.", "kind")
        return _back_to_work(defect, Move.RETURN, user, at, note)
    if kind == ReturnReason.NOT_MENDED:
        raise Refused("No work has been recorded as done yet.", "kind")
    giver = _giver(defect)
    if giver is None:
        raise Refused("It did not come from another department: hand it over instead.", "kind")
    changes = {"owner": giver}
    if kind == ReturnReason.NOT_OURS:
        changes["mends"] = giver
    return _write(defect, Move.RETURN, user, at, note, **changes)


def _giver(defect: Defect) -> str | None:
    """The department that held it before, else that raised it, else that checks it."""
    holders = defect.events.order_by("-pk").values_list("owner", flat=True)
    before = (*holders, _raised_for(defect), defect.checks)
    return next((holder for holder in before if holder and holder != defect.owner), None)


def _back_to_work(defect: Defect, move: Move, user, at, note: str, **about) -> Defect:
    """The work did not mend it: it goes back to whoever mends it."""
    return _write(
        defect,
        move,
        user,
        at,
        note,
        **about,
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
    defect = _take(defect, Move.WORK_DONE, user, version)
    done_at = (done_at or at).replace(second=0, microsecond=0)
    if done_at > at:
        raise Refused("The work cannot be done later than now.", "done_at")
    if done_at < defect.raised_at.replace(second=0, microsecond=0):
        raise Refused("The work cannot be done before the defect was raised.", "done_at")
    changes = {"owner": defect.checks, "work_done_at": done_at}
    if cause.strip():
        changes["cause"] = cause.strip()
    return _write(defect, Move.WORK_DONE, user, at, _needed(note, "note"), **changes)


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
    version=None,
) -> Defect:
    """Closed on a reading or an examination, or on the engineer's written reason.

    ``evidence.refusal_to_close`` decides.
    """
    defect = _lock(defect, version)
    step = STEPS.get((State(defect.state), Move.CLOSE))
    if cause.strip():
        defect.cause = cause.strip()
    sentence = evidence.refusal_to_close(
        defect, user=user, reading=reading, examination=examination, reason=reason
    )
    if step is None or sentence:
        raise Refused(sentence or refusal(defect, Move.CLOSE, user), "evidence")
    return _write(
        defect,
        Move.CLOSE,
        user,
        at,
        reason.strip(),
        reading=reading,
        examination=examination,
        agreed_by_engineer=reading is None and examination is None,
        closed_at=at,
        cause=defect.cause,
    )


@transaction.atomic
def raise_in_error(defect: Defect, *, user, at: datetime, reason: str, version=None) -> Defect:
    """It should not have been raised. What was found counts as not dealt with again."""
    defect = _take(defect, Move.IN_ERROR, user, version)
    return _write(defect, Move.IN_ERROR, user, at, _needed(reason, "reason"))


@transaction.atomic
def comment(defect: Defect, *, user, at: datetime, note: str) -> Defect:
    """A remark; it takes nothing from anybody, so it never comes too late."""
    defect = _take(defect, Move.COMMENT, user, None, stale_is_fine=True)
    return _write(defect, Move.COMMENT, user, at, _needed(note, "note"))


@transaction.atomic
def set_temporary_measure(
    defect: Defect, *, user, at: datetime, measure: TemporaryMeasure, note: str, version=None
) -> Defect:
    """What protects trains until it is mended; stays in sight until it is lifted."""
    defect = _take(defect, Move.MEASURE, user, version)
    measure = TemporaryMeasure(measure)
    if measure == TemporaryMeasure.NONE:
        raise Refused("Choose the measure; to end one, lift it.", "measure")
    if not defect.is_open:
        raise Refused("The defect is done with: raise another for a new measure.", "measure")
    note = f"{measure.label.capitalize()}: {_needed(note, 'note')}"
    return _write(defect, Move.MEASURE, user, at, note, temporary_measure=measure.value)


@transaction.atomic
def lift_temporary_measure(
    defect: Defect, *, user, at: datetime, note: str, version=None
) -> Defect:
    """Ends the measure: for the department that checks, which answers for what is measured."""
    defect = _take(defect, Move.MEASURE, user, version)
    if defect.temporary_measure == TemporaryMeasure.NONE:
        raise Refused("No temporary measure stands.", "note")
    if Who.CHECKER not in _standing_of(defect, user, Who.CHECKER):
        raise Refused(f"Lifting is for {Who.CHECKER.label}{_named(defect, Who.CHECKER)}.", "note")
    lifted = TemporaryMeasure(defect.temporary_measure).label
    note = f"Lifted ({lifted}): {_needed(note, 'note')}"
    none = TemporaryMeasure.NONE.value
    return _write(defect, Move.MEASURE, user, at, note, temporary_measure=none)


EDITABLE = ("title", "description", "remedy", "urgency", "due_on", "cause")


@transaction.atomic
def edit(defect: Defect, *, user, at: datetime, version=None, **details) -> Defect:
    """Changes details (see EDITABLE); the event says what each was and is."""
    defect = _take(defect, Move.EDIT, user, version)
    unknown = set(details) - set(EDITABLE)
    if unknown:
        raise Refused(f"Not a detail that can be changed: {', '.join(sorted(unknown))}.")
    before = {name: getattr(defect, name) for name in EDITABLE}
    after = {name: v.strip() if isinstance(v, str) else v for name, v in details.items()}
    urgency = after.get("urgency", defect.urgency)
    if urgency != defect.urgency and after.get("due_on", defect.due_on) == defect.due_on:
        after["due_on"] = due_date(urgency, defect.raised_at)
    changed = {name: value for name, value in after.items() if value != before[name]}
    if not changed:
        raise Refused("Nothing was changed.")
    for name, value in changed.items():
        setattr(defect, name, value)
    _refuse_bad_fields(defect)
    note = "; ".join(_change_in_words(name, before[name], value) for name, value in changed.items())
    return _write(defect, Move.EDIT, user, at, note, **changed)


def _change_in_words(name: str, before, after) -> str:
    label = Defect._meta.get_field(name).verbose_name
    if name == "urgency":
        before, after = Urgency(before).label, Urgency(after).label
    return f'{label}: "{before or "nothing"}" became "{after or "nothing"}"'


@transaction.atomic
def link_cause(defect: Defect, *, user, at: datetime, cause: Defect, version=None) -> Defect:
    """This defect comes of another: low clearance comes first, the cracked gooseneck after."""
    defect = _take(defect, Move.LINK, user, version)
    above = cause
    while above is not None:
        if above.pk == defect.pk:
            raise Refused(f"Defect {cause.number} comes of this one already.", "cause")
        above = above.caused_by
    note = f"Comes of defect {cause.number}: {cause.title}"
    return _write(defect, Move.LINK, user, at, note, caused_by=cause)


@transaction.atomic
def measured_again(
    defect: Defect,
    *,
    user,
    at: datetime,
    reading: Reading | None = None,
    examination: Examination | None = None,
    note: str = "",
    version=None,
) -> Defect:
    """Found again while open, and still out; after the work that sends it back to be mended."""
    defect = _take(defect, Move.MEASURED_AGAIN, user, version)
    finding = reading or examination
    if finding is None:
        raise Refused("Say which reading or examination found it again.")
    here = evidence.readings_of if reading is not None else evidence.examinations_of
    if not here(defect).filter(pk=finding.pk).exists():
        raise Refused("That was found of another thing or at another place, or was corrected.")
    about = {"reading": reading, "examination": examination}
    note = note.strip() or "Measured again, still out."
    since = defect.work_done_at
    if since is not None and finding.inspection.at >= since:
        return _back_to_work(defect, Move.MEASURED_AGAIN, user, at, note, **about)
    return _write(defect, Move.MEASURED_AGAIN, user, at, note, **about)


# --- shared by all moves ---------------------------------------------------------------------


def _lock(defect: Defect, version: int | None, stale_is_fine: bool = False) -> Defect:
    """The defect as it is now, locked; Changed if it moved since the person looked."""
    seen = defect.version if version is None else version
    now = Defect.objects.select_for_update().get(pk=defect.pk)
    if now.version != seen and not stale_is_fine:
        latest = list(now.events.order_by("-pk")[: max(1, now.version - seen)])
        raise Changed(latest[::-1])
    return now


def _take(
    defect: Defect, move: Move, user, version: int | None, stale_is_fine: bool = False
) -> Defect:
    """The defect locked, once it is sure that this user may make this move."""
    defect = _lock(defect, version, stale_is_fine)
    sentence = refusal(defect, move, user)
    if sentence:
        raise Refused(sentence)
    return defect


def _write(
    defect: Defect,
    move: Move,
    user,
    at: datetime,
    note: str = "",
    *,
    by: str = "",
    reading: Reading | None = None,
    examination: Examination | None = None,
    agreed_by_engineer: bool = False,
    **changes,
) -> Defect:
    """Writes the event, then what it changes: the order that the database's own rules ask for."""
    step = STEPS.get((State(defect.state), move))
    if step is not None and step.to is not None:
        changes.setdefault("state", step.to.value)
    for name, value in changes.items():
        setattr(defect, name, value)
    Event.objects.create(
        defect=defect,
        at=at,
        by=by or name_of(user),
        user=user,
        department=_acting_for(user, defect) or "",
        move=move.value,
        state=defect.state,
        owner=defect.owner,
        note=note.strip(),
        reading=reading,
        examination=examination,
        agreed_by_engineer=agreed_by_engineer,
    )
    defect.version += 1
    defect.save(update_fields=["version", *changes])
    return defect


def _acting_for(user, defect: Defect | None = None) -> Department | None:
    """The one department a user acts for; None for the engineer and for the program itself."""
    departments = departments_of(user) if user is not None else frozenset()
    if len(departments) == 1:
        return next(iter(departments))
    if defect is not None and defect.owner in departments and Post.ENGINEER not in posts_of(user):
        return Department(defect.owner)
    return None


def _needed(text: str, field: str) -> str:
    text = text.strip()
    if not text:
        raise Refused("Write it down: others have to understand it later.", field)
    return text


def _refuse_bad_fields(defect: Defect) -> None:
    """Lengths and words of what people typed, before the database sees it."""
    links = [field.name for field in Defect._meta.fields if field.is_relation]
    try:
        defect.clean_fields(exclude=[*links, "number", "id"])
    except ValidationError as problem:
        field, sentences = next(iter(problem.message_dict.items()))
        raise Refused(sentences[0], field) from problem
