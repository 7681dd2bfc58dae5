"""Visit sheets: workbooks for filling in at the lineside, or on paper, one sheet a set of points.

Each row asks for one reading or one look, with what is fitted, the limit and the last value beside
it. Filled in and loaded, a sheet gives rows of the sheets Visits, Readings and Examinations, so it
makes an inspection by the same way as the screen. The code at the end of a row says what it asks.
"""

import uuid
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, BinaryIO

from django.utils import timezone

from assets.days import day
from assets.models import Points
from assets.workbook.cells import parser_for
from assets.workbook.columns import Column, Kind, Sheet, fold
from assets.workbook.opening import Book
from assets.workbook.reading import Origin, Reading, Row
from assets.workbook.refusals import CellRefused, Refusal, WorkbookRefused, column_letters, shown
from assets.workbook.texts import plain
from inspections.catalogue.looks import items_at, items_of_points
from inspections.catalogue.quantities import QUANTITIES, Quantity
from inspections.catalogue.rod_places import RodPlace, rod_places_of
from inspections.catalogue.spots import Spot, spots_of
from inspections.catalogue.trials import Trial
from inspections.latest.readings import last_readings
from inspections.models.regimes import trials_in_force
from inspections.sheets.visits import EXAMINATIONS, READINGS, VISITS
from inspections.verdicts.limits import limits_for
from inspections.words import ItemCode, Look, QuantityCode

TITLE = "Visit sheet"
HEADINGS = ("Where", "What", "On which", "Limit", "Last", "Found", "mm from toe", "Note", "Code")
WIDTHS = (25, 30, 14, 21, 21, 15, 13, 30, 20)
FOUND, DISTANCE, NOTE, CODE = 5, 6, 7, 8  # of the columns, from 0
NOTE_HELP = (
    "If it could not be measured, or a test was made with another gauge, leave Found empty and say "
    "why under Note."
)
_BOXES = (
    "at",
    "by",
    "reason",
    "instruments",
    "rail_temperature_c",
    "note",
)  # above the table, in this order
_MARK = "Mark"


# Writing


@dataclass(frozen=True)
class Line:
    """One row to fill in."""

    where: str
    what: str
    on_which: str
    limit: str
    last: str
    choices: tuple[str, ...]  # what may be found, where it is a choice
    between: bool
    code: str


def lines_of(points: Points) -> list[Line]:
    """What to read and look at on these points as they are fitted now, from the toe."""
    today = timezone.localdate()
    rod_places = rod_places_of(points, today)
    limits, last = limits_for(points, today), last_readings(points)
    spots = spots_of(points, rod_places, trials_in_force())
    readings = [_reading_line(spot, limits, last) for spot in spots]
    looks = [
        _look_line(item, rod_place) for rod_place in rod_places for item in items_at(rod_place)
    ]
    looks += [_look_line(item, None) for item in items_of_points()]
    return readings + looks


def _reading_line(spot: Spot, limits, last) -> Line:
    quantity = spot.quantity
    bound = limits.of(quantity.code).mildest
    limit = quantity.limit_words(bound.minimum, bound.maximum) if bound else "no limit"
    if bound and not bound.confirmed:
        limit += " (not confirmed)"
    if spot.expected_words:
        limit = f"{spot.expected_words}, {limit}" if bound else spot.expected_words
    before = last.get(spot.place_key)
    return Line(
        where=_where(spot.rod_place, spot.between),
        what=quantity.label
        + ("" if quantity.answers or not quantity.unit else f" ({quantity.unit})"),
        on_which=", ".join(
            [*([spot.lie.label] if spot.lie else []), *([f"{spot.side} side"] if spot.side else [])]
        ),
        limit=limit,
        last=f"{quantity.written(before.value)}, {day(before.inspection.at)}" if before else "",
        choices=tuple(reversed(quantity.answers)) if quantity.answers else (),
        between=spot.between,
        code=_code(
            "reading",
            quantity.code,
            spot.rod_place,
            spot.between,
            spot.side,
            spot.lie,
            trial=spot.trial,
        ),
    )


def _look_line(item, rod_place: RodPlace | None) -> Line:
    return Line(
        where=_where(rod_place, False) if rod_place else "the points as a whole",
        what=item.label,
        on_which="",
        limit="",
        last="",
        choices=tuple(look.label for look in Look),
        between=False,
        code=_code("look", item.code, rod_place),
    )


