"""What a person finds on opening a workbook that the program wrote."""

import io
import zipfile
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.explaining import explanation
from assets.workbook.refusals import WorkbookRefused
from assets.workbook.writing import Table, write_book

from .files import EXPORTED, POINTS, RODS, make_rod, written


def opened(*tables, **options):
    return load_workbook(written(*tables, **options))


def test_sheets_stand_in_order_between_the_explanation_and_the_lists():
    book = opened((POINTS, []), (RODS, []))
    assert book.sheetnames == ["Read me", "Points", "Stretchers", "Lists"]


def test_headings_give_units_and_stay_in_sight_with_the_keys():
    page = opened((POINTS, []))["Points"]
    assert [cell.value for cell in page[1]] == ["Location", "Number", "Track gauge (mm)"]
    assert page.freeze_panes == "C2"
    assert page.auto_filter.ref == "A1:C1"
    assert page.print_title_rows == "$1:$1"


def test_each_heading_has_a_note_saying_how_to_fill_it_in():
    page = opened((RODS, []))["Stretchers"]
    assert "As stamped on the rod." in page["A1"].comment.text
    assert "must be filled in" in page["A1"].comment.text
    assert "black (oldest rods)" in page["B1"].comment.text
    assert "4 1/4 in" in page["C1"].comment.text
    assert "As named in the sheet Points" in page["H1"].comment.text


def test_numbers_are_numbers_dates_are_dates_and_choices_their_labels():
    rod = make_rod(
        "ST-014",
        generation="yellow",
        pitch_mm=2.5,
        turns=3,
        kicker=True,
        fitted_on=date(2021, 5, 3),
        seen_at=datetime(2021, 5, 3, 14, 30),
        points="SKB 12",
        note="worn",
    )
    page = opened((RODS, [rod]))["Stretchers"]
    assert [cell.value for cell in page[2]] == [
        "ST-014",
        "yellow (later rods)",
        2.5,
        3,
        "yes",
        datetime(2021, 5, 3),
        datetime(2021, 5, 3, 14, 30),
        "SKB 12",
        "worn",
    ]
    assert page["F2"].is_date
    assert page["F2"].number_format == "dd mmm yyyy"


def test_what_is_not_known_is_a_blank_cell():
    page = opened((RODS, [make_rod("ST-1", generation=None)]))["Stretchers"]
    assert [cell.value for cell in page[2]] == ["ST-1"] + [None] * 8


@pytest.mark.parametrize("text", ["=1+1", "+44 12", "-5", "@SUM(A1)", "=HYPERLINK(1)", "\t=1", "="])
def test_text_that_looks_like_a_formula_is_written_as_text(text):
    page = opened((RODS, [make_rod("ST-1", note=f"{text}")]))["Stretchers"]
    assert page["I2"].value == text
    assert page["I2"].data_type == "s"
    assert page["I2"].quotePrefix


def test_text_that_looks_like_an_error_is_written_as_text():
    page = opened((RODS, [make_rod("ST-1", note="#REF!")]))["Stretchers"]
    assert page["I2"].data_type == "s"


def test_no_formula_is_ever_written_in_headings_choices_or_help():
    sheet = Sheet(
        "Odd",
        (
            Column("=A", "a", key=True, help="=B"),
            Column("B", "b", Kind.CHOICE, choices=[("=1", "=1")]),
        ),
        "=C",
    )
    target = io.BytesIO()
    rows = [{"a": "=2", "b": "=1"}]
    write_book(target, [Table(sheet, rows)], EXPORTED, title="=T", about=["=D"])
    with zipfile.ZipFile(target) as archive:
        for name in archive.namelist():
            if name.startswith("xl/worksheets"):
                assert b"<f>" not in archive.read(name)


