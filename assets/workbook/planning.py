"""What loading a workbook would do, worked out before anything is written.

Each row is *new*, *changed* (with old and new value per column), the *same*, *refused*, or in
*conflict*: changed both in the workbook and in the program since the workbook was exported. A
row that is not taken in, without being wrong, is *left out*, and says why.
Loading never deletes: what the workbook leaves out stays as it is.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from typing import Any

from .columns import Column, Kind, Sheet, fold, tidy, tidy_lines
from .reading import Origin, Row
from .refusals import Refusal, shown

Key = tuple
Values = Mapping[str, Any]

_MOST_HINTS = 25  # for each sheet
_MOST_COMPARED = 10_000  # names
_LONGEST_COMPARED = 60  # characters


class Outcome(StrEnum):
    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    REFUSED = "refused"
    CONFLICT = "conflict"
    LEFT_OUT = "left_out"


@dataclass(frozen=True, slots=True)
class Change:
    """One column of a row: what the register holds and what the workbook gives."""

    column: Column
    old: Any
    new: Any

    def __str__(self) -> str:
        return (
            f"{self.column.heading}: {self.column.show(self.old)} -> {self.column.show(self.new)}"
        )


@dataclass(slots=True)
class PlannedRow:
    """One row of the workbook and what loading it would do.

    ``values`` are the row's own, by field. ``existing_key`` is the key under which the register
    holds it, None for a new row. ``changes`` are what would change; in a conflict, what differs.
    """

    sheet: Sheet
    number: int
    outcome: Outcome
    key: str
    values: dict[str, Any]
    origin: Origin
    existing_key: Key | None = None
    changes: tuple[Change, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    left_out: str = ""

    def leave_out(self, reason: str) -> None:
        """The row is not taken in, which is in the way of no other."""
        self.outcome, self.left_out = Outcome.LEFT_OUT, reason

    def refuse(self, reason: str, field: str = "") -> None:
        """Refuse the row for what only the register's own rules can see."""
        column = self.sheet.by_field.get(field)
        self.refusals = (
            *self.refusals,
            Refusal(
                self.origin.sheet,
                self.number,
                column.title if column else "",
                shown(column.label(self.values.get(field))) if column else "",
                reason,
                self.origin.cell(field, self.number),
            ),
        )
        self.outcome = Outcome.REFUSED

    def as_data(self) -> dict[str, Any]:
        """Plain data for JSON; of several refusals the first stands at the top."""
        data: dict[str, Any] = {
            "sheet": self.sheet.name,
            "row": self.number,
            "key": self.key,
            "outcome": str(self.outcome),
        }
        if self.changes:
            data["changes"] = [
                {
                    "column": change.column.title,
                    "field": change.column.field,
                    "old": plain(change.old),
                    "new": plain(change.new),
                }
                for change in self.changes
            ]
        if self.left_out:
            data["reason"] = self.left_out
        if self.refusals:
            first, *others = [_refusal_data(refusal) for refusal in self.refusals]
            data |= first
            if others:
                data["others"] = others
        return data


@dataclass
class Plan:
    """All rows of a workbook, sheet by sheet; those that are the same are only counted."""

    rows: list[PlannedRow] = field(default_factory=list)
    same: dict[str, int] = field(default_factory=dict)  # by sheet
    notes: list[str] = field(default_factory=list)

    def add(self, planned: Iterable[PlannedRow]) -> None:
        for row in planned:
            if row.outcome is Outcome.SAME:
                self.same[row.sheet.name] = self.same.get(row.sheet.name, 0) + 1
            else:
                self.rows.append(row)

    def refuse_sheet(self, sheet: Sheet, refusals: Sequence[Refusal]) -> None:
        """Refuse a sheet whose headings are not understood: one row for each of them."""
        for refusal in refusals:
            self.rows.append(
                PlannedRow(
                    sheet,
                    refusal.row,
                    Outcome.REFUSED,
                    "",
                    {},
                    Origin(refusal.sheet),
                    refusals=(refusal,),
                )
            )

    @property
    def refusals(self) -> list[Refusal]:
        return [refusal for row in self.rows for refusal in row.refusals]

    @property
    def totals(self) -> dict[str, int]:
        """Rows of each outcome over the whole workbook."""
        return _totals(self.rows, sum(self.same.values()))

    @property
    def totals_by_sheet(self) -> dict[str, dict[str, int]]:
        names = dict.fromkeys([*self.same, *(row.sheet.name for row in self.rows)])
        by_sheet: dict[str, list[PlannedRow]] = {name: [] for name in names}
        for row in self.rows:
            by_sheet[row.sheet.name].append(row)
        return {name: _totals(rows, self.same.get(name, 0)) for name, rows in by_sheet.items()}

    @property
    def can_be_applied(self) -> bool:
        """Nothing is refused and nothing is in conflict: all of it may be written."""
        return not any(row.outcome in (Outcome.REFUSED, Outcome.CONFLICT) for row in self.rows)

    def as_data(self) -> dict[str, Any]:
        """Plain data for JSON: totals, notes, and an entry for each row that is not the same."""
        return {
            "totals": self.totals,
            "notes": self.notes,
            "rows": [row.as_data() for row in self.rows],
        }


