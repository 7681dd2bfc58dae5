"""An opened book into rows of values against declared sheets, one row at a time.

Nothing is guessed and nothing passes silently: a heading or a value that is not understood becomes
a ``Refusal``; what was read although it might surprise (hidden rows, formulas, merged cells)
becomes a note.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from itertools import chain, islice
from typing import Any

from assets.workbook.unit_words import HEADING_SEARCH, Understanding, by_declaration, by_layout

from .cells import figure_of_row
from .columns import Column, Sheet, fold
from .grids import Cells, Grid
from .headings import heading_text
from .layout import Layout
from .merging import spread
from .opening import Book
from .refusals import CellRefused, Refusal, WorkbookRefused, column_letters, listed, shown
from .stamps import FORMAT, LISTS_SHEET, README_SHEET, read_stamps

MOST_REFUSED_ROWS = 5_000  # in one sheet; beyond it the file is of another kind
_REMARK_WORDS = 3  # a lone text of so many words is no key
_SUMS = {"total", "totals", "subtotal", "sub-total", "grand total", "sum"}


@dataclass(frozen=True)
class Origin:
    """Where the rows of a sheet come from: its name in the workbook, and each field's column."""

    sheet: str
    letters: Mapping[str, str] = field(default_factory=dict)

    def cell(self, field_name: str, row: int) -> str:
        """ "C5", or "" where the sheet has no column for the field."""
        letters = self.letters.get(field_name)
        return f"{letters}{row}" if letters else ""


@dataclass(slots=True)
class Row:
    """One row as read. ``values`` leaves out the fields that were refused."""

    number: int
    values: dict[str, Any]
    refusals: list[Refusal]
    origin: Origin


@dataclass
class SheetReading:
    """One sheet being read: its rows can be gone through once.

    ``refusals`` concern its headings; while there are any, no row is read. ``fields`` are those the
    sheet gives: the columns left out of it are not in the rows. ``notes`` is complete once the rows
    have been read through.
    """

    sheet: Sheet
    grid: Grid
    understood: Understanding
    below: Iterator[tuple[int, Cells]]  # the rows under the headings
    notes: list[str] = field(default_factory=list)

    @property
    def refusals(self) -> list[Refusal]:
        return self.understood.problems

    @property
    def fields(self) -> tuple[str, ...]:
        return self.understood.fields

    def rows(self) -> Iterator[Row]:
        """The rows that hold anything. Memory stays within one row."""
        if self.refusals:
            return
        origin = Origin(self.grid.name, self.understood.letters)
        refused = 0
        for number, cells in self._filled_rows():
            values, refusals = self._values(number, cells)
            if not self.understood.foreign:
                refusals += self._strays(number, cells)
            if refusals:
                refused += 1
                if refused > MOST_REFUSED_ROWS:
                    raise _hopeless(refusals[0])
            yield Row(number, values, refusals, origin)
        self.notes += _tallies(self.grid)

    def _filled_rows(self) -> Iterator[tuple[int, Cells]]:
        width = max((index for index, _, _ in self.understood.columns), default=-1) + 1
        padding = [None] * width
        foreign = self.understood.foreign
        for number, cells in self.below:
            if len(cells) < width:
                cells += padding[len(cells) :]
            if any(map(_filled, cells)) and not (foreign and self._is_remark(number, cells)):
                yield number, cells

    def _values(self, number: int, cells: Cells) -> tuple[dict[str, Any], list[Refusal]]:
        columns = self.understood.columns
        try:
            values = {column.field: parse(cells[index]) for index, column, parse in columns}
            refusals = []
        except CellRefused:
            values, refusals = self._values_and_refusals(number, cells)
        if self.understood.fixed:
            values |= self.understood.fixed
        for column in self._with_unit_in_row:
            try:
                if column.field in values:
                    values[column.field] = figure_of_row(column, values)
            except CellRefused as problem:
                place = self.understood.letters.get(column.field, "")
                refusals.append(
                    Refusal(
                        self.grid.name,
                        number,
                        column.title,
                        shown(values.pop(column.field)),
                        str(problem),
                        f"{place}{number}" if place else "",
                    )
                )
        return values, refusals

    @cached_property
    def _with_unit_in_row(self) -> list[Column]:
        return [column for column in self.sheet.columns if column.unit_in_row]

    def _values_and_refusals(self, number: int, cells: Cells):
        values, refusals = {}, []
        for index, column, parse in self.understood.columns:
            try:
                values[column.field] = parse(cells[index])
            except CellRefused as problem:
                refusals.append(self._refusal(number, index, cells, column.title, str(problem)))
        return values, refusals

    def _refusal(self, number: int, index: int, cells: Cells, column: str, reason: str) -> Refusal:
        place = f"{column_letters(index)}{number}"
        return Refusal(self.grid.name, number, column, shown(cells[index]), reason, place)

    def _strays(self, number: int, cells: Cells) -> list[Refusal]:
        """Values with no heading above: refused rather than lost."""
        headings = self.understood.headings
        if len(cells) <= len(headings) and "" not in headings:
            return []
        return [
            self._refusal(number, index, cells, f"column {column_letters(index)}", _NO_HEADING)
            for index, cell in enumerate(cells)
            if _filled(cell) and (index >= len(headings) or not headings[index])
        ]

    def _is_remark(self, number: int, cells: Cells) -> bool:
        """In a railway's own spreadsheet: a remark, a sum, or the headings again."""
        columns, headings = self.understood.columns, self.understood.headings
        if all(heading_text(cells[index]) == headings[index] for index, _, _ in columns):
            self.notes.append(f"Sheet {self.grid.name}, row {number}: headings again; not read.")
            return True
        filled = [index for index, cell in enumerate(cells) if _filled(cell)]
        keys = [index for index, column, _ in columns if column.key]
        text = heading_text(cells[filled[0]])
        if fold(text) not in _SUMS:
            # A lone key is a thing of which nothing else is known; a lone sentence is a remark.
            key = filled[0] in keys and len(text.split()) < _REMARK_WORDS
            if key or len(filled) > 1:
                return False
        self.notes.append(
            f"Sheet {self.grid.name}, row {number} looks like a remark and was not read: "
            f"{shown(cells[filled[0]])}"
        )
        return True


