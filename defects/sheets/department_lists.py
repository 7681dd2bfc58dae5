"""A department's list as a workbook: what it has to do, with room to say what was done.

Filled in and loaded, a row is an act of the account that loads it, for the person it names. The
version in it is that of the defect when the list was written, so that nobody acts on an old list
and no list acts twice.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any, BinaryIO

from django.core.exceptions import ValidationError
from django.utils import timezone

from assets.departments import Department
from assets.models import Location
from assets.sheets.columns import clock_time, moment_of
from assets.sheets.happenings import Happening, happen
from assets.sheets.loading import Choice, Loading
from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.planning import Key, Outcome, PlannedRow
from assets.workbook.reading import Row
from assets.workbook.writing import Table, write_book
from defects.lists.department import Job, held_by, jobs_of
from defects.models import Defect
from defects.moves.event_log import Changed, lock, told
from defects.sheets import acts
from defects.sheets.acts import KINDS, NO_KIND, Act
from defects.sheets.entering import as_validation, name_the_workbook, not_to_come, on_behalf
from defects.words import TemporaryMeasure
from inspections.sheets.visits import refuse_unshown_time

TITLE = "Toe to Heel: the list of a department"
ABOUT = (
    (
        "What the department holds, in walking order. Fill in Act, Note, By and When of what was "
        "done, leave the other rows as they are, and load the file under Workbook. Each row is "
        "then an act of whoever loads it, for the person named in it: all of them, or none."
    ),
    (
        "If something was done to a defect after this list was written, its row is refused and "
        "says what: check the defect and download the list again. What was measured goes into "
        "a visit."
    ),
)


def _shown(heading: str, field: str, width: int = 0, **details) -> Column:
    return Column(heading, field, info=True, width=width, **details)


_COLUMNS = (
    _shown("Location", "location", 14),
    Column("Points", "points", help="Leave it as it is.", width=10),
    _shown("Place", "place", 18),
    Column("Defect", "defect", Kind.WHOLE, key=True, help="Its number."),
    _shown("What is wrong", "title", 44),
    _shown("To do", "task", 30),
    _shown("Usual remedy", "remedy", 40),
    _shown("Limit", "limit", 22),
    _shown("Urgency", "urgency", 12),
    _shown("Due", "due_on", kind=Kind.DATE),
    _shown("Temporary measure", "standing", 20),
    Column(
        "Act",
        "act",
        Kind.CHOICE,
        choices=tuple(Act.choices()),
        blank=Act.NOTHING.value,
        help="What was done.",
    ),
    Column(
        "Of what kind",
        "kind",
        Kind.CHOICE,
        choices=KINDS,
        blank=NO_KIND,
        help=f"For {Act.RETURN.label} and {Act.MEASURE.label} only.",
    ),
    Column("Note", "note", help="The reason, or what was done.", width=34),
    Column("By", "by", help="Who did it, by post.", width=14),
    Column("When", "at", Kind.DATE_TIME, help="When it was done."),
    Column(
        "Version",
        "version",
        Kind.WHOLE,
        help="Leave it as it is: it shows what was done to the defect since the list was written.",
    ),
)
_TO_FILL_IN = {"act": Act.NOTHING.value, "kind": NO_KIND, "note": "", "by": "", "at": None}


@dataclass(frozen=True)
class ListSheet:
    """The list of one department."""

    department: Department
    sheet: Sheet
    link = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        """Every defect with nothing done; one query."""
        keys = ("pk", "number", "version", "points__location__code", "points__number")
        for pk, number, version, code, points in Defect.objects.values_list(*keys).iterator():
            about = {"defect": number, "version": version, "points": f"{code} {points}"}
            yield pk, {**about, **_TO_FILL_IN}

    def prepare(self, row: Row) -> None:
        """A row with nothing filled in says nothing, whatever became of the defect."""
        if all(row.values.get(name, blank) == blank for name, blank in _TO_FILL_IN.items()):
            row.values = {name: row.values[name] for name in ("defect",) if name in row.values}

    def changed_since(self, at: datetime) -> Mapping[Key, None]:
        """Nothing: the version of each row tells."""
        return {}


LISTS = tuple(
    ListSheet(
        department,
        Sheet(
            f"{department.label} list",
            _COLUMNS,
            f"What {department.label} holds, in walking order, with columns to say what was done.",
        ),
    )
    for department in Department
)


# Written


def write(target: BinaryIO, department: Department, at: datetime) -> None:
    """The department's list as an .xlsx file; ``at`` is now."""
    [one] = (one for one in LISTS if one.department == department)
    places = jobs_of(held_by(department), timezone.localdate(at))
    rows = (_row(place.location, job) for place in places for job in place.jobs)
    write_book(target, [Table(one.sheet, rows)], at, TITLE, ABOUT)


