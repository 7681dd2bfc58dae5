"""An opened book into rows of values against declared sheets, one row at a time.

Nothing is guessed and nothing passes silently: a heading or a value that is not understood becomes
a ``Refusal``; what was read although it might surprise (hidden rows, formulas, merged cells)
becomes a note.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import islice
from typing import Any

from .cells import Parser, parser_for
from .columns import Column, Sheet, fold
from .headings import declared_column, heading_text, joined
from .layout import Layout
from .opening import Book
from .package import Cells, Grid, Merge
from .refusals import BadCell, CellRefused, Refusal, WorkbookRefused, column_letters, shown
from .stamps import FORMAT, LISTS_SHEET, README_SHEET, read_stamps

MOST_REFUSED_ROWS = 5_000  # in one sheet; beyond it the file is of another kind
_REMARK_WORDS = 3
_HEADING_SEARCH = 30  # rows looked at for the headings


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
    """One sheet being read. ``refusals`` concern its headings: while there are any, no row is read.

    ``fields`` are the fields the sheet gives; those of columns left out of it are not in the rows.
    ``notes`` is complete once the rows have been read through.
    """

    sheet: Sheet
    grid: Grid
    refusals: list[Refusal] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    fields: tuple[str, ...] = ()
    _rows: Iterator[tuple[int, Cells]] = iter(())
    _columns: list[tuple[int, Column, Parser]] = field(default_factory=list)
    _fixed: dict[str, Any] = field(default_factory=dict)
    _stray: frozenset[int] = frozenset()  # columns inside the table that have no heading
    _width: int = 0  # of the headings
    _foreign: bool = False
    _headings: list[str] = field(default_factory=list)

    def rows(self) -> Iterator[Row]:
        """The rows that hold anything, once. Memory stays within one row."""
        if self.refusals:
            return
        compiled = [(index, column.field, parse) for index, column, parse in self._columns]
        width = max((index for index, _, _ in compiled), default=-1) + 1
        padding = [None] * width
        letters = {column.field: column_letters(index) for index, column, _ in self._columns}
        origin = Origin(self.grid.name, letters)
        refused_rows = 0
        for number, cells in self._rows:
            if len(cells) < width:
                cells += padding[len(cells) :]
            if not any(_filled(cell) for cell in cells):
                continue
            if self._foreign and self._is_note(number, cells):
                continue
            refusals: list[Refusal] = []
            try:
                values = {name: parse(cells[index]) for index, name, parse in compiled}
            except CellRefused:
                values, refusals = self._values_and_refusals(number, cells)
            if self._fixed:
                values |= self._fixed
            if not self._foreign and (self._stray or len(cells) > self._width):
                refusals += self._stray_values(number, cells)
            if refusals:
                refused_rows += 1
                if refused_rows > MOST_REFUSED_ROWS:
                    raise WorkbookRefused(
                        f"More than {MOST_REFUSED_ROWS} rows are refused, the last of them at "
                        f"{refusals[0]} Correct one column at a time, or match the columns first."
                    )
            yield Row(number, values, refusals, origin)
        self.notes += _tallies(self.grid)

    def _values_and_refusals(self, number: int, cells: Cells):
        values, refusals = {}, []
        for index, column, parse in self._columns:
            try:
                values[column.field] = parse(cells[index])
            except CellRefused as problem:
                refusals.append(
                    Refusal(
                        self.grid.name,
                        number,
                        column.title,
                        shown(cells[index]),
                        str(problem),
                        f"{column_letters(index)}{number}",
                    )
                )
        return values, refusals

    def _stray_values(self, number: int, cells: Cells) -> list[Refusal]:
        indexes = [index for index in self._stray if index < len(cells)]
        indexes += range(self._width, len(cells))
        return [
            Refusal(
                self.grid.name,
                number,
                f"column {column_letters(index)}",
                shown(cells[index]),
                "There is no heading above this. Give the column one of the sheet's headings, or "
                "delete the cell.",
                f"{column_letters(index)}{number}",
            )
            for index in sorted(indexes)
            if _filled(cells[index])
        ]

    def _is_note(self, number: int, cells: Cells) -> bool:
        """In a railway's own spreadsheet: a remark between the rows, or the headings again."""
        texts = [heading_text(cell) for cell in cells]
        mapped = [index for index, _, _ in self._columns]
        if all(texts[index] == self._headings[index] for index in mapped):
            self.notes.append(f"Sheet {self.grid.name}, row {number}: headings again; not read.")
            return True
        filled = [index for index, cell in enumerate(cells) if _filled(cell)]
        if len(filled) > 1:
            return False
        keys = [index for index, column, _ in self._columns if column.key]
        # A lone key is a thing of which nothing else is known; a lone sentence is a remark.
        if filled[0] in keys and len(texts[filled[0]].split()) < _REMARK_WORDS:
            return False
        self.notes.append(
            f"Sheet {self.grid.name}, row {number} was taken as a remark and not read: "
            f"{shown(cells[filled[0]])}"
        )
        return True


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
            "else by it. Bring the program up to date, then load it."
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
    reading = SheetReading(sheet, grid)
    if grid.hidden:
        reading.notes.append(f"Sheet {name} is hidden. It was read all the same.")
    rows = iter(book.rows(grid))
    top = list(islice(rows, _HEADING_SEARCH))
    if layout is None:
        start = _find_declared(top, sheet)
        _understand(reading, top[start : start + 1], top[start + 1 :], rows)
    else:
        _apply_layout(reading, top, rows, layout)
    return reading