_NO_HEADING = (
    "There is no heading above this. Give the column one of the sheet's headings, or delete the "
    "cell."
)


def _hopeless(last: Refusal) -> WorkbookRefused:
    return WorkbookRefused(
        f"More than {MOST_REFUSED_ROWS} rows are refused, the last of them at {last} Correct one "
        "column at a time, or match the columns first."
    )


@dataclass
class Reading:
    """What a book gives: its declared sheets, in the order of declaration."""

    sheets: list[SheetReading]
    exported_at: datetime | None  # when this program wrote the workbook; None where it did not
    book_notes: list[str] = field(default_factory=list)

    @property
    def notes(self) -> list[str]:
        """All that a person should know of; complete once the rows have been read."""
        return self.book_notes + [note for sheet in self.sheets for note in sheet.notes]


def read_book(book: Book, sheets: Sequence[Sheet], layouts: Iterable[Layout] = ()) -> Reading:
    """The declared sheets found in a book, ready to be read row by row.

    A .csv file is taken as the declared sheet of its name, else the one that its headings fit.
    ``layouts`` say how a railway's own sheets are to be understood; without any, sheets are known
    by their names. Raises WorkbookRefused where the book has none of the sheets.
    """
    exported_at, version = read_stamps(book)
    if version > FORMAT:
        raise WorkbookRefused(
            "The workbook was written by a later version of this program, which may mean something "
            "different by it. Bring the program up to date, then load it."
        )
    layouts = list(layouts)
    if layouts:
        readings, notes = _by_layouts(book, sheets, layouts), []
    elif hasattr(book, "single"):
        readings, notes = [_csv_sheet(book, sheets)], []
    else:
        readings, notes = _by_names(book, sheets)
    return Reading(readings, exported_at, [*book.notes, *notes])


def read_sheet(book: Book, name: str, sheet: Sheet, layout: Layout | None = None) -> SheetReading:
    """One sheet of the book, its headings understood or refused."""
    grid = book.grid(name)
    rows = iter(book.rows(grid))
    top = list(islice(rows, HEADING_SEARCH))
    if layout is None:
        understood = by_declaration(sheet, grid, top)
    else:
        understood = by_layout(sheet, grid, top, layout)
    notes = [f"Sheet {name} is hidden. It was read anyway."] if grid.hidden else []
    notes += understood.notes
    below = chain(top[understood.rows_used :], rows)
    below = spread(below, grid, understood.last_heading_row, notes)
    return SheetReading(sheet, grid, understood, below, notes)


