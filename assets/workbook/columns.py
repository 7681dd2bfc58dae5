"""What a sheet holds, declared once.

A column is declared in one line; writing, reading, checking, the drop-downs, the cell notes, the
explaining sheet and the page of documentation all follow from it.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum
from functools import cached_property
from typing import Any

from .texts import plain

UNKNOWN = "unknown"


class Kind(StrEnum):
    """What a column's cells hold; the value is how the explaining sheet calls it."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    YES_NO = "yes/no"
    DATE = "date"
    DATE_TIME = "date and time"
    CHOICE = "choice"
    REFERENCE = "reference"


_BY_KIND = object()


@dataclass(frozen=True)
class Column:
    """One column of a sheet.

    ``field`` names the value in a row. ``choices`` are pairs of stored value and label.
    ``refers_to`` names the sheet whose key a reference gives. ``blank`` is what an empty cell
    stands for: unless given, "" for text, the word *unknown* for a choice that has it, and None
    for everything else. ``figure_unit`` is the unit of the figures where the heading shows none. A
    key must be filled in unless it is ``optional``: part of the name only of those rows that have
    it. ``info`` marks a column written for people and never read back. ``unit_in_row`` gives the
    unit of the figures from the other values of the row, where it is not the same in every row.
    ``formerly`` has headings that workbooks of earlier versions carry.
    ``former`` are pairs of a label that workbooks of earlier versions carry and its stored value.
    ``width`` is in characters, and texts of a column that has one are wrapped.
    """

    heading: str
    field: str
    kind: Kind = Kind.TEXT
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    required: bool = False
    key: bool = False
    optional: bool = False
    help: str = ""
    refers_to: str = ""
    blank: Any = _BY_KIND
    info: bool = False
    figure_unit: str = ""
    unit_in_row: Callable[[Mapping[str, Any]], str] | None = None
    formerly: tuple[str, ...] = ()
    former: tuple[tuple[str, str], ...] = ()
    width: int = 0

    def __post_init__(self):
        object.__setattr__(self, "kind", Kind(self.kind))
        object.__setattr__(self, "choices", tuple((str(v), str(t)) for v, t in self.choices))
        object.__setattr__(self, "figure_unit", self.figure_unit or self.unit)
        if (self.kind is Kind.CHOICE) != bool(self.choices):
            raise ValueError(f"{self.heading}: choices belong to a choice, and to nothing else.")
        if self.blank is _BY_KIND:
            object.__setattr__(self, "blank", self._usual_blank())
        if self.kind is Kind.CHOICE:
            self._check_choices()

    def _usual_blank(self) -> Any:
        if self.kind is Kind.TEXT:
            return ""
        if UNKNOWN in dict(self.choices):
            return UNKNOWN
        return None

    def _check_choices(self) -> None:
        taken: dict[str, str] = {}
        for value, label in self.choices:
            for word in {fold(value), fold(label)}:
                if taken.setdefault(word, value) != value:
                    raise ValueError(f"{self.heading}: {word!r} would mean two choices.")

    @property
    def title(self) -> str:
        """The heading as it stands in the workbook, with its unit."""
        return f"{self.heading} ({self.unit})" if self.unit else self.heading

    @property
    def must_be_filled(self) -> bool:
        return self.required or (self.key and not self.optional)

    def label(self, value: Any) -> Any:
        """What is written in the cell for a stored value: the label of a choice, else the value."""
        return self._labels.get(value, value) if self.choices else value

    @cached_property
    def _labels(self) -> dict[str, str]:
        return dict(self.choices)

    def show(self, value: Any) -> str:
        """The value as people read it, with its unit; "unknown" where there is none."""
        if value is None or value == "":
            return "blank" if self.kind is Kind.TEXT else UNKNOWN
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, datetime):
            return f"{value:%d %b %Y %H:%M}"
        if isinstance(value, date):
            return f"{value:%d %b %Y}"
        if isinstance(value, float):
            value = f"{value:.10g}"
        text = str(self.label(value))
        return f"{text} {self.unit}" if self.unit else text


@dataclass(frozen=True)
class Sheet:
    """One sheet: its name, its columns in order, and a sentence on what a row of it is.

    The columns marked ``key`` together name a row; each row of a sheet has its own. A sheet that
    is written for people and never read back says in ``reading_only`` where its things are entered
    instead. ``moved`` has headings of earlier versions whose figures are entered elsewhere now,
    each with where.
    """

    name: str
    columns: tuple[Column, ...]
    help: str = ""
    reading_only: str = ""
    moved: Mapping[str, str] = field(default_factory=dict)
    keys: tuple[Column, ...] = field(init=False)

    def __post_init__(self):
        object.__setattr__(self, "columns", tuple(self.columns))
        object.__setattr__(self, "keys", tuple(c for c in self.columns if c.key))
        _check_sheet_name(self.name)
        for what in ("heading", "field"):
            twice = _twice(fold(getattr(column, what)) for column in self.columns)
            if twice:
                raise ValueError(f"{self.name}: the {what} {twice!r} is declared twice.")

    @cached_property
    def by_field(self) -> dict[str, Column]:
        return {column.field: column for column in self.columns}

    def key_of(self, values: Mapping[str, Any]) -> tuple:
        """What names a row: its key values with their spacing evened and times cut to the second.

        Missing values come out as None. An empty tuple where the sheet declares no key.
        """
        return tuple(_even(values.get(column.field)) for column in self.keys)

    def key_text(self, values: Mapping[str, Any]) -> str:
        """The key as people write it: "SKB 12", "SKB 12 04 May 2026 11:00 track gauge"."""
        parts = (column.label(values.get(column.field)) for column in self.keys)
        return " ".join(_written(part) for part in parts if part is not None and part != "")


def _check_sheet_name(name: str) -> None:
    """The rules of .xlsx for the name of a sheet."""
    if not 1 <= len(name) <= 31 or re.search(r"[\\/*?:\[\]]", name) or name.strip("' ") != name:
        raise ValueError(f"{name!r} cannot be the name of a sheet.")


def _twice(words: Iterable[str]) -> str:
    seen = set()
    for word in words:
        if word in seen:
            return word
        seen.add(word)
    return ""


def tidy(text: str) -> str:
    """Text with its spaces evened: none at the ends, single ones inside, no non-breaking ones."""
    return " ".join(plain(text).split())


def tidy_lines(text: str) -> str:
    """Text of one or more lines as every program keeps it: plain line ends, nothing at the ends."""
    return plain(text).strip()


def fold(text: str) -> str:
    """Text for comparing words: spaces evened, case and underscores disregarded."""
    return tidy(text.replace("_", " ")).casefold()


def _written(value: Any) -> str:
    if isinstance(value, datetime):
        return f"{value:%d %b %Y %H:%M:%S}".removesuffix(":00")
    if isinstance(value, float):
        return f"{value:.15g}"
    return f"{value:%d %b %Y}" if isinstance(value, date) else str(value)


def _even(value: Any) -> Any:
    if isinstance(value, str):
        return tidy(value) or None
    return value.replace(microsecond=0) if isinstance(value, datetime) else value
