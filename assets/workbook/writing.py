"""Declared sheets and their rows into an .xlsx file, as a careful person would lay it out.

Rows are written as they come, so memory does not grow with their number. Text is always written as
text: a value that begins with = + - or @ is shown, never worked out.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any, BinaryIO

from openpyxl import Workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.comments import Comment
from openpyxl.packaging.custom import StringProperty
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.utils import quote_sheetname
from openpyxl.worksheet.datavalidation import DataValidation

from .columns import Column, Kind, Sheet
from .dates import FIRST_SAFE_DAY
from .explaining import HOW_TO, explanation, explanations
from .refusals import WorkbookRefused, column_letters
from .stamps import LISTS_SHEET, README_SHEET, stamps_for
from .texts import LONGEST_TEXT, fits_a_cell, plain

LAST_ROW = 1_048_576
_PROGRESS_STEP = 500  # rows
_A4 = 9  # the format's number for the paper size
_DATE_FORMAT = "dd mmm yyyy"
_MOMENT_FORMAT = "dd mmm yyyy hh:mm:ss"
_WIDTHS = {Kind.YES_NO: 9, Kind.DATE: 13, Kind.DATE_TIME: 21, Kind.WHOLE: 10, Kind.NUMBER: 11}
_HEADING_FONT = Font(bold=True, color="FFFFFF")
_HEADING_FILL = PatternFill("solid", fgColor="2F4858")
_NEEDED_FILL = PatternFill("solid", fgColor="8A3B12")
_INFO_FILL = PatternFill("solid", fgColor="6B7280")
_WRAPPED = Alignment(wrap_text=True, vertical="top")
_LOOKS_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_WORKED_OUT = ("=", "+", "-", "@", "\t")  # beginnings that a spreadsheet may take for a formula
_NOT_PLAIN = (*_WORKED_OUT, "#")  # "#REF!" would be written as an error


@dataclass(frozen=True)
class Table:
    """One sheet and its rows: mappings from field to value; a field left out is a blank cell."""

    sheet: Sheet
    rows: Iterable[Mapping[str, Any]]


def write_book(
    target: str | BinaryIO,
    tables: Sequence[Table],
    exported_at: datetime,
    title: str = "Register",
    about: Sequence[str] = (),
    progress: Callable[[str, int], None] | None = None,
) -> dict[str, int]:
    """Write the tables to a path or binary file; returns the number of rows by sheet.

    ``exported_at`` has its time zone; it is kept in the workbook so that a later import can tell
    what has changed since. ``about`` are paragraphs for the explaining sheet. ``progress`` is
    called now and then with the sheet's name and the rows written. Date-times must be naive, as
    people read them, and are kept to the second. Raises WorkbookRefused where a text is longer
    than a cell holds or a sheet has more rows than fit.
    """
    book = Workbook(write_only=True)
    for name, value in stamps_for(exported_at):
        book.custom_doc_props.append(StringProperty(name=name, value=value))
    book.properties.title = book.properties.creator = plain(title)
    book.properties.lastModifiedBy = plain(title)
    sheets = [table.sheet for table in tables]
    lists = _Lists(sheets)
    try:
        _write_readme(book, sheets, exported_at, title, about)
        counts = {
            table.sheet.name: _write_table(book, table, sheets, lists, progress) for table in tables
        }
        lists.write(book)
    except BaseException:
        _discard(book)
        raise
    book.save(target)
    return counts


def _discard(book: Workbook) -> None:
    """Have the library remove the temporary files of the sheets begun."""
    with suppress(Exception):
        for page in book.worksheets:
            if not page.closed:
                page.close()
        book.save(BytesIO())


# Tables


def _write_table(book, table: Table, sheets, lists: "_Lists", progress) -> int:
    sheet = table.sheet
    page = book.create_sheet(sheet.name)
    _lay_out(page, sheet)
    page.append([_heading_cell(page, column) for column in sheet.columns])
    writers = [(column.field, _cell_writer(page, column)) for column in sheet.columns]
    count = 0
    try:
        for count, row in enumerate(table.rows, 1):
            if count >= LAST_ROW:
                raise WorkbookRefused(f"{sheet.name} has more rows than a sheet holds.")
            page.append([write(row.get(name)) for name, write in writers])
            if progress and count % _PROGRESS_STEP == 0:
                progress(sheet.name, count)
    except TextTooLong as problem:
        raise WorkbookRefused(f"{sheet.name}, row {count + 1}: {problem}") from None
    page.auto_filter.ref = f"A1:{column_letters(len(sheet.columns) - 1)}{count + 1}"
    _add_drop_downs(page, sheet, sheets, lists)
    page.close()
    if progress:
        progress(sheet.name, count)
    return count


class TextTooLong(WorkbookRefused):
    """A text does not fit a cell."""

    def __init__(self, beginning: str):
        super().__init__(
            f"the text is longer than a cell holds ({LONGEST_TEXT} characters): {beginning}…"
        )


def _lay_out(page, sheet: Sheet) -> None:
    """Frozen headings and keys, widths, formats of empty cells, and the page as printed."""
    leading_keys = 0
    while leading_keys < len(sheet.columns) and sheet.columns[leading_keys].key:
        leading_keys += 1
    page.freeze_panes = f"{column_letters(leading_keys)}2"
    for index, column in enumerate(sheet.columns):
        dimension = page.column_dimensions[column_letters(index)]
        dimension.width = _width(column)
        dimension.number_format = _format(column)
    page.print_title_rows = "1:1"
    page.page_setup.orientation = "landscape"
    page.page_setup.paperSize = _A4
    page.page_setup.fitToHeight = 0
    page.sheet_properties.pageSetUpPr.fitToPage = True


def _width(column: Column) -> float:
    longest_word = max(len(word) for word in column.title.split())
    natural = column.width or _WIDTHS.get(column.kind)
    if natural is None:
        labels = [len(label) for _, label in column.choices]
        natural = min(max(labels, default=16) + 3, 34)
    return max(natural, longest_word + 4)


def _format(column: Column) -> str:
    if column.kind is Kind.DATE:
        return _DATE_FORMAT
    if column.kind is Kind.DATE_TIME:
        return _MOMENT_FORMAT
    return "@" if column.kind in (Kind.TEXT, Kind.REFERENCE, Kind.CHOICE) else "General"


def _heading_cell(page, column: Column) -> Cell:
    cell = _forced_text(page, column.title)
    cell.font = _HEADING_FONT
    cell.fill = (
        _INFO_FILL if column.info else _NEEDED_FILL if column.must_be_filled else _HEADING_FILL
    )
    cell.alignment = _WRAPPED
    note = Comment(safe_text("\n".join(explanation(column))), "Register")
    note.width, note.height = 300, 130
    cell.comment = note
    return cell


# Cells


def _cell_writer(page, column: Column) -> Callable[[Any], Any]:
    """What turns a value into what is appended to the sheet: a plain value, or a styled cell."""
    if column.kind is Kind.DATE:
        return _date_writer(page, _DATE_FORMAT)
    if column.kind is Kind.DATE_TIME:
        return _date_writer(page, _MOMENT_FORMAT)
    if column.kind is Kind.YES_NO:
        return lambda value: None if value is None else "yes" if value else "no"
    if column.kind in (Kind.WHOLE, Kind.NUMBER):
        return _number_writer(page)
    return _text_writer(page, dict(column.choices), wrapped=bool(column.width))


def _text_writer(page, labels: Mapping[str, str], wrapped: bool) -> Callable[[Any], Any]:

    def write(value):
        if value is None or value == "":
            return None
        text = labels.get(value, value) if labels else value
        if not wrapped:
            return text_cell(page, text if isinstance(text, str) else str(text))
        cell = _forced_text(page, str(text))
        cell.alignment = _WRAPPED
        return cell

    return write


def text_cell(page, text: str) -> str | Cell:
    """What to append so that the text stays a text, whatever it begins with."""
    text = plain(text)
    return _forced_text(page, text) if text.startswith(_NOT_PLAIN) else safe_text(text)


def _forced_text(page, text: str) -> Cell:
    cell = WriteOnlyCell(page)
    put_text(cell, text)
    return cell


def put_text(cell: Cell, text: str) -> None:
    """Puts a text into a cell as text, whatever it begins with and whatever it holds.

    Every text of every workbook goes through here or ``text_cell``.
    """
    # The library's own setter would make a formula or an error of some texts, and refuse others.
    cell._value, cell.data_type = safe_text(text), "s"
    if cell._value.startswith(_WORKED_OUT):
        cell.quotePrefix = True


def safe_text(text: str) -> str:
    """Text as an .xlsx file can hold it, without control characters; TextTooLong says which."""
    text = plain(text)
    if not fits_a_cell(text):
        raise TextTooLong(text[:40])
    return _LOOKS_ESCAPED.sub("_x005F_", text) if "_x" in text else text


def _number_writer(page) -> Callable[[Any], Any]:
    exact = WriteOnlyCell(page)

    def write(value):
        if value is None or isinstance(value, int):
            return value
        if isinstance(value, Decimal):
            value = float(value)
        if value - value != 0:
            raise ValueError(f"{value} is not a number that a cell can hold.")
        if float(f"{value:.15g}") == value:
            return value
        cell = exact
        cell._value = repr(value)  # the library would write 16 figures, one too few for this value
        cell.data_type = "n"
        return cell

    return write


def _date_writer(page, number_format: str) -> Callable[[Any], Any]:
    styled = WriteOnlyCell(page)
    styled.number_format = number_format

    def write(value: date | datetime | None):
        if value is None:
            return None
        if isinstance(value, datetime):
            if value.tzinfo is not None:
                raise ValueError("Give date-times as people read them, without a time zone.")
            value = value.replace(microsecond=0)
            day = value.date()
        else:
            day = value
        if day < FIRST_SAFE_DAY:  # before the spreadsheet's calendar: as text
            return value.isoformat(" ") if isinstance(value, datetime) else value.isoformat()
        styled.value = value
        return styled

    return write


# Drop-downs


class _Lists:
    """The sheet of lists: one column for each different set of choices."""

    def __init__(self, sheets: Iterable[Sheet]):
        self._headings: dict[tuple[str, ...], str] = {}
        for sheet in sheets:
            for column in sheet.columns:
                labels = _labels(column)
                if labels:
                    self._headings.setdefault(labels, column.heading)

    def range_of(self, column: Column) -> str:
        labels = _labels(column)
        letters = column_letters(list(self._headings).index(labels))
        return f"{LISTS_SHEET}!${letters}$2:${letters}${len(labels) + 1}"

    def write(self, book: Workbook) -> None:
        if not self._headings:
            return
        page = book.create_sheet(LISTS_SHEET)
        page.freeze_panes = "A2"
        for index, labels in enumerate(self._headings):
            width = max(len(text) for text in (*labels, self._headings[labels])) + 2
            page.column_dimensions[column_letters(index)].width = width
        page.append([_bold(page, heading) for heading in self._headings.values()])
        for position in range(max(map(len, self._headings))):
            page.append(
                [
                    text_cell(page, labels[position]) if position < len(labels) else None
                    for labels in self._headings
                ]
            )
        page.close()


def _labels(column: Column) -> tuple[str, ...]:
    if column.info:
        return ()
    if column.kind is Kind.YES_NO:
        return ("yes", "no")
    return tuple(label for _, label in column.choices)


def _add_drop_downs(page, sheet: Sheet, sheets: Sequence[Sheet], lists: _Lists) -> None:
    for index, column in enumerate(sheet.columns):
        source = lists.range_of(column) if _labels(column) else _key_range(column, sheets)
        if source is None:
            continue
        letters = column_letters(index)
        choice = DataValidation(type="list", formula1=source, allow_blank=True)
        choice.errorStyle = "warning"
        choice.errorTitle = column.heading[:32]
        choice.error = "This is not on the list. It will be refused when the workbook is loaded."
        choice.showErrorMessage = True
        choice.add(f"{letters}2:{letters}{LAST_ROW}")
        page.data_validations.append(choice)


def _key_range(column: Column, sheets: Sequence[Sheet]) -> str | None:
    """Where the names that a reference may give stand, if they stand in one column."""
    if column.kind is not Kind.REFERENCE or column.info:
        return None
    for sheet in sheets:
        if sheet.name == column.refers_to and len(sheet.keys) == 1:
            letters = column_letters(sheet.columns.index(sheet.keys[0]))
            return f"{quote_sheetname(sheet.name)}!${letters}$2:${letters}${LAST_ROW}"
    return None


# The explaining sheet


def _write_readme(book, sheets, exported_at: datetime, title: str, about) -> None:
    page = book.create_sheet(README_SHEET)
    for letters, width in zip("ABCDE", (26, 34, 16, 60, 40), strict=True):
        page.column_dimensions[letters].width = width
    page.append([_bold(page, title, size=14)])
    for paragraph in (*about, *HOW_TO):
        page.append([text_cell(page, paragraph)])
    page.append([])
    for name, value in stamps_for(exported_at):
        page.append([name, value])
    page.append([])
    page.append([_bold(page, text) for text in ("Sheet", "Heading", "Kind", "How to fill it in")])
    for row in explanations(sheets):
        page.append([text_cell(page, text) for text in row])
    page.close()


def _bold(page, text: str, size: int = 11) -> Cell:
    cell = _forced_text(page, text)
    cell.font = Font(bold=True, size=size)
    return cell
