"""A copy of an uploaded workbook with a note on each cell that was refused.

A workbook of ordinary size is copied as it is. A very large one, a .csv file, or one that the
library cannot open is copied row by row instead: its values without its looks.
"""

import os
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import datetime, time
from itertools import islice
from typing import BinaryIO

from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.comments import Comment
from openpyxl.styles import PatternFill

from .grids import Cells
from .opening import Book, open_book
from .package import XlsxBook
from .refusals import BadCell, Refusal, column_index
from .texts import plain
from .writing import safe_text, text_cell

AUTHOR = "Refused on loading"
_FILL = PatternFill("solid", fgColor="F6C6B5")
_MOST_KEPT_WHOLE = 8_000_000  # bytes of unpacked parts; the library may need 20 times as much
_MOST_MERGED = 100_000  # cells: the library makes an object of each
_MOST_NOTES = 5_000
_CELL = re.compile(r"([A-Z]{1,3})([1-9]\d{0,6})")


def annotated_copy(
    source: str | os.PathLike | BinaryIO,
    refusals: Iterable[Refusal],
    target: str | BinaryIO,
    name: str = "",
) -> None:
    """Write a copy of ``source`` to ``target`` (.xlsx) with a note for each refusal.

    A refusal without a cell is noted on the first cell of its row. Notes beyond 5,000 are left out.
    ``name`` is the file's name where ``source`` has none. Raises WorkbookRefused where the file
    cannot be read at all.
    """
    notes = _notes_by_sheet(islice(refusals, _MOST_NOTES))
    with open_book(source, name) as book:
        whole = _load_whole(source) if _may_be_kept_whole(book) else None
        if whole is None:
            _copy_values(book, notes).save(target)
        else:
            _annotate_whole(whole, notes)
            whole.save(target)


def _may_be_kept_whole(book: Book) -> bool:
    if not isinstance(book, XlsxBook) or book.unpacked_size > _MOST_KEPT_WHOLE:
        return False
    areas = (
        (merge.last_row - merge.first_row + 1) * (merge.last_column - merge.first_column + 1)
        for name in book.sheet_names
        for merge in book.grid(name).merges
    )
    return sum(areas) <= _MOST_MERGED and book.is_plain()


def _notes_by_sheet(refusals: Iterable[Refusal]) -> dict[str, dict[tuple[int, int], str]]:
    """Sheet to row and column (from 0) to the reasons there."""
    notes: dict[str, dict[tuple[int, int], str]] = defaultdict(dict)
    for refusal in refusals:
        found = _CELL.fullmatch(refusal.cell)
        row = int(found[2]) if found else max(refusal.row, 1)
        place = (row, column_index(found[1]) if found else 0)
        before = notes[refusal.sheet].get(place)
        notes[refusal.sheet][place] = f"{before}\n{refusal.reason}" if before else refusal.reason
    return notes


def _load_whole(source) -> Workbook | None:
    """The workbook as the library sees it, or None where it cannot.

    The library stumbles in many ways over styles and drawings that other programs write; whatever
    it is, the copy row by row remains.
    """
    if hasattr(source, "seek"):
        source.seek(0)
    try:
        return load_workbook(source, keep_links=False)
    except Exception:  # noqa: BLE001 - see above
        return None


def _annotate_whole(book: Workbook, notes) -> None:
    for sheet_name, by_place in notes.items():
        if sheet_name not in book.sheetnames:
            continue
        page = book[sheet_name]
        for (row, column), reason in by_place.items():
            cell = page.cell(row, column + 1)
            if isinstance(cell, Cell):  # not the inside of a merged area
                cell.comment = _comment(reason)
                cell.fill = _FILL


def _copy_values(book: Book, notes) -> Workbook:
    copy = Workbook(write_only=True)
    for name in book.sheet_names:
        page = copy.create_sheet(_sheet_name(name))
        by_row: dict[int, dict[int, str]] = defaultdict(dict)
        for (row, column), reason in notes.get(name, {}).items():
            by_row[row][column] = reason
        for number, cells in _every_row(book.rows(book.grid(name)), by_row):
            page.append(_row_with_notes(page, cells, by_row.get(number, {})))
        page.close()
    return copy


def _every_row(rows: Iterator[tuple[int, Cells]], noted: Iterable[int]):
    """The rows with the empty ones between them, so that each keeps its number."""
    expected = 1
    for number, cells in rows:
        while expected < number:
            yield expected, []
            expected += 1
        yield number, cells
        expected = max(expected, number + 1)
    while expected <= max(noted, default=0):
        yield expected, []
        expected += 1


def _row_with_notes(page, cells: Cells, reasons: dict[int, str]) -> list:
    row = [_plain_cell(page, value) for value in cells]
    row += [None] * (max(reasons, default=-1) + 1 - len(row))
    for index, reason in reasons.items():
        cell = row[index]
        if not isinstance(cell, Cell):
            cell = WriteOnlyCell(page, cell)
        cell.comment = _comment(reason)
        cell.fill = _FILL
        row[index] = cell
    return row


def _plain_cell(page, value):
    """The value as it can be appended; a text always as a text."""
    if isinstance(value, BadCell):
        value = value.shown
    elif isinstance(value, time):
        value = value.isoformat()
    elif isinstance(value, datetime) and value.time() == time():
        value = value.date()
    return text_cell(page, value) if isinstance(value, str) else value


def _sheet_name(name: str) -> str:
    return re.sub(r"[\\/*?:\[\]\s]", " ", plain(name))[:31].strip("' ") or "Sheet"


def _comment(reason: str) -> Comment:
    note = Comment(safe_text(reason), AUTHOR)
    note.width, note.height = 320, 120
    return note
