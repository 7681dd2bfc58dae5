"""A whole workbook into the register: planned by doing it, kept only if all of it may be.

Everything is written inside one transaction, sheet by sheet in the order in which they depend on
one another, so the register's own rules say what they would refuse. Unless all may be kept and
is to be, the transaction is undone.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Protocol

from django.db import transaction

from assets.fitting import Judge
from assets.sheets.columns import Link
from assets.workbook.columns import Kind, Sheet, fold
from assets.workbook.planning import Key, Outcome, Plan, PlannedRow, names_of, plan_rows
from assets.workbook.reading import Reading, Row

_PROGRESS_STEP = 500  # rows


@dataclass(frozen=True)
class Choice:
    """Which rows are taken away: those of some sets of points, of some parts, or all."""

    points: frozenset[int] | None = None
    part_field: str = ""  # the kind of the chosen parts
    parts: frozenset[int] | None = None


EVERYTHING = Choice()


class BoundSheet(Protocol):
    """A sheet and where its rows are kept."""

    sheet: Sheet
    link: Link | None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]: ...

    def prepare(self, row: Row) -> None: ...

    def changed_since(self, at: datetime) -> Mapping[Key, Mapping | None]: ...


class Group(Protocol):
    """Sheets that are written together, once all of them are planned.

    ``write`` is given every planned row but those that are the same; it writes the new and changed
    ones, and refuses those of them that cannot be written.
    """

    sheets: Sequence[BoundSheet]

    def write(
        self, loading: "Loading", planned: Mapping[str, list[PlannedRow]]
    ) -> Iterator[int]: ...


@dataclass(frozen=True)
class Progress:
    """How far loading has come: ``rows`` of a sheet read, or written."""

    sheet: str
    doing: str
    rows: int


@dataclass
class Loading:
    """One loading of one workbook: who loads it, and what is known so far.

    ``account`` is who loads it, None for whoever looks after the program, at its command line.
    ``judge`` says whether parts suit where the workbook puts them. ``forbidden`` has, for sheets
    that this person may not change, the sentence that says so.
    """

    account: Any
    now: datetime
    judge: Judge
    forbidden: Mapping[str, str] = field(default_factory=dict)
    exported_at: datetime | None = None
    pks: dict[str, dict[Key, int]] = field(default_factory=dict)
    kept: dict[str, Any] = field(default_factory=dict)  # what sheets have looked up, by name
    _ids: dict[str, dict[str, int]] = field(default_factory=dict)

    @property
    def reason(self) -> str:
        """Why rows changed, for their history: it names the workbook."""
        if self.exported_at is None:
            return "workbook"
        return f"workbook of {self.exported_at.isoformat()}"

    def pk_of(self, link: Link, name: str) -> int | None:
        """Primary key of the row with this name; None where it was refused."""
        if link.sheet not in self._ids:
            self._ids[link.sheet] = link.ids()
        return self._ids[link.sheet].get(fold(name))

    def forget(self, sheet: str) -> None:
        """The sheet's rows have changed."""
        self._ids.pop(sheet, None)
        self.kept.clear()


def load_steps(
    reading: Reading, groups: Sequence[Group], loading: Loading, keep
) -> Iterator[Progress]:
    """Loads what a book gives; the plan is the generator's return value.

    ``keep`` is asked with the finished plan whether to keep what was done; where anything is
    refused or in conflict nothing is kept. Left before its end, nothing is kept.
    """
    plan = Plan()
    loading.exported_at = reading.exported_at
    given = {sheet_reading.sheet.name: sheet_reading for sheet_reading in reading.sheets}
    bound = {one.sheet.name: one for group in groups for one in group.sheets}
    known: dict[str, dict[str, str]] = {}
    with transaction.atomic():
        for group in groups:
            planned = {}
            for one in group.sheets:
                if one.sheet.name in given:
                    rows = planned[one.sheet.name] = []
                    _learn_names(one, bound, known)
                    yield from _plan_sheet(one, given[one.sheet.name], loading, known, plan, rows)
            yield from _write_group(group, loading, planned)
        plan.notes = list(reading.notes)
        if not (plan.can_be_applied and keep(plan)):
            transaction.set_rollback(True)
    return plan


def _plan_sheet(one, sheet_reading, loading: Loading, known, plan: Plan, rows: list):
    """Plans the rows of a sheet; all but those that are the same are put in ``rows``."""
    sheet = one.sheet
    if sheet_reading.refusals:
        plan.refuse_sheet(sheet, sheet_reading.refusals)
        return
    existing: dict[Key, dict[str, Any]] = {}
    pks = loading.pks[sheet.name] = {}
    for pk, values in one.held(EVERYTHING):
        key = sheet.key_of(values)
        existing[key], pks[key] = values, pk
    if one.link is not None:
        known.setdefault(sheet.name, names_of(sheet, existing.values()))
    changed = one.changed_since(loading.exported_at) if loading.exported_at else {}
    forbidden = loading.forbidden.get(sheet.name)
    planned = plan_rows(sheet, _prepared(one, sheet_reading.rows()), existing, changed, known)
    for count, row in enumerate(planned, 1):
        if forbidden and row.outcome in (Outcome.NEW, Outcome.CHANGED):
            row.refuse(forbidden)
        if row.outcome is not Outcome.SAME:
            rows.append(row)
        plan.add([row])
        if count % _PROGRESS_STEP == 0:
            yield Progress(sheet.name, "read", count)


def _prepared(one, rows):
    """The rows once the sheet has evened out what it takes as the same."""
    for row in rows:
        one.prepare(row)
        yield row


def _learn_names(one, bound: Mapping[str, BoundSheet], known: dict[str, dict[str, str]]) -> None:
    """What the references of a sheet may name, of sheets that have not been planned."""
    for column in one.sheet.columns:
        other = bound.get(column.refers_to) if column.kind is Kind.REFERENCE else None
        if other is not None and other.link is not None and column.refers_to not in known:
            known[column.refers_to] = other.link.names()


def _write_group(group: Group, loading: Loading, planned: Mapping[str, list[PlannedRow]]):
    if not any(planned.values()):
        return
    names = ", ".join(name for name, rows in planned.items() if rows)
    done = 0
    for count in group.write(loading, planned):
        done += count
        yield Progress(names, "entered", done)
    for name in planned:
        loading.forget(name)