def _totals(rows: Iterable[PlannedRow], same: int) -> dict[str, int]:
    counts = {str(outcome): 0 for outcome in Outcome}
    for row in rows:
        counts[row.outcome] += 1
    counts[Outcome.SAME] += same
    return counts


def _refusal_data(refusal: Refusal) -> dict[str, Any]:
    return {
        "column": refusal.column,
        "cell": refusal.cell,
        "value": refusal.value,
        "reason": refusal.reason,
    }


def plan_rows(
    sheet: Sheet,
    rows: Iterable[Row],
    existing: Mapping[Key, Values],
    changed_since: Mapping[Key, Values | None] | None = None,
    known: dict[str, dict[str, str]] | None = None,
) -> Iterator[PlannedRow]:
    """Classify the rows of one sheet, one at a time.

    ``existing`` is what the register holds, values by field, under ``sheet.key_of(values)``.
    ``changed_since`` has the keys of what was changed (or taken out) in the program since the
    workbook was exported, each with its values as they stood at the export, or None where those are
    not known. With them, a column that the workbook leaves as it was exported keeps the program's
    newer value; a column that both have changed is a conflict. A key that differs from one in the
    register only in capitals names the same thing; it keeps the register's spelling.

    ``known`` has, for each sheet that references may point to, what can be named (``names_of`` or
    ``spellings``). References are then checked and spelt as the register does; the names of new
    rows are added as they are planned. Sheets not in it are not checked.
    """
    names = _Names(existing)
    seen: dict[Key, int] = {}
    known = {} if known is None else known
    hints = _Hints()
    references = [c for c in sheet.columns if c.kind is Kind.REFERENCE and c.refers_to in known]
    for row in rows:
        planned = PlannedRow(sheet, row.number, Outcome.REFUSED, "", row.values, row.origin)
        planned.refusals = tuple(row.refusals)
        for column in references:
            _resolve(planned, column, known[column.refers_to], hints)
        planned.key = sheet.key_text(row.values)
        if planned.refusals:
            yield planned
            continue
        key = sheet.key_of(row.values)
        found = names.find(key) if sheet.keys else None
        name = key if found is None else found
        before = seen.setdefault(name, row.number) if sheet.keys else row.number
        if before != row.number:
            planned.refuse(f"Row {before} is {planned.key} already. Keep one of the two rows.")
        else:
            _classify(planned, name, found, existing, changed_since or {})
        if planned.outcome is Outcome.NEW and sheet.name in known:
            _learn(known[sheet.name], planned.key)
        yield planned


def names_of(sheet: Sheet, rows: Iterable[Values]) -> dict[str, str]:
    """The names of a sheet's rows as ``known`` wants them."""
    return spellings(sheet.key_text(values) for values in rows)


def spellings(names: Iterable[str]) -> dict[str, str]:
    """Each name under itself, and under ``fold`` of it where no other name folds alike."""
    known: dict[str, str] = {}
    for name in names:
        _learn(known, name)
    return known


def _learn(known: dict[str, str], name: str) -> None:
    folded = fold(name)
    if known.get(folded, name) == name:
        known[folded] = name
    elif known[folded] != folded:
        known[folded] = _SEVERAL
    known[name] = name


_SEVERAL = ""  # stands for names that only their capitals tell apart


class _Hints:
    """Names that a wrong one may have meant: for the first few only, as comparing takes long."""

    def __init__(self):
        self._left = _MOST_HINTS

    def on(self, given: str, known: Mapping[str, str]) -> str:
        if not self._left or len(known) > _MOST_COMPARED or len(given) > _LONGEST_COMPARED:
            return ""
        self._left -= 1
        names: dict[str, list[str]] = {}
        for name in dict.fromkeys(filter(None, known.values())):
            names.setdefault(fold(name), []).append(name)
        near = get_close_matches(fold(given), names, n=3, cutoff=0.75)
        meant = [name for word in near for name in names[word]]
        return f" Did you mean {' or '.join(meant)}?" if meant else ""


