"""The sheets of defects: each defect as it stands, its events, what was not raised.

A defect moves by its events alone. The state in its own row is checked against what its events
make of it, so a defect cannot be called closed without the event that proves it.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from itertools import groupby
from typing import Any

from django.core.exceptions import ValidationError

from assets.departments import Department, departments_of, name_of
from assets.models import Position
from assets.models.fittings import PART_FIELDS, PART_KINDS
from assets.sheets.changed_since import Stood, changed_since
from assets.sheets.columns import RowMaker, clock_time, column, moment_of
from assets.sheets.happenings import Happening, happen
from assets.sheets.loading import EVERYTHING, Choice, Loading
from assets.sheets.register import PART_KIND_CHOICES, PART_LINKS, PLACE_HELP, POINTS_HELP
from assets.workbook.columns import Column, Kind, Sheet, fold
from assets.workbook.planning import Outcome, PlannedRow
from assets.workbook.reading import Row
from defects import proposals
from defects.models import Defect, Dismissal, Event
from defects.moves import moves
from defects.moves.event_log import Behalf, Refused
from defects.moves.moves import EDITABLE
from defects.moves.raising import enter_raised, found_by_hand
from defects.routing.routing import code_of, found_of, routing_of
from defects.sheets.acts import KINDS, Said, on_behalf, refuse_otherwise, replay, split_note
from defects.words import Move, State
from inspections.models import Examination, Reading
from inspections.sheets import visits
from inspections.sheets.visits import findings_at, points_of, refuse_unshown_time
from inspections.verdicts.finding import Found, Subject
from inspections.verdicts.stored import finding_of

RANK_RAISED, RANK_EVENT, RANK_EDITED, RANK_COMPARED = 20, 30, 40, 50

_DEPARTMENTS = tuple(Department.choices())


def _department(heading: str, field: str, help: str, **details) -> Column:
    return Column(heading, field, Kind.CHOICE, choices=_DEPARTMENTS, help=help, **details)


def _points(**details) -> Column:
    return Column(
        "Points", "points", Kind.REFERENCE, refers_to="Points", help=POINTS_HELP, **details
    )


_FOUND_HELP = "The code used by the routing table and the rules for closing."
_EVIDENCE_HELP = "The name of a row in the sheet Readings or Examinations."

DEFECTS = Sheet(
    "Defects",
    (
        column(Defect, "number", key=True, help="For a new one, the next that is free."),
        _points(required=True),
        Column(
            "Place",
            "order",
            Kind.WHOLE,
            help=PLACE_HELP + " Blank: where it was found, or the whole points.",
        ),
        Column("Kind of part", "kind", Kind.CHOICE, choices=PART_KIND_CHOICES),
        Column("Part", "part", help="Tag of the faulty part."),
        Column("What was found", "found", help=_FOUND_HELP),
        column(Defect, "title"),
        column(Defect, "description"),
        column(Defect, "remedy"),
        column(Defect, "urgency"),
        column(Defect, "state", help="What its events make it; it changes only by them."),
        _department("Held by", "owner", "What its events make it.", required=True),
        column(Defect, "mends"),
        column(Defect, "checks"),
        column(Defect, "due_on", help="Blank: no day is set."),
        Column("Raised at", "raised_at", Kind.DATE_TIME, required=True),
        column(Defect, "raised_by"),
        _department("Raised for", "raised_for", "Blank: by the engineer or by the program."),
        _department("First held by", "first_held_by", "Blank: by the one that repairs it."),
        Column("Found by", "found_by", help=_EVIDENCE_HELP),
        column(Defect, "needs_cause", blank=None, help="Blank: as the routing table says."),
        column(Defect, "cause"),
        column(Defect, "temporary_measure", help="What its events make it."),
        Column("Repeat of", "repeat_of", Kind.WHOLE, help="Blank: worked out by the program."),
        Column("Comes of", "caused_by", Kind.WHOLE, help="The defect that its event links to."),
        Column("Work done at", "work_done_at", Kind.DATE_TIME, info=True),
        Column("Closed at", "closed_at", Kind.DATE_TIME, info=True),
    ),
    "One thing wrong at one place. It is raised by its row, and moves by its events.",
)

EVENTS = Sheet(
    "Events",
    (
        Column("Defect", "defect", Kind.WHOLE, key=True, help="Its number."),
        Column("When", "at", Kind.DATE_TIME, key=True),
        Column(
            "What",
            "move",
            Kind.CHOICE,
            choices=tuple((m.value, m.label) for m in Move if m != Move.RAISE),
            key=True,
        ),
        Column(
            "Times",
            "times",
            Kind.WHOLE,
            key=True,
            optional=True,
            help="Blank, or 2, 3 ... for the same again at that moment.",
        ),
        Column("By", "by", required=True, help="Who did it, by post."),
        _department("For", "department", "Blank: by the responsible engineer."),
        Column(
            "Of what kind",
            "kind",
            Kind.CHOICE,
            choices=KINDS,
            help="A return or a measure.",
            former=(("not mended yet", "not_mended"),),
        ),
        Column("Note", "note", help="Why, or what was done."),
        Column("Evidence", "evidence", help=_EVIDENCE_HELP),
        Column("Agreed by the engineer", "agreed", Kind.YES_NO, blank=False),
        Column("Work done at", "done_at", Kind.DATE_TIME, help="Blank: when it was said."),
        Column(
            "State after it",
            "state",
            Kind.CHOICE,
            choices=tuple(State.choices()),
            help="Blank: as it follows from the move.",
        ),
        _department("Held by after it", "owner", "Blank: as it follows from the move."),
    ),
    "What was done to a defect, one row each, never changed. Raising it is its row in Defects.",
)

NOT_RAISED = Sheet(
    "Not raised",
    (
        _points(key=True),
        Column("Finding", "finding", key=True, help=_EVIDENCE_HELP),
        Column("Why", "reason", required=True),
        Column("By", "by", required=True),
        Column("When", "at", Kind.DATE_TIME, required=True),
    ),
    "A reading that was out, or a thing found defective, from which no defect was raised, and why.",
)

# What may be left blank for the program to fill in, from the finding or the routing table.
_FILLED_IN = (
    "order", "kind", "part", "found", "found_by", "needs_cause", "repeat_of", "first_held_by",
)  # fmt: skip
# Fields of a defect's row that its events decide; loading compares them and writes none of them.
BY_EVENTS = ("state", "owner", "mends", "checks", "temporary_measure", "caused_by")
EDITED = ("title", "description", "remedy", "urgency", "due_on", "cause")


# What is held


@dataclass(frozen=True)
class DefectSheet:
    sheet = DEFECTS
    link = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        """Each defect as it stands, with who raised it; three queries and those of the names."""
        maker = _defect_maker(choice)
        first = {
            defect: (department, owner)
            for defect, department, owner in Event.objects.filter(move=Move.RAISE.value)
            .order_by("-pk")
            .values_list("defect_id", "department", "owner")
        }
        rows = Defect.objects.order_by("number")
        if choice.points is not None:
            rows = rows.filter(points__in=choice.points)
        paths = ("pk", "work_done_at", "closed_at", *maker.paths)
        for pk, done_at, closed_at, *record in rows.values_list(*paths).iterator():
            raised_for, held_by = first.get(pk, ("", ""))
            yield (
                pk,
                {
                    **maker.make(record),
                    "raised_for": raised_for,
                    "first_held_by": held_by,
                    "work_done_at": clock_time(done_at),
                    "closed_at": clock_time(closed_at),
                },
            )

    def prepare(self, row: Row) -> None:
        """What is left blank for the program to fill in takes nothing away."""
        for name in _FILLED_IN:
            if row.values.get(name) in (None, ""):
                row.values.pop(name, None)

    def changed_since(self, at: datetime) -> Stood:
        return changed_since(Defect, DEFECTS, _defect_maker(EVERYTHING), at)


def _defect_maker(choice: Choice) -> RowMaker:
    plain = (
        "number", "title", "description", "remedy", "urgency", "state", "owner", "mends",
        "checks", "due_on", "raised_by", "needs_cause", "cause", "temporary_measure",
    )  # fmt: skip
    linked = {
        "order": "position__order",
        "repeat_of": "repeat_of__number",
        "caused_by": "caused_by__number",
    }
    tags = tuple(f"{field}__tag" for field in PART_FIELDS)
    paths = (
        "points__location__code", "points__number", "subject_kind", "subject", "way", "gauge_out",
        "raised_at", "reading_id", "examination_id", *tags, *linked.values(), *plain,
    )  # fmt: skip
    names = _Names(choice)

    def make(record) -> dict[str, Any]:
        code, number, kind, subject, way, out, raised_at, reading, examination, *rest = record
        found = Found(Subject(kind, subject), way, out)
        parts = [(k, tag) for k, tag in zip(PART_FIELDS, rest, strict=False) if tag is not None]
        kind, part = parts[0] if parts else (None, "")
        return {
            "points": f"{code} {number}",
            "found": code_of(found),
            "raised_at": clock_time(raised_at),
            "found_by": names.of(reading, examination),
            "kind": kind,
            "part": part,
            **dict(zip((*linked, *plain), rest[len(tags) :], strict=True)),
        }

    return RowMaker(paths, make)


class _Names:
    """Names of readings and examinations, read once when the first is asked for."""

    def __init__(self, choice: Choice):
        self._choice = choice
        self._names: dict[type, dict[int, str]] | None = None

    def of(self, reading: int | None, examination: int | None) -> str:
        if reading is None and examination is None:
            return ""
        if self._names is None:
            self._names = visits.names_of_findings(self._choice)
        model, pk = (Reading, reading) if reading is not None else (Examination, examination)
        return self._names[model][pk]


@dataclass(frozen=True)
class EventSheet:
    sheet = EVENTS
    link = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        events = Event.objects.order_by("defect__number", "pk")
        if choice.points is not None:
            events = events.filter(defect__points__in=choice.points)
        names = _Names(choice)
        related = events.select_related(
            "defect", "reading__inspection", "examination__inspection"
        ).iterator(chunk_size=2000)
        for _, group in groupby(related, key=lambda event: event.defect_id):
            yield from _event_rows(list(group), names)

    def prepare(self, row: Row) -> None:
        if row.values.get("times") == 1:
            row.values["times"] = None
        for name in ("done_at", "state", "owner"):
            if row.values.get(name) is None:
                row.values.pop(name, None)
        if row.values.get("move") == Move.LINK and not row.values.get("note"):
            row.values.pop("note", None)

    def changed_since(self, at: datetime) -> Stood:
        return {}


def _event_rows(events: list[Event], names: _Names) -> Iterator[tuple[int, dict[str, Any]]]:
    seen: dict[tuple, int] = defaultdict(int)
    for place, event in enumerate(events):
        if event.move == Move.RAISE:
            continue
        at = clock_time(event.at)
        seen[at, event.move] += 1
        times = seen[at, event.move]
        kind, note = split_note(event.move, event.note)
        yield (
            event.pk,
            {
                "defect": event.defect.number,
                "at": at,
                "move": event.move,
                "times": times if times > 1 else None,
                "by": event.by,
                "department": event.department or None,
                "kind": kind or None,
                "note": note,
                "evidence": names.of(event.reading_id, event.examination_id),
                "agreed": event.agreed_by_engineer,
                "done_at": clock_time(_done_at(events, place)),
                "state": event.state,
                "owner": event.owner,
            },
        )


def _done_at(events: list[Event], place: int) -> datetime | None:
    """When the work of an event was done.

    Kept with the defect for the last such event. For an earlier one it is no longer kept, and only
    has to be before what showed that the work had not helped.
    """
    event = events[place]
    if event.move != Move.WORK_DONE:
        return None
    later = events[place + 1 :]
    if event.defect.work_done_at and all(e.move != Move.WORK_DONE for e in later):
        return event.defect.work_done_at
    done_at = event.at
    again = next((e for e in later if e.move == Move.MEASURED_AGAIN), None)
    if again is not None and again.state == State.RAISED:
        done_at = min(done_at, (again.reading or again.examination).inspection.at)
    return done_at.replace(second=0, microsecond=0)


@dataclass(frozen=True)
class NotRaisedSheet:
    sheet = NOT_RAISED
    link = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        names = _Names(choice)
        rows = Dismissal.objects.order_by("at", "pk").select_related(
            "reading__inspection__points__location", "examination__inspection__points__location"
        )
        for dismissal in rows.iterator():
            points = (dismissal.reading or dismissal.examination).inspection.points
            if choice.points is not None and points.pk not in choice.points:
                continue
            yield (
                dismissal.pk,
                {
                    "points": points.key,
                    "finding": names.of(dismissal.reading_id, dismissal.examination_id),
                    "reason": dismissal.reason,
                    "by": dismissal.by,
                    "at": clock_time(dismissal.at),
                },
            )

    def prepare(self, row: Row) -> None:
        """Nothing needs evening out."""

    def changed_since(self, at: datetime) -> Stood:
        return {}


# Loading


def _answer(refused: Refused, **columns: str) -> ValidationError:
    """A refusal beside the column of the row that it is about."""
    field = columns.get(refused.field, refused.field)
    return ValidationError({field: refused.sentence} if field else refused.sentence)


def _as_validation(do, **columns: str):
    """The function with what the moves refuse said as what is wrong with a row."""

    def done() -> None:
        try:
            do()
        except Refused as refused:
            raise _answer(refused, **columns) from refused

    return done


_COLUMNS = {"reason": "note", "to": "owner"}


def happenings(loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> list[Happening]:
    """New defects, events and dismissals, each to be entered when its time comes."""
    events = [row for row in planned.get("Events", []) if _is_new(row, _EVENT_STAYS)]
    rows = [row for row in planned.get("Defects", []) if row.outcome in _WRITTEN]
    touched = {row.values["number"]: row for row in rows}
    by_defect = defaultdict(list)
    for row in events:
        by_defect[row.values["defect"]].append(row)
    found = []
    for row in rows:
        if row.outcome is Outcome.NEW:
            found.append(_raising(loading, row, by_defect[row.values["number"]]))
        else:
            found += _editing(loading, row)
    found += [_event(loading, row, touched.get(row.values["defect"])) for row in events]
    for row in planned.get("Not raised", []):
        if _is_new(row, "Why a finding was not raised stays as it was written."):
            found.append(_dismissing(loading, row))
    end = max((one.at for one in found), default=loading.now)
    found += [Happening(end, RANK_COMPARED, row, partial(_compare, row)) for row in rows]
    return found


_WRITTEN = (Outcome.NEW, Outcome.CHANGED)
_EVENT_STAYS = "An event is never changed: add one that corrects it."


def _is_new(row: PlannedRow, stays: str) -> bool:
    if row.outcome is Outcome.CHANGED:
        row.refuse(stays, row.changes[0].column.field)
    return row.outcome is Outcome.NEW


def _raising(loading: Loading, row: PlannedRow, events: list[PlannedRow]) -> Happening:
    at = moment_of(row.values["raised_at"])
    columns = {"by": "raised_by", "department": "raised_for", "position": "order"}
    do = _as_validation(partial(_raise, loading, row, events, at), **columns)
    return Happening(at, RANK_RAISED, row, do)


def _raise(loading: Loading, row: PlannedRow, events: list[PlannedRow], at: datetime) -> None:
    values = row.values
    refuse_unshown_time(values["raised_at"], "raised_at")
    _not_to_come(loading, at, "raised_at")
    actor = on_behalf(values["raised_by"], values.get("raised_for") or "", loading.account)
    points = points_of(loading, values["points"])
    entry = _finding(points, values.get("found_by"), "found_by")
    found, part = found_of(values.get("found", "")), _part(loading, values)
    if entry is None:
        place = _place(points, values.get("order"))
        finding = found_by_hand(points, found, place, part=part)
    else:
        finding = replace(finding_of(entry, gauge_out=found.gauge_out), part=part)
    first = values.get("first_held_by") or values["mends"]
    defect = Defect(
        number=values["number"],
        points=points,
        raised_at=at,
        raised_by=actor.name,
        owner=first,
        mends=first,
        checks=_first_checks(values, events),
        repeat_of=_other(values.get("repeat_of"), "repeat_of"),
        **{name: values[name] for name in EDITED if name in values},
    )
    route = routing_of(finding).row
    needed = values.get("needs_cause")
    if needed is False and route is not None and route.needs_cause and not actor.answers_for_both:
        raise ValidationError({"needs_cause": "The routing table asks for a cause."})
    defect.needs_cause = (route is not None and route.needs_cause) if needed is None else needed
    enter_raised(defect, finding, user=actor)


def _first_checks(values: Mapping[str, Any], events: list[PlannedRow]) -> str:
    """Who checked it at first: it went to them when the work was done."""
    done = [row for row in events if row.values["move"] == Move.WORK_DONE]
    first = min(done, key=lambda row: row.values["at"], default=None)
    return (first.values.get("owner") if first else None) or values["checks"]


def _place(points, order: int | None) -> Position | None:
    if order is None:
        return None
    place = next((p for p in points.positions.all() if p.order == order), None)
    if place is None:
        raise ValidationError({"order": f"{points.key} has no place {order} in the sheet Places."})
    return place


def _part(loading: Loading, values: Mapping[str, Any]):
    kind, tag = values.get("kind"), values.get("part")
    if not tag and not kind:
        return None
    if not (tag and kind):
        raise ValidationError({"part": "Give both the kind of part and its tag, or neither."})
    pk = loading.pk_of(PART_LINKS[kind], tag)
    if pk is None:
        raise ValidationError({"part": f'There is no part of that kind with the tag "{tag}".'})
    return PART_KINDS[kind].objects.get(pk=pk)


def _finding(points, name: str | None, field: str) -> Reading | Examination | None:
    """The reading or examination at these points that a row names."""
    if not name:
        return None
    found = findings_at(points.pk).get(fold(name))
    if found is None:
        raise ValidationError({field: f'{points.key} has no reading or examination "{name}".'})
    model, pk = found
    return model.objects.select_related("inspection", "position").get(pk=pk)


def _other(number: int | None, field: str) -> Defect | None:
    if number is None:
        return None
    other = Defect.objects.filter(number=number).first()
    if other is None:
        raise ValidationError({field: f"There was no defect {number} then."})
    return other


def _event(loading: Loading, row: PlannedRow, own: PlannedRow | None) -> Happening:
    at = moment_of(row.values["at"])
    do = _as_validation(partial(_enter_event, loading, row, own, at), **_COLUMNS)
    return Happening(at, RANK_EVENT, row, do)


def _enter_event(loading: Loading, row: PlannedRow, own: PlannedRow | None, at: datetime) -> None:
    """Makes the move of one row; ``own`` is the row of its defect, where that is new or changed."""
    values = row.values
    refuse_unshown_time(values["at"], "at")
    _not_to_come(loading, at, "at")
    defect = _other(values["defect"], "defect")
    if defect is None:
        raise ValidationError({"defect": "There is no such defect."})
    entered_here = own is not None and own.outcome is Outcome.NEW
    move = Move(values["move"])
    last = defect.events.order_by("-pk").first()
    if clock_time(last.at) > values["at"]:
        raise ValidationError(
            {"at": f"Defect {defect.number} has changed since: check it in the program."}
        )
    if move == Move.EDIT and not entered_here:
        raise ValidationError(
            {"move": "Change the details in the sheet Defects: the program writes the event."}
        )
    cause = (own.values.get("caused_by") if own else None) if move == Move.LINK else None
    said = Said(
        move=move,
        at=at,
        note=values.get("note", ""),
        kind=values.get("kind") or "",
        to=values.get("owner") or "",
        evidence=_finding(defect.points, values.get("evidence"), "evidence"),
        agreed=bool(values.get("agreed")),
        done_at=moment_of(values.get("done_at")),
        cause=_other(cause, "move"),
    )
    actor = on_behalf(values["by"], values.get("department") or "", loading.account)
    moved = replay(defect, said, actor)
    refuse_otherwise(moved, values.get("state"), values.get("owner"))


def _not_to_come(loading: Loading, at: datetime, field: str) -> None:
    if at > loading.now:
        raise ValidationError({field: "That time is in the future."})


def _editing(loading: Loading, row: PlannedRow) -> list[Happening]:
    """Details that a row changes, as an edit made now; the rest is compared once all is done."""
    given = {change.column.field: change.new for change in row.changes}
    fixed = [name for name in given if name not in (*EDITABLE, *BY_EVENTS)]
    if fixed:
        row.refuse("What was found, where and by whom, stays as it was raised.", fixed[0])
        return []
    details = {name: given[name] for name in EDITABLE if name in given}
    if not details:
        return []
    do = _as_validation(partial(_edit, loading, row, details))
    return [Happening(loading.now, RANK_EDITED, row, do)]


def _edit(loading: Loading, row: PlannedRow, details: dict[str, Any]) -> None:
    name = name_of(loading.account) if loading.account else "whoever looks after the program"
    own = departments_of(loading.account) if loading.account else frozenset(Department)
    department = next(iter(own)).value if len(own) == 1 else ""
    actor = on_behalf(name, department, loading.account)
    defect = Defect.objects.get(number=row.values["number"])
    moves.edit(defect, user=actor, at=loading.now, **details)


def _compare(row: PlannedRow) -> None:
    """Refuses what a row says of a defect and its events have not made so."""
    values = row.values
    defect = Defect.objects.select_related("caused_by").filter(number=values["number"]).first()
    if defect is None or row.refusals:
        return
    wrong = {}
    for name in BY_EVENTS:
        held = getattr(defect, name)
        held = held.number if isinstance(held, Defect) else held
        if name in values and values[name] != held and not _stale(row, name):
            wrong[name] = _by_event(defect, name, values[name])
    if wrong:
        raise ValidationError(wrong)


def _stale(row: PlannedRow, name: str) -> bool:
    """The row has changed something else, and is no newer than the register here."""
    return row.outcome is Outcome.CHANGED and name not in {c.column.field for c in row.changes}


def _by_event(defect: Defect, name: str, wanted: Any) -> str:
    if name == "state" and wanted == State.CLOSED:
        return (
            f"It is {State(defect.state).label}. It becomes closed only by an event in the sheet "
            "Events that names its evidence."
        )
    label = DEFECTS.by_field[name].show(getattr(defect, name) if name != "caused_by" else None)
    return f"Its events make it: {label}. It changes only by an event in the sheet Events."


def _dismissing(loading: Loading, row: PlannedRow) -> Happening:
    at = moment_of(row.values["at"])
    return Happening(at, RANK_EVENT, row, _as_validation(partial(_dismiss, loading, row, at)))


def _dismiss(loading: Loading, row: PlannedRow, at: datetime) -> None:
    values = row.values
    refuse_unshown_time(values["at"], "at")
    _not_to_come(loading, at, "at")
    points = points_of(loading, values["points"])
    finding = _finding(points, values["finding"], "finding")
    actor = Behalf(" ".join(values["by"].split()), "", loading.account)
    proposals.dismiss(finding, user=actor, at=at, reason=values["reason"])


@dataclass(frozen=True)
class Records:
    """Visits and defects are entered along one line of time: each depends on the other."""

    sheets = (*visits.BOUND, DefectSheet(), EventSheet(), NotRaisedSheet())

    def write(self, loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> Iterator[int]:
        found = visits.happenings(loading, planned) + happenings(loading, planned)
        yield from happen(found)
        numbers = {row.values.get("number") for row in planned.get("Defects", [])}
        numbers |= {row.values.get("defect") for row in planned.get("Events", [])}
        made_here = Defect.history.filter(
            number__in=numbers, history_date__gte=loading.now, history_change_reason=None
        )
        made_here.update(history_change_reason=loading.reason)


RECORDS = Records()