def _where(rod_place: RodPlace | None, between: bool) -> str:
    if rod_place is None:
        return "between the stretchers" if between else "at the toe"
    return (
        f"{rod_place.name} ({rod_place.rod.tag})"
        if rod_place.rod
        else f"{rod_place.name} (no stretcher recorded)"
    )


def _code(
    kind: str,
    code: str,
    rod_place: RodPlace | None,
    between=False,
    side="",
    lie="",
    trial: Trial | None = None,
) -> str:
    place = f"{rod_place.position.order}" if rod_place else "between" if between else ""
    rod = rod_place.rod.tag if rod_place and rod_place.rod else ""
    gauge = (repr(trial.thickness_mm), trial.at) if trial else ()
    return "|".join((kind, str(code), place, str(side), str(lie), rod, *gauge))


def write(target: str | BinaryIO, all_points: Sequence[Points], by: str = "") -> None:
    """Writes one sheet for each set of points; a few queries for each."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.active)
    book.properties.title = book.properties.creator = TITLE
    for points in all_points:
        _write_sheet(book.create_sheet(_sheet_name(points.key, book.sheetnames)), points, by)
    book.save(target)


def _sheet_name(key: str, taken: Iterable[str]) -> str:
    allowed = ("-" if sign in "\\/*?:[]\t\n" else sign for sign in plain(key))
    name = "".join(allowed)[:27].strip("' ") or TITLE
    taken = {fold(other) for other in taken}
    return next(n for n in (name, *(f"{name} {i}" for i in range(2, 999))) if fold(n) not in taken)


def _write_sheet(page, points: Points, by: str) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side

    thin = Side(style="thin", color="999999")
    box = Border(left=thin, right=thin, top=thin, bottom=thin)
    to_fill = PatternFill("solid", fgColor="FFF8DC")
    wrapped = Alignment(wrap_text=True, vertical="center")
    bold, small = Font(bold=True), Font(size=8, color="777777")

    _put(page, 1, 0, f"{TITLE}: {points.key}", Font(bold=True, size=14))
    _put(page, 1, 4, f"{points.location.name}, {points.get_layout_display()}")
    _put(page, 1, CODE, f"{_MARK} {uuid.uuid4()}", small)
    _put(page, 2, 0, "Records and arithmetic only: it does not authorise work on or near the line. "
         f"{NOTE_HELP}", Font(italic=True, size=9))  # fmt: skip
    for row, name in enumerate(_BOXES, 3):
        column = VISITS.by_field[name]
        _put(page, row, 0, column.heading, bold)
        for index in (1, 2):
            cell = page.cell(row, index + 1)
            cell.fill, cell.border, cell.alignment = to_fill, box, wrapped
        page.merge_cells(start_row=row, start_column=2, end_row=row, end_column=3)
    page["B3"].number_format = "dd mmm yyyy hh:mm"
    _put(page, 4, 1, by)
    _put(page, 5, 1, "routine")
    _offer(page, "B5", [label for _, label in VISITS.by_field["reason"].choices])
    _put(page, 3, 3, "Day and time: 3 May 2026 14:30", small)
    _put(page, 6, 3, "Tags, separated by semicolons", small)

    first = 3 + len(_BOXES) + 1
    for index, heading in enumerate(HEADINGS):
        _put(page, first, index, heading, bold)
        page.cell(first, index + 1).border = box
        page.column_dimensions[column_letters(index)].width = WIDTHS[index]
    for number, line in enumerate(lines_of(points), first + 1):
        texts = (line.where, line.what, line.on_which, line.limit, line.last, "", "", "", line.code)
        for index, text in enumerate(texts):
            _put(page, number, index, text, small if index == CODE else None)
            cell = page.cell(number, index + 1)
            cell.border, cell.alignment = box, wrapped
            if index in (FOUND, NOTE) or (index == DISTANCE and line.between):
                cell.fill = to_fill
        page.row_dimensions[number].height = 28
        if line.choices:
            _offer(page, f"{column_letters(FOUND)}{number}", line.choices)
    page.freeze_panes = f"A{first + 1}"
    page.print_title_rows = f"{first}:{first}"
    page.page_setup.orientation, page.page_setup.paperSize = "landscape", 9
    page.page_setup.fitToHeight = 0
    page.page_margins.left = page.page_margins.right = 0.4  # inches, as the format has it
    page.sheet_properties.pageSetUpPr.fitToPage = True
    key = plain(points.key).replace("&", "&&")  # a single one begins a code of the footer
    page.oddFooter.center.text = f"{key}  page &P of &N"


def _put(page, row: int, index: int, text: str, font=None) -> None:
    from assets.workbook.writing import put_text

    cell = page.cell(row, index + 1)
    if text:
        put_text(cell, text)
    if font is not None:
        cell.font = font


def _offer(page, cell: str, choices: Sequence[str]) -> None:
    from openpyxl.worksheet.datavalidation import DataValidation

    listed = DataValidation(type="list", formula1=f'"{",".join(choices)}"', allow_blank=True)
    listed.showErrorMessage = True
    listed.add(cell)
    page.add_data_validation(listed)


# Reading


@dataclass
class GivenSheet:
    """Rows for one of the register's sheets, read from visit sheets."""

    sheet: Sheet
    given: list[Row] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def rows(self) -> Iterator[Row]:
        yield from self.given