def _resolve(planned: PlannedRow, column: Column, known: Mapping[str, str], hints: _Hints) -> None:
    """Spell a reference as the register does, or refuse it with what it may have meant."""
    given = planned.values.get(column.field)
    if given is None:
        return
    name = known.get(given) or known.get(fold(given))
    if name:
        planned.values[column.field] = name
        return
    planned.refuse(
        f'The sheet {column.refers_to} has no "{shown(given)}", and neither has the register.'
        + hints.on(given, known),
        column.field,
    )


class _Names:
    """Keys of the register, found as written or else without regard to capitals."""

    def __init__(self, existing: Mapping[Key, Values]):
        self._existing = existing
        self._folded: dict[Key, Key | None] | None = None

    def find(self, key: Key) -> Key | None:
        if key in self._existing:
            return key
        if self._folded is None:
            self._folded = {}
            for known in self._existing:
                folded = _folded(known)
                # Two that differ only in capitals are told apart by exact spelling alone.
                self._folded[folded] = None if folded in self._folded else known
        return self._folded.get(_folded(key))


def _folded(key: Key) -> Key:
    return tuple(part.casefold() if isinstance(part, str) else part for part in key)


def _classify(planned: PlannedRow, key: Key, found: Key | None, existing, changed_since) -> None:
    if found is None:
        if key in changed_since:
            planned.outcome = Outcome.CONFLICT
            planned.refusals = (_taken_out(planned),)
        else:
            planned.outcome = Outcome.NEW
        return
    planned.existing_key = found
    differing = _differences(planned, existing[found])
    if found in changed_since and differing:
        base = changed_since[found]
        if base is not None:
            differing = [c for c in differing if not _left_alone(c, base)]
            both = any(not alike(c.column, base.get(c.column.field), c.old) for c in differing)
        else:
            both = True
        if differing and both:
            planned.outcome = Outcome.CONFLICT
            planned.changes = tuple(differing)
            return
    planned.changes = tuple(differing)
    planned.outcome = Outcome.CHANGED if differing else Outcome.SAME


def _taken_out(planned: PlannedRow) -> Refusal:
    return Refusal(
        planned.origin.sheet,
        planned.number,
        "",
        planned.key,
        "This was taken out of the register after the workbook was exported. Delete the row, or "
        "enter it again in the program.",
    )


def _left_alone(change: Change, base: Values) -> bool:
    """The workbook still gives the exported value, so the program's newer one stands."""
    return alike(change.column, base.get(change.column.field), change.new)


def _differences(planned: PlannedRow, held: Values) -> list[Change]:
    columns = planned.sheet.by_field
    differences = []
    for name, new in planned.values.items():
        old = held.get(name)
        if old == new and type(old) is type(new):
            continue
        column = columns[name]
        if not column.key and not alike(column, old, new):
            differences.append(Change(column, old, new))
    return differences


def alike(column: Column, old: Any, new: Any) -> bool:
    """Whether two values mean the same, disregarding what no cell can keep.

    That is: fractions of a second, spaces at the ends of a text, the 13th figure of a number, and
    whether nothing known is written as blank or as None.
    """
    old, new = _comparable(column, old), _comparable(column, new)
    if isinstance(old, float) and isinstance(new, float):
        return math.isclose(old, new, rel_tol=1e-12, abs_tol=1e-300)
    return old == new and isinstance(old, bool) == isinstance(new, bool)


def _comparable(column: Column, value: Any) -> Any:
    if value is None or value == "":
        return column.blank
    if isinstance(value, bool):
        return value
    if isinstance(value, (int, float, Decimal)) and column.kind in (Kind.NUMBER, Kind.WHOLE):
        return float(value)
    if isinstance(value, datetime):
        return value.replace(microsecond=0)
    if isinstance(value, str):
        return tidy(value) if column.kind is Kind.REFERENCE or column.key else tidy_lines(value)
    return value


def plain(value: Any) -> Any:
    """A value as JSON can hold it: dates as ISO text."""
    if isinstance(value, (date, datetime)):
        return value.isoformat()
    return float(value) if isinstance(value, Decimal) else value