def _by_names(book: Book, sheets: Sequence[Sheet]) -> tuple[list[SheetReading], list[str]]:
    declared = {fold(sheet.name): sheet for sheet in sheets}
    found: dict[str, str] = {}
    notes = []
    for name in book.sheet_names:
        word = fold(name)
        if word in declared:
            if word in found:
                raise WorkbookRefused(
                    f'The workbook has two sheets called "{declared[word].name}". Keep one of them.'
                )
            found[word] = name
        elif word not in (fold(README_SHEET), fold(LISTS_SHEET)):
            notes.append(f"Sheet {name} is not one of the register's. It was not read.")
    if not found:
        raise WorkbookRefused(
            f"None of its sheets ({_listed(book.sheet_names)}) is one of the register's "
            f"({_listed([sheet.name for sheet in sheets])}). If it is the railway's own "
            "spreadsheet, match its columns first."
        )
    return [
        read_sheet(book, found[word], declared[word]) for word in declared if word in found
    ], notes


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
                f"is: {_listed(book.sheet_names)}."
            )
        if layout.sheet not in declared:
            raise WorkbookRefused(f'The register has no sheet "{layout.sheet}".')
        readings.append(read_sheet(book, name, declared[layout.sheet], layout))
    return readings


def _csv_sheet(book: Book, sheets: Sequence[Sheet]) -> SheetReading:
    name = book.sheet_names[0]
    for sheet in sheets:
        if fold(sheet.name) == fold(name):
            return read_sheet(book, name, sheet)
    readings = [read_sheet(book, name, sheet) for sheet in sheets]
    fitting = [reading for reading in readings if not reading.refusals]
    if not fitting:
        raise WorkbookRefused(
            "The headings of this .csv file are not those of any one sheet. Give the file the name "
            f"of its sheet ({_listed([sheet.name for sheet in sheets])}), or match its columns "
            "first."
        )
    return max(fitting, key=lambda reading: len(reading.fields))


def _find_declared(top: Sequence[tuple[int, Cells]], sheet: Sheet) -> int:
    """Index of the row of headings: the first that has all the names of keys, else the first."""
    keys = [column for column in sheet.keys if not column.optional]
    wanted = {column.field for column in keys or sheet.columns}
    for index, (_, cells) in enumerate(top):
        matches = (declared_column(heading_text(cell), sheet) for cell in cells)
        if wanted <= {match[0] for match in matches if match}:
            return index
    return 0


def _understand(reading, heading_rows, top, rest) -> None:
    """Fill in the columns of a declared sheet from its own headings."""
    name = reading.grid.name
    if not heading_rows:
        reading.refusals.append(Refusal(name, 0, "", "", "The sheet is empty: it has no headings."))
        return
    number, cells = heading_rows[0]
    seen: dict[str, str] = {}
    stray = set()
    for index, cell in enumerate(cells):
        heading = heading_text(cell)
        if not heading:
            stray.add(index)
            continue
        place = f"{column_letters(index)}{number}"
        problem = _take_heading(reading, index, heading, seen)
        if problem:
            reading.refusals.append(Refusal(name, number, heading, "", problem, place))
    _say_what_is_missing(reading, number, seen)
    reading.fields = tuple(column.field for _, column, _ in reading._columns)
    reading._stray = frozenset(stray)
    reading._width = len(cells)
    below = _chain(top, rest)
    reading._rows = _with_merges(below, reading.grid, number, reading.notes)


def _take_heading(reading: SheetReading, index: int, heading: str, seen: dict) -> str:
    """Take a heading's column in, or say what is wrong with it."""
    sheet = reading.sheet
    match = declared_column(heading, sheet)
    if match is None:
        return (
            f"The sheet {sheet.name} has no such heading. Its headings are: "
            f"{_listed([column.title for column in sheet.columns])}. Rename or delete the column."
        )
    name, unit = match
    column = sheet.by_field[name]
    if name in seen:
        return f'This heading stands twice ("{seen[name]}" before). Delete one of the columns.'
    seen[name] = heading
    if column.info:
        return ""
    try:
        parse = parser_for(column, unit)
    except ValueError:
        return f"{unit} cannot be turned into {column.unit}. Give the values in {column.unit}."
    reading._columns.append((index, column, parse))
    return ""