def test_choices_and_yes_or_no_have_drop_downs_from_the_lists():
    book = opened((RODS, []))
    ranges = {
        str(rule.sqref): rule.formula1
        for rule in book["Stretchers"].data_validations.dataValidation
    }
    assert ranges["B2:B1048576"] == "Lists!$A$2:$A$4"
    assert ranges["E2:E1048576"] == "Lists!$B$2:$B$3"
    lists = book["Lists"]
    assert [cell.value for cell in lists["A"]] == [
        "Colour generation",
        "black (oldest rods)",
        "yellow (later rods)",
        "unknown",
    ]
    assert [cell.value for cell in lists["B"]][:3] == ["Kicker", "yes", "no"]


def test_a_reference_has_a_drop_down_of_the_names_in_its_sheet():
    tags = Sheet("Rods", (Column("Note", "note"), Column("Tag", "tag", key=True)))
    uses = Sheet("Uses", (Column("Rod", "rod", Kind.REFERENCE, refers_to="Rods"),))
    rules = opened((tags, []), (uses, []))["Uses"].data_validations.dataValidation
    assert rules[0].formula1 == "'Rods'!$B$2:$B$1048576"


def test_the_explaining_sheet_says_when_it_was_written_and_how_each_column_is_filled_in():
    book = opened((POINTS, []), (RODS, []), about=["Skelbeck Valley Railway"])
    rows = list(book["Read me"].iter_rows(values_only=True))
    texts = [text for row in rows for text in row if text]
    assert "Skelbeck Valley Railway" in texts
    assert "2026-03-01T09:30:00.000000+00:00" in texts
    assert any(row[:3] == ("Stretchers", "Thread pitch (mm)", "number") for row in rows)
    assert book.custom_doc_props["Exported at"].value == "2026-03-01T09:30:00.000000+00:00"


def test_numbers_keep_their_last_figure():
    page = opened((RODS, [make_rod("ST-1", pitch_mm=0.1 + 0.2)]))["Stretchers"]
    assert page["C2"].value == 0.30000000000000004
    page = opened((RODS, [make_rod("ST-1", pitch_mm=Decimal("6.25"))]))["Stretchers"]
    assert page["C2"].value == 6.25


def test_a_day_before_the_spreadsheets_calendar_is_written_as_text():
    page = opened((RODS, [make_rod("ST-1", fitted_on=date(1850, 6, 1))]))["Stretchers"]
    assert page["F2"].value == "1850-06-01"


def test_a_text_too_long_for_a_cell_stops_the_export_and_says_where():
    rods = [make_rod("ST-1"), make_rod("ST-2", note="x" * 32_768)]
    with pytest.raises(WorkbookRefused, match="Stretchers, row 3: the text is longer"):
        written((RODS, rods))
    assert written((RODS, [make_rod("ST-3", note="x" * 32_767)]))


@pytest.mark.parametrize("value", [float("nan"), float("inf")])
def test_what_is_no_number_is_never_written(value):
    with pytest.raises(ValueError, match="not a number"):
        written((RODS, [make_rod("ST-1", pitch_mm=value)]))


def test_times_need_their_zone_at_the_top_and_none_in_the_cells():
    with pytest.raises(ValueError, match="time zone"):
        write_book(io.BytesIO(), [], datetime(2026, 3, 1))
    with pytest.raises(ValueError, match="time zone"):
        written((RODS, [make_rod("ST-1", seen_at=datetime(2026, 3, 1, tzinfo=UTC))]))


def test_progress_is_told_sheet_by_sheet():
    told = []
    rods = (make_rod(f"ST-{n}") for n in range(1_200))
    counts = write_book(
        io.BytesIO(),
        [Table(POINTS, []), Table(RODS, rods)],
        EXPORTED,
        progress=lambda sheet, done: told.append((sheet, done)),
    )
    assert told == [
        ("Points", 0),
        ("Stretchers", 500),
        ("Stretchers", 1000),
        ("Stretchers", 1200),
    ]
    assert counts == {"Points": 0, "Stretchers": 1200}


def test_a_column_for_information_is_written_and_marked():
    column = Column("Limit", "limit", Kind.TEXT, info=True, help="From the railway's limits.")
    assert explanation(column) == [
        "From the railway's limits.",
        "For your information; not read back.",
    ]
