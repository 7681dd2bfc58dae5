"""What the headings of a sheet say about its columns, by declaration or by a kept layout."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from assets.workbook.cells import Parser, parser_in_row
from assets.workbook.columns import Column, Sheet, fold
from assets.workbook.grids import Cells, Grid
from assets.workbook.headings import declared_column, heading_text, joined
from assets.workbook.layout import Layout
from assets.workbook.refusals import CellRefused, Refusal, column_letters, listed

Rows = Sequence[tuple[int, Cells]]

HEADING_SEARCH = 30  # rows looked at for the headings


@dataclass
class Understanding:
    """The columns of a sheet as understood. Nothing is read while there are ``problems``."""

    columns: list[tuple[int, Column, Parser]] = field(default_factory=list)  # index from 0
    problems: list[Refusal] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    headings: list[str] = field(default_factory=list)  # of all columns, "" where there is none
    fixed: dict[str, Any] = field(default_factory=dict)  # by field, the same in every row
    rows_used: int = 0  # of those looked at, up to the last one of headings
    last_heading_row: int = 0  # as numbered in the workbook
    foreign: bool = False  # a railway's own sheet: columns not mentioned are passed over

    @property
    def fields(self) -> tuple[str, ...]:
        return (*(column.field for _, column, _ in self.columns), *self.fixed)

    @property
    def letters(self) -> dict[str, str]:
        """The column of each field: "C"."""
        return {column.field: column_letters(index) for index, column, _ in self.columns}


def by_declaration(sheet: Sheet, grid: Grid, top: Rows) -> Understanding:
    """The columns of a declared sheet, known by their own headings."""
    found = Understanding()
    if not top:
        reason = "The sheet is empty: it has no headings."
        found.problems.append(Refusal(grid.name, 0, "", "", reason))
        return found
    start = _declared_row(sheet, top)
    number, cells = top[start]
    found.rows_used, found.last_heading_row = start + 1, number
    found.headings = [heading_text(cell) for cell in cells]
    seen: dict[str, str] = {}
    for index, heading in enumerate(found.headings):
        problem = _take(found, sheet, index, heading, seen) if heading else ""
        if problem:
            place = f"{column_letters(index)}{number}"
            found.problems.append(Refusal(grid.name, number, heading, "", problem, place))
    found.problems += [
        Refusal(
            grid.name,
            number,
            column.title,
            "",
            "This heading is missing; it identifies the rows.",
        )
        for column in sheet.columns
        if column.key and not column.optional and column.field not in seen
    ]
    return found


def _declared_row(sheet: Sheet, top: Rows) -> int:
    """Index of the row of headings: the first that has all the names of keys, else the first."""
    keys = [column for column in sheet.keys if not column.optional]
    wanted = {column.field for column in keys or sheet.columns}
    for index, (_, cells) in enumerate(top):
        matches = (declared_column(heading_text(cell), sheet) for cell in cells)
        if wanted <= {match[0] for match in matches if match}:
            return index
    return 0


def _take(found: Understanding, sheet: Sheet, index: int, heading: str, seen: dict) -> str:
    """Take a heading's column in, or say what is wrong with it."""
    match = declared_column(heading, sheet)
    if match is None and heading in sheet.moved:
        found.notes.append(f"Sheet {sheet.name}, {heading}: not read. {sheet.moved[heading]}")
        return ""
    if match is None:
        return (
            f"The sheet {sheet.name} has no such heading. Its headings are: "
            f"{listed([column.title for column in sheet.columns])}. Rename or delete the column."
        )
    name, unit = match
    column = sheet.by_field[name]
    if name in seen:
        return f'This heading appears twice ("{seen[name]}" before). Delete one of the columns.'
    seen[name] = heading
    if column.info:
        return ""
    try:
        found.columns.append((index, column, parser_in_row(column, unit)))
    except ValueError:
        return f"{unit} cannot be turned into {column.unit}. Give the values in {column.unit}."
    return ""


def by_layout(sheet: Sheet, grid: Grid, top: Rows, layout: Layout) -> Understanding:
    """The columns of a railway's own sheet, as its layout says."""
    found = Understanding(foreign=True)
    start, found.headings = _mapped_row(layout, grid, top)
    places = {fold(heading): index for index, heading in reversed(list(enumerate(found.headings)))}
    gone = "The spreadsheet no longer has this heading. Match its columns again."
    found.problems = [
        *(Refusal(grid.name, 0, "", "", problem) for problem in layout.problems(sheet)),
        *(
            Refusal(grid.name, 0, source.heading, "", gone)
            for source in layout.sources
            if fold(source.heading) not in places
        ),
    ]
    if found.problems:
        return found
    try:
        for source in layout.sources:
            parse = parser_in_row(sheet.by_field[source.field], source.unit, dict(source.words))
            place = places[fold(source.heading)]
            found.columns.append((place, sheet.by_field[source.field], parse))
        for name, text in layout.fixed:
            found.fixed[name] = parser_in_row(sheet.by_field[name])(text)
    except (CellRefused, ValueError) as problem:
        found.problems.append(Refusal(grid.name, 0, "", "", str(problem)))
        return found
    found.rows_used = start + layout.heading_rows
    found.last_heading_row = top[found.rows_used - 1][0]
    return found


def _mapped_row(layout: Layout, grid: Grid, top: Rows) -> tuple[int, list[str]]:
    """Where the layout's headings stand, and all headings of that row; the best row there is."""
    wanted = {fold(source.heading) for source in layout.sources}
    best, best_count = (0, []), -1
    for start in range(max(len(top) - layout.heading_rows + 1, 0)):
        headings = joined(top[start : start + layout.heading_rows], grid.merges)
        count = len(wanted & {fold(heading) for heading in headings})
        if count > best_count:
            best, best_count = (start, headings), count
    return best
