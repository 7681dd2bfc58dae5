"""How a workbook, a cell or a row is turned away: what, where, and how to put it right."""

from collections.abc import Sequence
from dataclasses import dataclass


class WorkbookRefused(Exception):
    """The whole file is turned away; the message is a sentence for the person who sent it."""


class CellRefused(ValueError):
    """One value is turned away; the message says why and what would put it right."""


@dataclass(frozen=True, slots=True)
class BadCell:
    """Stands in a grid where a cell holds something that is not a value."""

    shown: str  # what the person sees in the cell
    reason: str

    def __str__(self) -> str:
        return self.shown


@dataclass(frozen=True, slots=True)
class Refusal:
    """One thing that cannot be taken in: where it stands, and what would put it right."""

    sheet: str
    row: int  # as numbered in the workbook; 0 where the whole sheet is meant
    column: str  # the heading; "" where the whole row is meant
    value: str  # what stands in the cell, as text
    reason: str
    cell: str = ""  # "C5", where one cell is meant

    def __str__(self) -> str:
        place = f"sheet {self.sheet}"
        if self.row:
            place += f", row {self.row}"
        if self.column:
            place += f", {self.column}"
        if self.value:
            place += f" ({self.value})"
        return f"{place}: {self.reason}"


def shown(value: object, longest: int = 60) -> str:
    """A value as the person sees it, cut short for a message."""
    if isinstance(value, float):
        value = f"{value:.15g}"
    text = "" if value is None else str(value)
    return text if len(text) <= longest else text[: longest - 1] + "…"


def listed(names: Sequence[str], most: int = 40) -> str:
    """Names for a sentence, cut off where there are very many."""
    text = ", ".join(names[:most])
    return text if len(names) <= most else f"{text} and others"


def column_letters(index: int) -> str:
    """Letters of a column counted from 0: 0 is A, 26 is AA."""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def column_index(letters: str) -> int:
    """The column counted from 0 that these letters name; ValueError for anything else."""
    index = 0
    if not letters or len(letters) > 3:
        raise ValueError(f"{letters!r} names no column")
    for letter in letters:
        if not "A" <= letter <= "Z":
            raise ValueError(f"{letters!r} names no column")
        index = index * 26 + ord(letter) - ord("A") + 1
    return index - 1
