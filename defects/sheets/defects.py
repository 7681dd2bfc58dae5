"""The sheet of defects: each as it stands.

A new row raises a defect; of one that stands, a row changes the details only. Nothing here accepts,
returns or closes one: that is done by acts, in a department's list.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
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
from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.planning import Outcome, PlannedRow
from assets.workbook.reading import Row
from defects.models import Defect, Event
from defects.moves import moves
from defects.moves.moves import EDITABLE
from defects.moves.raising import enter_raised, found_by_hand
from defects.routing.routing import code_of, found_of, routing_of
from defects.sheets import not_raised
from defects.sheets.entering import as_validation, name_the_workbook, not_to_come, on_behalf
from defects.sheets.events import EventSheet
from defects.sheets.findings import FINDING_HELP, Names, finding_named
from defects.words import Move, State, TemporaryMeasure
from inspections.sheets import visits
from inspections.sheets.visits import points_of, refuse_unshown_time
from inspections.verdicts.finding import Found, Subject
from inspections.verdicts.stored import finding_of

RANK_RAISED, RANK_EDITED = 20, 30

_DEPARTMENTS = tuple(Department.choices())


def _department(heading: str, field: str, help: str, **details) -> Column:
    return Column(heading, field, Kind.CHOICE, choices=_DEPARTMENTS, help=help, **details)


def _points(**details) -> Column:
    return Column(
        "Points", "points", Kind.REFERENCE, refers_to="Points", help=POINTS_HELP, **details
    )


_FOUND_HELP = "The code used by the routing table and the rules for closing."
BY_ACTS_ALONE = "It changes by an act alone: on its page, or in the list of a department."

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
        column(Defect, "state", required=False, help=f"A new defect is raised. {BY_ACTS_ALONE}"),
        _department("Held by", "owner", f"A new defect: who repairs it. {BY_ACTS_ALONE}"),
        column(Defect, "mends"),
        column(Defect, "checks"),
        column(Defect, "due_on", help="Blank: no day is set."),
        Column("Raised at", "raised_at", Kind.DATE_TIME, required=True),
        column(Defect, "raised_by"),
        _department("Raised for", "raised_for", "Blank: by the engineer or by the program."),
        _department("First held by", "first_held_by", "", info=True),
        Column("Found by", "found_by", help=FINDING_HELP),
        column(Defect, "needs_cause", blank=None, help="Blank: as the routing table says."),
        column(Defect, "cause"),
        column(Defect, "temporary_measure", help=BY_ACTS_ALONE),
        Column("Repeat of", "repeat_of", Kind.WHOLE, help="Blank: found by the program."),
        Column("Comes of", "caused_by", Kind.WHOLE, help=f"What caused it. {BY_ACTS_ALONE}"),
        Column("Work done at", "work_done_at", Kind.DATE_TIME, info=True),
        Column("Closed at", "closed_at", Kind.DATE_TIME, info=True),
    ),
    "One thing wrong at one place. A new row raises it.",
)

# What may be left blank for the program to fill in, from the finding or the routing table.
_FILLED_IN = (
    "order", "kind", "part", "found", "found_by", "needs_cause", "repeat_of", "state", "owner",
)  # fmt: skip
# Fields of a defect's row that acts alone change.
BY_ACTS = ("state", "owner", "mends", "checks", "temporary_measure", "caused_by")


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
    names = Names(choice)

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


# Loading


def happenings(loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> list[Happening]:
    """New defects and changed details, each to be entered when its time comes."""
    found = []
    for row in planned.get("Defects", []):
        if row.outcome is Outcome.NEW:
            found += _raising(loading, row)
        elif row.outcome is Outcome.CHANGED:
            found += _editing(loading, row)
    return found


def _raising(loading: Loading, row: PlannedRow) -> list[Happening]:
    """Raises the defect of a new row; one that is done with is left out."""
    values = row.values
    state = State(values.get("state") or State.RAISED)
    if not state.is_open:
        if values.get("temporary_measure", "none") != TemporaryMeasure.NONE:
            row.refuse(_MEASURE_OUTLASTS, "temporary_measure")
        else:
            row.leave_out(f"It is {state.label}. {_DONE_WITH}")
        return []
    at = moment_of(values["raised_at"])
    columns = {"by": "raised_by", "department": "raised_for", "position": "order"}
    do = as_validation(partial(_raise, loading, row, at), **columns)
    return [Happening(at, RANK_RAISED, row, do)]


_DONE_WITH = (
    "A workbook raises defects and closes none: a whole register, with all that was done, is moved "
    "as a copy."
)
_MEASURE_OUTLASTS = (
    "This defect is closed, but its temporary measure is still in force. Write raised under State, "
    "so that the measure stays in sight until it is lifted."
)


def _raise(loading: Loading, row: PlannedRow, at: datetime) -> None:
    values = row.values
    refuse_unshown_time(values["raised_at"], "raised_at")
    not_to_come(loading, at, "raised_at")
    actor = on_behalf(values["raised_by"], values.get("raised_for") or "", loading.account)
    points = points_of(loading, values["points"])
    entry = finding_named(points, values.get("found_by"), "found_by")
    found, part = found_of(values.get("found", "")), _part(loading, values)
    if entry is None:
        place = _place(points, values.get("order"))
        finding = found_by_hand(points, found, place, part=part)
    else:
        finding = replace(finding_of(entry, gauge_out=found.gauge_out), part=part)
    defect = Defect(
        number=values["number"],
        points=points,
        raised_at=at,
        raised_by=actor.name,
        owner=values["mends"],
        mends=values["mends"],
        checks=values["checks"],
        repeat_of=Defect.objects.filter(number=values.get("repeat_of"), points=points).first(),
        **{name: values[name] for name in EDITABLE if name in values},
    )
    route = routing_of(finding).row
    needed = values.get("needs_cause")
    if needed is False and route is not None and route.needs_cause and not actor.answers_for_both:
        raise ValidationError({"needs_cause": "The routing table asks for a cause."})
    defect.needs_cause = (route is not None and route.needs_cause) if needed is None else needed
    raised = enter_raised(defect, finding, user=actor, note=_not_taken_over(values, defect))
    measure = values.get("temporary_measure", TemporaryMeasure.NONE)
    if measure != TemporaryMeasure.NONE:
        note = "As in the workbook that this defect was loaded from."
        moves.set_temporary_measure(raised, user=actor, at=at, measure=measure, note=note)


def _not_taken_over(values: Mapping[str, Any], defect: Defect) -> str:
    """What a row says of a defect that is raised anew here, so that nobody misses it."""
    state = State(values.get("state") or State.RAISED)
    said = [state.label] if state != State.RAISED else []
    if values.get("caused_by"):
        said.append(f"caused by defect {values['caused_by']}")
    if values.get("repeat_of") and defect.repeat_of is None:
        said.append(f"repeat of defect {values['repeat_of']}")
    return f"In the workbook it was loaded from: {', '.join(said)}." if said else ""


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


def _editing(loading: Loading, row: PlannedRow) -> list[Happening]:
    """Details that a row changes, as an edit made now."""
    given = {change.column.field: change.new for change in row.changes}
    for name in given:
        if name in BY_ACTS:
            row.refuse(_by_acts(row, name), name)
        elif name not in EDITABLE:
            row.refuse("What was found, where and by whom, stays as it was raised.", name)
    if row.refusals:
        return []
    details = {name: given[name] for name in EDITABLE if name in given}
    if not details:
        return []
    do = as_validation(partial(_edit, loading, row, details))
    return [Happening(loading.now, RANK_EDITED, row, do)]


def _edit(loading: Loading, row: PlannedRow, details: dict[str, Any]) -> None:
    name = name_of(loading.account) if loading.account else "whoever looks after the program"
    own = departments_of(loading.account) if loading.account else frozenset(Department)
    department = next(iter(own)).value if len(own) == 1 else ""
    actor = on_behalf(name, department, loading.account)
    defect = Defect.objects.get(number=row.values["number"])
    moves.edit(defect, user=actor, at=loading.now, **details)


def _by_acts(row: PlannedRow, name: str) -> str:
    change = next(change for change in row.changes if change.column.field == name)
    return f"In the register: {change.column.show(change.old)}. {BY_ACTS_ALONE}"


@dataclass(frozen=True)
class Records:
    """Visits and defects are entered along one line of time: each depends on the other."""

    sheets = (*visits.BOUND, DefectSheet(), EventSheet(), not_raised.NotRaisedSheet())

    def write(self, loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> Iterator[int]:
        found = visits.happenings(loading, planned) + happenings(loading, planned)
        yield from happen(found + not_raised.happenings(loading, planned))
        name_the_workbook(loading, {row.values.get("number") for row in planned.get("Defects", [])})


RECORDS = Records()
