"""Workbooks made by hand for the tests: raw parts for the odd ones, plain rows for the others."""

import io
import zipfile
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from xml.sax.saxutils import escape, quoteattr

from openpyxl import Workbook

from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.opening import open_book
from assets.workbook.reading import read_book
from assets.workbook.safety import Limits
from assets.workbook.writing import Table, write_book

EXPORTED = datetime(2026, 3, 1, 9, 30, tzinfo=UTC)

POINTS = Sheet(
    "Points",
    (
        Column("Location", "location", Kind.TEXT, key=True),
        Column("Number", "number", Kind.TEXT, key=True),
        Column("Track gauge", "gauge_mm", Kind.NUMBER, unit="mm"),
    ),
    "One set of points.",
)
RODS = Sheet(
    "Stretchers",
    (
        Column("Tag", "tag", Kind.TEXT, key=True, help="As stamped on the rod."),
        Column(
            "Colour generation",
            "generation",
            Kind.CHOICE,
            choices=(
                ("black", "black (oldest rods)"),
                ("yellow", "yellow (later rods)"),
                ("unknown", "unknown"),
            ),
        ),
        Column("Thread pitch", "pitch_mm", Kind.NUMBER, unit="mm"),
        Column("Turns", "turns", Kind.WHOLE),
        Column("Kicker", "kicker", Kind.YES_NO),
        Column("Fitted on", "fitted_on", Kind.DATE),
        Column("Seen at", "seen_at", Kind.DATE_TIME),
        Column("Points", "points", Kind.REFERENCE, refers_to="Points"),
        Column("Note", "note", Kind.TEXT),
    ),
    "One rod.",
)
BLANK_ROD = {
    "generation": "unknown",
    "pitch_mm": None,
    "turns": None,
    "kicker": None,
    "fitted_on": None,
    "seen_at": None,
    "points": None,
    "note": "",
}


def make_rod(tag: str, **values) -> dict:
    return {"tag": tag, **BLANK_ROD, **values}


def written(*tables: tuple[Sheet, Sequence[Mapping]], **options) -> io.BytesIO:
    """The workbook this program writes of the tables."""
    target = io.BytesIO()
    write_book(target, [Table(*table) for table in tables], EXPORTED, **options)
    return target


def plain_workbook(rows: Sequence[Sequence], sheet: str = "Stretchers") -> io.BytesIO:
    """A workbook such as a person makes: one sheet, the rows as they come."""
    book = Workbook()
    page = book.active
    page.title = sheet
    for row in rows:
        page.append(row)
    return saved(book)


def saved(book: Workbook) -> io.BytesIO:
    target = io.BytesIO()
    book.save(target)
    return target


def read_all(source, *sheets: Sheet, name: str = "book.xlsx", layouts=(), limits=None):
    """Everything a file gives: rows by sheet, refusals, notes."""
    with open_book(source, name, limits or Limits()) as book:
        reading = read_book(book, sheets or (RODS,), layouts)
        rows = {part.sheet.name: list(part.rows()) for part in reading.sheets}
        refusals = [refusal for part in reading.sheets for refusal in part.refusals]
        refusals += [refusal for part in rows.values() for row in part for refusal in row.refusals]
        return rows, refusals, reading.notes


def rod_rows(source, **options):
    """Rows, refusals and notes of the one sheet of stretchers in a file."""
    rows, refusals, notes = read_all(source, RODS, **options)
    return rows["Stretchers"], refusals, notes


_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"


def cell(reference: str, value, kind: str = "", style: str = "", formula: str = "") -> str:
    """One cell as XML; a text goes in line, None leaves the value out."""
    attributes = f" r={quoteattr(reference)}"
    if isinstance(value, str) and not kind:
        kind, inside = "inlineStr", f"<is><t>{escape(value)}</t></is>"
    else:
        inside = "" if value is None else f"<v>{escape(str(value))}</v>"
    if formula:
        inside = f"<f>{escape(formula)}</f>{inside}"
    attributes += f' t="{kind}"' if kind else ""
    attributes += f' s="{style}"' if style else ""
    return f"<c{attributes}>{inside}</c>"


def row(number: int, *cells: str, attributes: str = "") -> str:
    return f'<row r="{number}"{attributes}>{"".join(cells)}</row>'


def heading_row(*headings: str) -> str:
    return row(1, *(cell(f"{'ABCDEFGHIJ'[i]}1", text) for i, text in enumerate(headings)))


def sheet_xml(*rows: str, before: str = "", after: str = "", prolog: str = "") -> str:
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>{prolog}<worksheet xmlns="{_MAIN}">{before}'
        f"<sheetData>{''.join(rows)}</sheetData>{after}</worksheet>"
    )


def package(
    sheet: str | bytes,
    name: str = "Stretchers",
    state: str = "visible",
    strings: str | None = None,
    date_formats: Sequence[str] = (),
    date1904: bool = False,
    more: Mapping[str, str | bytes] | None = None,
) -> io.BytesIO:
    """An .xlsx file of one sheet given as XML. Style n (from 1) has the nth number format."""
    formats = "".join(
        f'<numFmt numFmtId="{200 + i}" formatCode={quoteattr(code)}/>'
        for i, code in enumerate(date_formats)
    )
    styles = "".join(f'<xf numFmtId="{200 + i}"/>' for i in range(len(date_formats)))
    parts: dict[str, str | bytes] = {
        "[Content_Types].xml": f'<Types xmlns="{_PACKAGE}/content-types"/>',
        "_rels/.rels": _relations(("rId1", "officeDocument", "xl/workbook.xml")),
        "xl/workbook.xml": (
            f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}">'
            f'<workbookPr date1904="{int(date1904)}"/>'
            f'<sheets><sheet name={quoteattr(name)} sheetId="1" state="{state}" r:id="rId1"/>'
            "</sheets></workbook>"
        ),
        "xl/_rels/workbook.xml.rels": _relations(
            ("rId1", "worksheet", "worksheets/sheet1.xml"),
            ("rId2", "styles", "styles.xml"),
            ("rId3", "sharedStrings", "sharedStrings.xml"),
        ),
        "xl/styles.xml": (
            f'<styleSheet xmlns="{_MAIN}"><numFmts>{formats}</numFmts>'
            f'<cellXfs><xf numFmtId="0"/>{styles}</cellXfs></styleSheet>'
        ),
        "xl/worksheets/sheet1.xml": sheet,
    }
    if strings is not None:
        parts["xl/sharedStrings.xml"] = strings
    parts |= more or {}
    return zipped(parts)


def zipped(parts: Mapping[str, str | bytes]) -> io.BytesIO:
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        for part, content in parts.items():
            archive.writestr(part, content)
    return target


def _relations(*relations: tuple[str, str, str]) -> str:
    inside = "".join(
        f'<Relationship Id="{id_}" Type="{_OFFICE}/{kind}" Target="{target}"/>'
        for id_, kind, target in relations
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{inside}</Relationships>'


def strings_xml(*texts: str) -> str:
    inside = "".join(f"<si><t>{escape(text)}</t></si>" for text in texts)
    return f'<sst xmlns="{_MAIN}">{inside}</sst>'