def _by_names(book: Book, sheets: Sequence[Sheet]) -> tuple[list[SheetReading], list[str]]:
    declared = {fold(sheet.name): sheet for sheet in sheets}
    found: dict[str, str] = {}
    notes, unread = [], []
    for name in book.sheet_names:
        word = fold(name)
        if word in declared and declared[word].reading_only:
            unread.append(_not_read(name, declared[word]))
        elif word in declared:
            if word in found:
                raise WorkbookRefused(
                    f'The workbook has two sheets called "{declared[word].name}". Keep one of them.'
                )
            found[word] = name
        elif word not in (fold(README_SHEET), fold(LISTS_SHEET)):
            notes.append(f"Sheet {name} is not one of the register's. It was not read.")
    if not found:
        if unread:
            raise WorkbookRefused(" ".join(unread))
        raise WorkbookRefused(
            f"None of its sheets ({listed(book.sheet_names)}) is one of the register's "
            f"({listed([sheet.name for sheet in sheets])}). If it is the railway's own "
            "spreadsheet, match its columns first."
        )
    return [
        read_sheet(book, found[word], declared[word]) for word in declared if word in found
    ], notes + unread


def _not_read(name: str, sheet: Sheet) -> str:
    return f"Sheet {name} is for reading only and was not read. {sheet.reading_only}"


def _by_layouts(book: Book, sheets: Sequence[Sheet], layouts: list[Layout]) -> list[SheetReading]:
    declared = {sheet.name: sheet for sheet in sheets}
    names = {fold(name): name for name in book.sheet_names}
    readings = []
    for layout in layouts:
        name = names.get(fold(layout.grid))
        if name is None and len(names) == 1:
            name = book.sheet_names[0]
        if name is None:
            raise WorkbookRefused(
                f'There is no sheet "{layout.grid}", which these columns were matched for; there '
                f"is: {listed(book.sheet_names)}."
            )
        if layout.sheet not in declared:
            raise WorkbookRefused(f'The register has no sheet "{layout.sheet}".')
        if declared[layout.sheet].reading_only:
            raise WorkbookRefused(_not_read(name, declared[layout.sheet]))
        readings.append(read_sheet(book, name, declared[layout.sheet], layout))
    return readings


def _csv_sheet(book: Book, sheets: Sequence[Sheet]) -> SheetReading:
    name = book.sheet_names[0]
    for sheet in sheets:
        if fold(sheet.name) == fold(name):
            if sheet.reading_only:
                raise WorkbookRefused(_not_read(name, sheet))
            return read_sheet(book, name, sheet)
    readings = [read_sheet(book, name, sheet) for sheet in sheets if not sheet.reading_only]
    fitting = [reading for reading in readings if not reading.refusals]
    if not fitting:
        raise WorkbookRefused(
            "The headings of this .csv file are not those of any one sheet. Give the file the name "
            f"of its sheet ({listed([sheet.name for sheet in sheets])}), or match its columns "
            "first."
        )
    return max(fitting, key=lambda reading: len(reading.fields))


def _filled(cell: object) -> bool:
    return cell is not None and not (type(cell) is str and (not cell or cell.isspace()))


def _tallies(grid: Grid) -> list[str]:
    notes = []
    if grid.hidden_rows:
        rows = ", ".join(map(str, grid.first_hidden_rows))
        more = " and others" if grid.hidden_rows > len(grid.first_hidden_rows) else ""
        notes.append(
            f"Sheet {grid.name} has hidden rows ({grid.hidden_rows}: row {rows}{more}). They were "
            "read all the same."
        )
    if grid.hidden_columns:
        notes.append(f"Sheet {grid.name} has hidden columns. They were read anyway.")
    if grid.formulas:
        cells = "1 cell" if grid.formulas == 1 else f"{grid.formulas} cells"
        notes.append(
            f"Sheet {grid.name} has formulas in {cells}. The values stored with them were used; "
            "they were not calculated again."
        )
    return notes