def _row(location: Location, job: Job) -> dict[str, Any]:
    defect = job.defect
    stands = defect.temporary_measure != TemporaryMeasure.NONE
    return {
        "location": location.name,
        "points": defect.points.key,
        "place": job.place,
        "defect": defect.number,
        "title": defect.title,
        "task": job.task,
        "remedy": defect.remedy,
        "limit": job.limit,
        "urgency": defect.get_urgency_display(),
        "due_on": defect.due_on,
        "standing": defect.get_temporary_measure_display() if stands else "",
        "version": defect.version,
    }


# Loaded


@dataclass(frozen=True)
class Acts:
    """The acts of the loaded lists, done in the order in which they were done."""

    sheets = LISTS

    def write(self, loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> Iterator[int]:
        found = []
        for one in LISTS:
            for row in planned.get(one.sheet.name, []):
                found += _happenings(loading, one.department, row)
        yield from happen(found)
        name_the_workbook(loading, {one.row.values["defect"] for one in found})


ACTS = Acts()


def _happenings(loading: Loading, department: Department, row: PlannedRow) -> list[Happening]:
    """The act of a row, to be done when its time comes; none where the row is refused."""
    if row.outcome is Outcome.NEW:
        row.refuse("There is no such defect in this register.", "defect")
    if row.outcome is not Outcome.CHANGED:
        return []
    values = row.values
    changed = {change.column.field: change.old for change in row.changes}
    if "points" in changed:
        row.refuse(
            f"This defect is at {changed['points']}. The rows of the list may have been sorted "
            "apart: download it again.",
            "points",
        )
    if values.get("act", Act.NOTHING) == Act.NOTHING:
        row.refuse("Say what was done, or clear the other cells that you filled in.", "act")
    if not values.get("by"):
        row.refuse("Say who did it.", "by")
    if values.get("at") is None:
        row.refuse("Say when it was done: 3 May 2026 14:30.", "at")
    if values.get("version") is None:
        row.refuse("The version is missing: download the list again.", "version")
    if row.refusals:
        return []
    at = moment_of(values["at"])
    columns = {"reason": "note", "done_at": "at", "measure": "kind", "to": "act", "cause": "act"}
    do = as_validation(partial(_do, loading, department, values, at), **columns)
    return [Happening(at, 0, row, do)]


def _do(loading: Loading, department: Department, values: Mapping[str, Any], at: datetime) -> None:
    refuse_unshown_time(values["at"], "at")
    not_to_come(loading, at, "at")
    actor = on_behalf(values["by"], department.value, loading.account)
    defect = _as_seen(values)
    last = defect.events.order_by("-pk").first()
    if clock_time(last.at).replace(second=0) > values["at"]:
        raise ValidationError({"at": f"The defect was last {told([last])}: this came after it."})
    acts.do(
        Act(values["act"]),
        defect,
        user=actor,
        at=max(at, last.at),
        note=values.get("note", ""),
        kind=values.get("kind", NO_KIND),
    )


def _as_seen(values: Mapping[str, Any]) -> Defect:
    """The defect, locked, if nothing was done to it since the list was written."""
    try:
        return lock(Defect.objects.get(number=values["defect"]), values["version"])
    except Changed as changed:
        raise ValidationError(
            {
                "version": f"Since this list was written: {told(changed.events)}. If that is what "
                "this row says, clear what you filled in; if not, check the defect and download "
                "the list again."
            }
        ) from changed
