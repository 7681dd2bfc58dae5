"""The cells of one sheet of an .xlsx file, row by row, as plain values.

Read from the open format itself (ECMA-376 part 1, SpreadsheetML) because a register needs to know
what a library's cells leave out: whether a formula has a stored value, which rows are hidden.
"""

import re
from collections.abc import Callable, Sequence
from datetime import datetime

from . import dates
from .grids import Cells, Grid
from .refusals import BadCell, WorkbookRefused, column_index, column_letters, shown
from .safety import damaged

LAST_ROW = 1_048_576
_MOST_PIECES = 64  # of some thousand characters each; a cell holds 32,767 at most
_MOST_FIGURES = 15  # that a spreadsheet keeps of a number
_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")
_FAILED = "The formula in this cell has failed. Correct it, or type the value itself."
_NOT_STORED = (
    "This cell holds a formula without a stored value. Open the workbook in a spreadsheet program "
    "and save it there, or type the value itself."
)


def row_handlers(
    grid: Grid,
    ready: list[tuple[int, Cells]],
    prefix: str,
    value_of: Callable[[str, str | None, str | None], object],
    most_columns: int,
) -> tuple[Callable, Callable, Callable]:
    """Handlers of starts, ends and texts of a sheet's elements; they put filled rows in ``ready``.

    ``prefix`` is what the sheet's elements have before their names. One closure with plain
    comparisons, as this is where the time of a large import goes.
    """
    cell_name, row_name, value_name = prefix + "c", prefix + "row", prefix + "v"
    text_name, formula_name, phonetic_name = prefix + "t", prefix + "f", prefix + "rPh"
    column_name, inline_name = prefix + "col", prefix + "is"
    columns: dict[str, int] = {}
    cells: Cells = []
    pieces: list[str] = []
    kind = style = None
    number, column = 0, -1
    collecting = has_formula = has_value = inline = phonetic = in_row = in_cell = False

    def start(name, attributes):
        nonlocal kind, style, column, collecting, has_formula, has_value, inline, phonetic
        nonlocal cells, number, in_row, in_cell
        if name == cell_name:
            if in_cell or not in_row:
                raise damaged(grid.name)
            in_cell = True
            kind = attributes.get("t")
            style = attributes.get("s")
            has_formula = has_value = False
            reference = attributes.get("r")
            if reference is None:
                column += 1
            else:
                letters = reference.rstrip("0123456789")
                column = columns.get(letters, -1)
                if column < 0:
                    column = columns[letters] = _column(letters, grid.name)
        elif name == value_name:
            collecting = has_value = in_cell
        elif name == row_name:
            if in_row:
                raise damaged(grid.name)
            in_row = True
            cells = []
            column = -1
            number = _row_number(attributes.get("r"), number, grid.name)
            if attributes.get("hidden") in ("1", "true"):
                grid.count_hidden(number)
        elif name == text_name:
            collecting = inline and not phonetic
        elif name == inline_name:
            inline = in_cell
        elif name == formula_name:
            has_formula = in_cell
        elif name == phonetic_name:
            phonetic = True
        elif name == column_name and attributes.get("hidden") in ("1", "true"):
            grid.hidden_columns = True

    def end(name):
        nonlocal collecting, phonetic, inline, in_row, in_cell
        if name in (value_name, text_name):
            collecting = False
        elif name == cell_name:
            in_cell = False
            if pieces:
                raw = pieces[0] if len(pieces) == 1 else "".join(pieces)
                pieces.clear()
                value = value_of(raw, kind, style)
            elif has_formula and not (kind == "str" and has_value):
                value = BadCell("formula", _NOT_STORED)
            else:
                return
            if has_formula and type(value) is not BadCell:
                grid.formulas += 1
            if column >= most_columns:
                raise _too_wide(grid.name, column, most_columns)
            missing = column - len(cells)
            if missing >= 0:
                if missing:
                    cells.extend([None] * missing)
                cells.append(value)
            else:
                cells[column] = value
        elif name == row_name:
            in_row = False
            if cells:
                ready.append((number, cells))
        elif name == inline_name:
            inline = False
        elif name == phonetic_name:
            phonetic = False

    def text(piece):
        if collecting:
            pieces.append(piece)
            if len(pieces) > _MOST_PIECES:
                raise damaged(grid.name)

    return start, end, text


def _column(letters: str, name: str) -> int:
    try:
        return column_index(letters)
    except ValueError:
        raise damaged(name) from None


def _row_number(written: str | None, before: int, name: str) -> int:
    try:
        number = before + 1 if written is None else int(written)
    except ValueError:
        raise damaged(name) from None
    if not 1 <= number <= LAST_ROW:
        raise damaged(name)
    return number


def _too_wide(name: str, column: int, most: int) -> WorkbookRefused:
    return WorkbookRefused(
        f"Sheet {name} has a value in column {column_letters(column)}; at most {most} columns are "
        "read. Delete what is to the right of the table."
    )


def value_reader(
    strings: Sequence[str], date_styles: frozenset[str], epoch: datetime
) -> Callable[[str, str | None, str | None], object]:
    """What turns a cell's stored text, type and style into a value."""

    def value_of(raw: str, kind: str | None, style: str | None) -> object:
        try:
            if kind is None or kind == "n":
                if style in date_styles:
                    return dates.from_serial(float(raw), epoch)
                return _number(raw)
            if kind == "s":
                return (strings[int(raw)] or None) if raw.isdecimal() else _damaged_cell(raw)
            if kind in ("str", "inlineStr"):
                return unescape(raw)
            if kind == "b":
                return raw.strip() not in ("0", "false")
            if kind == "e":
                return BadCell(shown(raw), _FAILED)
            if kind == "d":
                return datetime.fromisoformat(raw).replace(tzinfo=None)
        except (ValueError, IndexError, OverflowError):
            pass
        return _damaged_cell(raw)

    return value_of


def _number(raw: str) -> int | float | BadCell:
    if raw.isdecimal() and len(raw) <= _MOST_FIGURES:
        return int(raw)
    if "_" in raw:
        raise ValueError("Python's own way of writing a number, not a spreadsheet's")
    value = float(raw)
    if value - value != 0:  # infinite, or not a number at all
        return BadCell(shown(raw), "This is not a number. Type the value again.")
    return value


def _damaged_cell(raw: str) -> BadCell:
    return BadCell(shown(raw), "The workbook's record of this cell is damaged. Type it again.")


def unescape(text: str) -> str:
    """Characters that XML cannot hold are written _xHHHH_ (ECMA-376 part 1, 22.9.2.19)."""
    return _ESCAPE.sub(_unescaped, text) if "_x" in text else text


def _unescaped(found: re.Match) -> str:
    code = int(found[1], 16)
    return found[0] if code == 0 or 0xD800 <= code <= 0xDFFF else chr(code)
