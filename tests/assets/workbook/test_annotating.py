"""The copy that goes back to the person, with a note on each refused cell."""

import io

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.styles import Font

from assets.workbook import annotating
from assets.workbook.annotating import annotated_copy
from assets.workbook.refusals import Refusal, WorkbookRefused

from .files import (
    RODS,
    cell,
    heading_row,
    make_rod,
    package,
    rod_rows,
    row,
    saved,
    sheet_xml,
    written,
)


def annotated(source, refusals, name="book.xlsx"):
    target = io.BytesIO()
    annotated_copy(source, refusals, target, name)
    return load_workbook(target)


@pytest.fixture(params=["whole", "row by row"])
def way(request, monkeypatch):
    """Both ways of copying: as it is, and values only, as for very large workbooks."""
    if request.param == "row by row":
        monkeypatch.setattr(annotating, "_MOST_KEPT_WHOLE", 0)
    return request.param


def test_each_refused_cell_has_its_reason_as_a_note(way):
    book = Workbook()
    page = book.active
    page.title = "Stretchers"
    for cells in [["Tag", "Turns", "Kicker"], ["ST-1", "x", "yes"], [None, 2, "maybe"]]:
        page.append(cells)
    source = saved(book)
    _, refusals, _ = rod_rows(source)
    copy = annotated(source, refusals)["Stretchers"]
    noted = {c.coordinate for cells in copy.iter_rows() for c in cells if c.comment}
    assert noted == {"B2", "A3", "C3"}
    assert '"x" is not a' in copy["B2"].comment.text
    assert "must be filled in" in copy["A3"].comment.text
    assert copy["B2"].fill.fgColor.rgb.endswith("F6C6B5")
    assert [c.value for c in copy[2]] == ["ST-1", "x", "yes"]


def test_the_copy_can_be_corrected_and_loaded(way):
    source = written((RODS, [make_rod("=ST-1", note="-5"), make_rod("ST-2", pitch_mm=2.5)]))
    refusals = [Refusal("Stretchers", 3, "Note", "", "Say more.", "I3")]
    target = io.BytesIO()
    annotated_copy(source, refusals, target)
    rows, left, _ = rod_rows(target)
    assert left == []
    assert [(r.values["tag"], r.values["note"]) for r in rows] == [("=ST-1", "-5"), ("ST-2", "")]
    assert rows[1].values["pitch_mm"] == 2.5


def test_empty_rows_between_keep_every_row_where_it_was(way):
    source = package(
        sheet_xml(heading_row("Tag", "Turns"), row(9, cell("A9", "ST-1"), cell("B9", "x")))
    )
    _, refusals, _ = rod_rows(source)
    assert annotated(source, refusals)["Stretchers"]["B9"].comment


def test_several_reasons_on_one_cell_stand_below_each_other_and_rows_are_noted_in_front(way):
    source = written((RODS, [make_rod("ST-1")]))
    copy = annotated(
        source,
        [
            Refusal("Stretchers", 2, "Tag", "", "One.", "A2"),
            Refusal("Stretchers", 2, "", "", "Two."),
            Refusal("Stretchers", 50, "", "", "Beyond the last row."),
            Refusal("No such sheet", 2, "", "", "Lost."),
        ],
    )["Stretchers"]
    assert copy["A2"].comment.text == "One.\nTwo."
    assert copy["A50"].comment.text == "Beyond the last row."


def test_the_persons_own_looks_and_other_sheets_are_kept():
    book = Workbook()
    book.active.title = "Stretchers"
    book.active.append(["Tag"])
    book.active["A1"].font = Font(bold=True)
    book.create_sheet("Rota").append(["Lineman A"])
    refusals = [Refusal("Stretchers", 2, "Tag", "", "Fill it in.", "A2")]
    copy = annotated(saved(book), refusals)
    assert copy["Stretchers"]["A1"].font.bold
    assert copy["Rota"]["A1"].value == "Lineman A"


def test_a_csv_file_comes_back_as_a_workbook():
    source = io.BytesIO(b"Tag,Note\n,=1+1\n")
    refusals = [Refusal("rods", 2, "Tag", "", "Fill it in.", "A2")]
    copy = annotated(source, refusals, "rods.csv")["rods"]
    assert copy["A2"].comment.text == "Fill it in."
    assert (copy["B2"].value, copy["B2"].data_type) == ("=1+1", "s")


def test_a_workbook_the_library_cannot_open_is_copied_by_its_values():
    # A style sheet without fonts and fills: some programs write it, the library stumbles over it.
    source = package(sheet_xml(heading_row("Tag"), row(2, cell("A2", "ST-1"))))
    copy = annotated(source, [Refusal("Stretchers", 2, "Tag", "", "No.", "A2")])
    assert copy["Stretchers"]["A2"].comment.text == "No."


def test_a_merge_over_the_whole_sheet_is_not_blown_up():
    source = package(
        sheet_xml(
            heading_row("Tag"),
            row(2, cell("A2", "ST-1")),
            after='<mergeCells><mergeCell ref="A2:XFD1048576"/></mergeCells>',
        )
    )
    copy = annotated(source, [Refusal("Stretchers", 2, "Tag", "", "No.", "A2")])
    assert copy["Stretchers"]["A2"].comment


def test_a_refused_file_has_no_copy():
    with pytest.raises(WorkbookRefused):
        annotated(io.BytesIO(b"PK\x03\x04"), [])