def is_one(book: Book) -> bool:
    """Whether a book has a visit sheet."""
    return any(_title(book, name) for name in book.sheet_names)


def _title(book: Book, name: str) -> str:
    """The points of a visit sheet; "" where the sheet is another."""
    first = next(iter(book.rows(book.grid(name))), (0, []))
    text = first[1][0] if first[0] == 1 and first[1] else None
    return text.removeprefix(f"{TITLE}:").strip() if str(text).startswith(f"{TITLE}:") else ""


def read(book: Book) -> Reading:
    """The filled-in visit sheets of a book; sheets with nothing filled in are left out, and said.

    Raises WorkbookRefused where none is filled in.
    """
    given = {sheet.name: GivenSheet(sheet) for sheet in (VISITS, READINGS, EXAMINATIONS)}
    notes = list(book.notes)
    for name in book.sheet_names:
        points = _title(book, name)
        rows = dict(book.rows(book.grid(name))) if points else {}
        if not points:
            notes.append(f"Sheet {name} is not a visit sheet. It was not read.")
        elif not _read_sheet(name, points, rows, given):
            notes.append(f"Sheet {name}: nothing is filled in, so no visit is recorded.")
    if not given[VISITS.name].given:
        raise WorkbookRefused(
            "Nothing is filled in on the visit sheet: write what was found beside each reading."
        )
    return Reading(list(given.values()), None, notes)


def _read_sheet(name: str, points: str, rows: dict[int, list], given: dict[str, GivenSheet]):
    """Adds the rows of one visit sheet; whether anything was filled in."""
    start = next((n for n, cells in rows.items() if cells and cells[0] == HEADINGS[0]), None)
    if start is None:
        raise WorkbookRefused(f'Sheet {name} has lost its row of headings ("{HEADINGS[0]}" ...).')
    filled = [(n, cells) for n, cells in rows.items() if n > start and _filled_in(cells)]
    if not filled:
        return False
    visit = _visit_row(name, points, rows)
    given[VISITS.name].given.append(visit)
    about = {k: visit.values[k] for k in ("points", "at") if k in visit.values}
    for number, cells in filled:
        sheet, row = _line_row(name, number, cells, about)
        given[sheet.name].given.append(row)
        if sheet is READINGS and row.values.get("value") is not None and _at(cells, NOTE):
            remark = f"{_at(cells, 1)}, {_at(cells, 0)}: {_at(cells, NOTE)}"
            earlier = visit.values.get("note", "")
            visit.values["note"] = f"{earlier}\n{remark}".strip()
    return True


def _filled_in(cells: list) -> bool:
    return any(_at(cells, index) not in (None, "") for index in (FOUND, DISTANCE, NOTE))


def _at(cells: list, index: int):
    return cells[index] if index < len(cells) else None


