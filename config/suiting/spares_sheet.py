"""The table of spares and places as a workbook: one sheet, spares down, places across."""

from typing import BinaryIO

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from assets.engineering.suitability import Outcome
from assets.workbook.writing import put_text, text_cell
from config.suiting.spares import SparesTable

SHEET = "Spares and places"
HEADINGS = ("Points", "Place", "Number", "Rod there now", "What the rules say of it")
SPARE_COLUMNS = ("Spare", "Generation", "Insulation")
_BY_SEVERITY = [outcome.label for outcome in Outcome]


def write(table: SparesTable, target: BinaryIO) -> None:
    """Writes the whole table; memory does not grow with its rows."""
    book = Workbook(write_only=True)
    page = book.create_sheet(SHEET)
    page.freeze_panes = f"{get_column_letter(len(SPARE_COLUMNS) + 1)}{len(HEADINGS) + 2}"
    for column in range(len(SPARE_COLUMNS) + len(table.places)):
        page.column_dimensions[get_column_letter(column + 1)].width = 17
    for row in _heading_rows(page, table):
        page.append(row)
    for spare, severities in zip(table.spares, table.outcomes.severity.tolist(), strict=True):
        page.append(
            [
                text_cell(page, spare.tag),
                text_cell(page, spare.generation),
                text_cell(page, spare.insulation_side),
                *(_BY_SEVERITY[severity] for severity in severities),
            ]
        )
    book.save(target)


def _heading_rows(page, table: SparesTable):
    """Rows that name each place and what is there now, and one that names the spares' columns."""
    judged = [place.judged() for place in table.places]
    rows = (
        [place.points.key for place in table.places],
        [place.name for place in table.places],
        [place.position.order for place in table.places],
        [place.stretcher.tag if place.stretcher else "no stretcher" for place in table.places],
        [now.outcome.label if now else "" for now in judged],
    )
    for heading, values in zip(HEADINGS, rows, strict=True):
        yield [None, None, _bold(page, heading), *(_text(page, value) for value in values)]
    yield [_bold(page, heading) for heading in SPARE_COLUMNS]


def _text(page, value: str | int):
    return text_cell(page, value) if isinstance(value, str) else value


def _bold(page, text: str) -> WriteOnlyCell:
    cell = WriteOnlyCell(page)
    put_text(cell, text)
    cell.font = Font(bold=True)
    return cell