def _say_what_is_missing(reading: SheetReading, number: int, seen: Mapping[str, str]) -> None:
    for column in reading.sheet.columns:
        if column.key and not column.optional and column.field not in seen:
            reading.refusals.append(
                Refusal(
                    reading.grid.name,
                    number,
                    column.title,
                    "",
                    "This heading is missing; it is needed to know which row is which.",
                )
            )


def _apply_layout(reading: SheetReading, top, rest, layout: Layout) -> None:
    """Fill in the columns of a railway's own sheet as its layout says."""
    sheet, name = reading.sheet, reading.grid.name
    reading._foreign = True
    for problem in layout.problems(sheet):
        reading.refusals.append(Refusal(name, 0, "", "", problem))
    start, headings = _find_mapped(top, reading.grid, layout)
    missing = [s.heading for s in layout.sources if fold(s.heading) not in map(fold, headings)]
    for heading in missing:
        reading.refusals.append(
            Refusal(
                name, 0, heading, "", "The spreadsheet no longer has this heading. Match again."
            )
        )
    if reading.refusals:
        return
    index_of = {fold(heading): index for index, heading in reversed(list(enumerate(headings)))}
    try:
        for source in layout.sources:
            column = sheet.by_field[source.field]
            parse = parser_for(column, source.unit, dict(source.words))
            reading._columns.append((index_of[fold(source.heading)], column, parse))
        for field_name, text in layout.fixed:
            reading._fixed[field_name] = parser_for(sheet.by_field[field_name])(text)
    except (CellRefused, ValueError) as problem:
        reading.refusals.append(Refusal(name, 0, "", "", str(problem)))
        return
    reading.fields = (*(s.field for s in layout.sources), *reading._fixed)
    reading._headings = headings
    last = start + layout.heading_rows
    number = top[last - 1][0]
    reading._rows = _with_merges(_chain(top[last:], rest), reading.grid, number, reading.notes)


def _find_mapped(top, grid: Grid, layout: Layout) -> tuple[int, list[str]]:
    """Where the layout's headings stand, and all headings of that row; the best row there is."""
    wanted = {fold(source.heading) for source in layout.sources}
    best, best_count = (0, []), -1
    for start in range(max(len(top) - layout.heading_rows + 1, 0)):
        headings = joined(top[start : start + layout.heading_rows], grid.merges)
        count = len(wanted & {fold(heading) for heading in headings})
        if count > best_count:
            best, best_count = (start, headings), count
    return best


def _with_merges(
    rows: Iterator[tuple[int, Cells]], grid: Grid, heading_row: int, notes: list[str]
) -> Iterator[tuple[int, Cells]]:
    """Rows with merged cells answered: the value counts for each row that the area covers.

    An area over several columns cannot be answered; its second cell is refused.
    """
    merges = sorted((m for m in grid.merges if m.last_row > heading_row), key=lambda m: m.first_row)
    return _merged(rows, merges, grid.name, notes) if merges else rows


def _merged(rows, merges: list[Merge], name: str, notes: list[str]):
    waiting, active = iter(merges), []
    upcoming = next(waiting, None)
    for number, cells in rows:
        while upcoming is not None and upcoming.first_row <= number:
            active.append([upcoming, None])
            upcoming = next(waiting, None)
        active = [pair for pair in active if pair[0].last_row >= number]
        for pair in active:
            merge = pair[0]
            if merge.first_row == number:
                pair[1] = _at(cells, merge.first_column)
                if merge.last_row > number and _filled(pair[1]):
                    notes.append(
                        f"Sheet {name}: {merge} are merged; their value was taken for each row."
                    )
            elif pair[1] is not None:
                _put(cells, merge.first_column, pair[1])
            if merge.last_column > merge.first_column:
                reason = f"The cells {merge} are merged across columns. Unmerge them and fill each."
                _put(cells, merge.first_column + 1, BadCell("merged", reason))
        yield number, cells


def _at(cells: Cells, index: int):
    return cells[index] if index < len(cells) else None


def _put(cells: Cells, index: int, value) -> None:
    cells.extend([None] * (index + 1 - len(cells)))
    cells[index] = value


def _chain(top, rest):
    yield from top
    yield from rest


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
        notes.append(f"Sheet {grid.name} has hidden columns. They were read all the same.")
    if grid.formulas:
        notes.append(
            f"Sheet {grid.name} has {grid.formulas} cells with formulas. The values stored with "
            "them were used; they were not worked out again."
        )
    return notes


def _listed(names: Sequence[str], most: int = 40) -> str:
    listed = ", ".join(names[:most])
    return listed if len(names) <= most else f"{listed} and others"