class _Parsed:
    """Values of one row as they are read, with what is refused of it."""

    def __init__(self, name: str, number: int):
        self.name, self.number = name, number
        self.values: dict[str, Any] = {}
        self.letters: dict[str, str] = {}
        self.refusals: list[Refusal] = []

    def take(self, column: Column, cell: object, letters: str, number: int) -> None:
        self.letters[column.field] = letters
        try:
            self.values[column.field] = parser_for(column)(cell)
        except CellRefused as problem:
            self.refuse(column.title, cell, str(problem), f"{letters}{number}")

    def refuse(self, heading: str, cell: object, reason: str, place: str) -> None:
        self.refusals.append(Refusal(self.name, self.number, heading, shown(cell), reason, place))

    def row(self) -> Row:
        return Row(self.number, self.values, self.refusals, Origin(self.name, self.letters))


def _visit_row(name: str, points: str, rows: dict[int, list]) -> Row:
    by_heading = {cells[0]: (n, _at(cells, 1)) for n, cells in rows.items() if cells and cells[0]}
    when = by_heading.get(VISITS.by_field["at"].heading, (1, None))[0]
    parsed = _Parsed(name, when)
    parsed.take(VISITS.by_field["points"], points, "A", 1)
    for box in _BOXES:
        column = VISITS.by_field[box]
        number, cell = by_heading.get(column.heading, (when, None))
        parsed.take(column, cell, "B", number)
    mark = str(_at(rows.get(1, []), CODE) or "")
    parsed.values["client_id"] = mark.removeprefix(_MARK).strip()
    return parsed.row()


def _line_row(name: str, number: int, cells: list, about: dict[str, Any]) -> tuple[Sheet, Row]:
    parsed = _Parsed(name, number)
    parsed.values |= about
    kind, code, place, side, lie, rod, thickness, put = _decoded(_at(cells, CODE))
    letters = column_letters(FOUND)
    if place.isdecimal():
        parsed.values["order"] = int(place)
    if rod:
        parsed.values["rod"] = rod
    if kind == "look" and code in set(ItemCode):
        parsed.values["item"] = code
        parsed.take(EXAMINATIONS.by_field["found"], _at(cells, FOUND), letters, number)
        parsed.take(EXAMINATIONS.by_field["note"], _at(cells, NOTE), column_letters(NOTE), number)
        return EXAMINATIONS, parsed.row()
    if kind != "reading" or code not in set(QuantityCode):
        parsed.refuse(
            HEADINGS[CODE],
            _at(cells, CODE),
            "The code at the end of the row was changed, so nobody can tell what was measured. "
            "Download the visit sheet again.",
            f"{column_letters(CODE)}{number}",
        )
        return READINGS, parsed.row()
    parsed.values |= {"quantity": code, "side": side, "lie": lie}
    if thickness:
        gauge = READINGS.by_field["thickness_mm"]
        parsed.take(gauge, thickness, column_letters(CODE), number)
        parsed.values["tried_at"] = put
    _take_value(parsed, QUANTITIES[QuantityCode(code)], _at(cells, FOUND), letters, number)
    if place == "between" or _at(cells, DISTANCE) is not None:
        distance = READINGS.by_field["at_mm"]
        parsed.take(distance, _at(cells, DISTANCE), column_letters(DISTANCE), number)
    if parsed.values.get("value") is None and not parsed.refusals:
        note = READINGS.by_field["not_taken_reason"]
        parsed.take(note, _at(cells, NOTE), column_letters(NOTE), number)
    return READINGS, parsed.row()


def _decoded(code: object) -> list[str]:
    parts = str(code or "").split("|")
    if len(parts) == 6:  # of a reading without a gauge, or a sheet from before there were any
        return [*parts, "", ""]
    return parts if len(parts) == 8 else [""] * 8


def _take_value(parsed: _Parsed, quantity: Quantity, cell: object, letters: str, number: int):
    """The value in the quantity's unit; a test in its own words or as yes, no, 1 or 0."""
    if quantity.answers:
        words = Column("Found", "value", Kind.CHOICE, choices=_answers(quantity))
        parsed.take(words, cell, letters, number)
        if parsed.values.get("value") is not None:
            parsed.values["value"] = float(parsed.values["value"])
        return
    parsed.take(Column("Found", "value", Kind.NUMBER, unit=quantity.unit), cell, letters, number)


def _answers(quantity: Quantity) -> tuple[tuple[str, str], ...]:
    return tuple((str(value), word) for value, word in enumerate(quantity.answers or ()))
