"""A workbook filled in by a person, read against its declared sheets."""

import io
import subprocess
import sys
from datetime import date, datetime

import pytest
from openpyxl import Workbook

from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.layout import Layout, Source
from assets.workbook.opening import open_book
from assets.workbook.reading import read_book
from assets.workbook.refusals import WorkbookRefused

from .files import (
    EXPORTED,
    POINTS,
    RODS,
    make_rod,
    plain_workbook,
    read_all,
    rod_rows,
    saved,
    written,
)


def test_columns_may_stand_in_any_order_and_be_left_out():
    rows, refusals, _ = rod_rows(
        plain_workbook([["Note", "Thread pitch (mm)", "Tag"], ["worn", 2.5, "ST-1"]])
    )
    assert refusals == []
    assert rows[0].values == {"note": "worn", "pitch_mm": 2.5, "tag": "ST-1"}
    assert rows[0].number == 2


@pytest.mark.parametrize(
    "heading",
    ["Thread pitch (mm)", "thread  PITCH", "Thread pitch [mm]", "Thread pitch, mm", "pitch_mm"],
)
def test_a_heading_is_known_with_or_without_its_unit(heading):
    rows, refusals, _ = rod_rows(plain_workbook([["Tag *", heading], ["ST-1", 2]]))
    assert refusals == []
    assert rows[0].values["pitch_mm"] == 2.0


def test_a_heading_in_inches_turns_its_figures_into_mm():
    rows, _, _ = rod_rows(plain_workbook([["Tag", "Thread pitch (in)"], ["ST-1", 0.125]]))
    assert rows[0].values["pitch_mm"] == 3.175


def test_a_heading_in_a_unit_of_another_kind_is_refused():
    _, refusals, _ = rod_rows(plain_workbook([["Tag", "Thread pitch (kg)"], ["ST-1", 1]]))
    assert refusals[0].reason == "kg cannot be turned into mm. Give the values in mm."
    assert refusals[0].cell == "B1"


def test_an_unknown_heading_is_refused_with_the_headings_there_are():
    rows, refusals, _ = rod_rows(plain_workbook([["Tag", "Colour of paint"], ["ST-1", "red"]]))
    assert rows == []
    assert (refusals[0].row, refusals[0].column) == (1, "Colour of paint")
    assert "Thread pitch (mm)" in refusals[0].reason


def test_the_same_heading_twice_is_refused():
    _, refusals, _ = rod_rows(
        plain_workbook([["Tag", "Thread pitch", "Thread pitch (mm)"], ["ST-1", 1, 2]])
    )
    assert "appears twice" in refusals[0].reason
    assert refusals[0].cell == "C1"


def test_a_missing_key_heading_is_refused():
    _, refusals, _ = rod_rows(plain_workbook([["Note"], ["worn"]]))
    assert refusals[0].column == "Tag"
    assert "missing" in refusals[0].reason


def test_a_title_above_the_headings_does_no_harm():
    rows, refusals, _ = rod_rows(
        plain_workbook([["Rods in the store"], [], ["Tag", "Note"], ["ST-1", "worn"]])
    )
    assert refusals == []
    assert [row.number for row in rows] == [4]


def test_each_refused_cell_says_where_it_is_and_the_rest_of_the_row_is_still_read():
    rows, refusals, _ = rod_rows(
        plain_workbook(
            [
                ["Tag", "Thread pitch (mm)", "Kicker", "Note"],
                ["ST-1", "six", "maybe", "worn"],
                [None, 2, None, None],
            ]
        )
    )
    assert [(r.sheet, r.row, r.column, r.value, r.cell) for r in refusals] == [
        ("Stretchers", 2, "Thread pitch (mm)", "six", "B2"),
        ("Stretchers", 2, "Kicker", "maybe", "C2"),
        ("Stretchers", 3, "Tag", "", "A3"),
    ]
    assert rows[0].values == {"tag": "ST-1", "note": "worn"}
    assert "must be filled in" in str(refusals[2])


def test_a_value_without_a_heading_is_refused_rather_than_lost():
    _, refusals, _ = rod_rows(
        plain_workbook([["Tag", None, "Note"], ["ST-1", "here", "worn", None, "and here"]])
    )
    assert [(r.cell, r.column) for r in refusals] == [("B2", "column B"), ("E2", "column E")]


def test_empty_rows_and_rows_of_spaces_are_passed_over():
    rows, refusals, _ = rod_rows(
        plain_workbook([["Tag", "Note"], ["ST-1", "a"], [], [" ", "\u00a0"], ["ST-2", "b"]])
    )
    assert refusals == []
    assert [row.number for row in rows] == [2, 5]


def test_sheets_are_found_by_name_whatever_the_capitals_and_others_are_mentioned():
    book = Workbook()
    book.active.title = "STRETCHERS "
    book.active.append(["Tag"])
    book.active.append(["ST-1"])
    book.create_sheet("Rota").append(["Lineman A"])
    rows, _, notes = rod_rows(saved(book))
    assert len(rows) == 1
    assert notes == ["Sheet Rota is not one of the register's. It was not read."]


def test_a_workbook_without_any_of_the_sheets_is_refused_with_their_names():
    with pytest.raises(WorkbookRefused, match=r"Rota.*Stretchers.*match its columns"):
        rod_rows(plain_workbook([["a"]], sheet="Rota"))


def test_two_sheets_of_one_name_are_refused():
    book = Workbook()
    book.active.title = "Stretchers"
    book.create_sheet("stretchers ")
    with pytest.raises(WorkbookRefused, match="two sheets"):
        rod_rows(saved(book))


def test_an_empty_sheet_is_refused_in_words():
    _, refusals, _ = rod_rows(plain_workbook([]))
    assert "has no headings" in refusals[0].reason


def test_the_time_of_export_comes_back():
    with open_book(written((RODS, []))) as book:
        assert read_book(book, [RODS]).exported_at == EXPORTED
    with open_book(plain_workbook([["Tag"]])) as book:
        assert read_book(book, [RODS]).exported_at is None


def test_the_time_of_export_comes_back_from_the_explaining_sheet_too():
    # Some spreadsheet programs drop a document's own properties when they save.
    book = Workbook()
    book.active.title = "Read me"
    book.active.append(["Exported at", "2026-03-01T09:30:00+00:00"])
    book.create_sheet("Stretchers").append(["Tag"])
    with open_book(saved(book)) as opened:
        assert read_book(opened, [RODS]).exported_at == EXPORTED


def test_a_workbook_of_a_later_format_is_refused():
    book = Workbook()
    book.active.title = "Read me"
    book.active.append(["Register format", 99])
    with pytest.raises(WorkbookRefused, match="later version"):
        rod_rows(saved(book))


def test_a_column_for_information_is_not_read_back():
    sheet = Sheet("Visit", (Column("Rod", "rod", key=True), Column("Limit", "limit", info=True)))
    rows, refusals, _ = read_all(written((sheet, [{"rod": "ST-1", "limit": "3 to 6"}])), sheet)
    assert refusals == []
    assert rows["Visit"][0].values == {"rod": "ST-1"}


def test_a_csv_file_is_taken_for_the_sheet_of_its_name():
    source = io.BytesIO(b"Tag,Kicker,Fitted on\nST-1,yes,3/5/2021\n")
    rows, refusals, notes = rod_rows(source, name="Stretchers.csv")
    assert refusals == []
    assert rows[0].values == {"tag": "ST-1", "kicker": True, "fitted_on": date(2021, 5, 3)}
    assert notes == ["Read as UTF-8 text with fields separated by commas."]


def test_a_csv_file_of_another_name_is_known_by_its_headings():
    source = io.BytesIO(b"Location,Number\nSKB,12\n")
    rows, _, _ = read_all(source, RODS, POINTS, name="upload.csv")
    assert rows["Points"][0].values == {"location": "SKB", "number": "12"}


def test_a_csv_file_that_fits_no_sheet_is_refused():
    with pytest.raises(WorkbookRefused, match=r"headings of this \.csv"):
        rod_rows(io.BytesIO(b"a,b\n1,2\n"), name="upload.csv")


@pytest.mark.parametrize(
    ("encoding", "delimiter", "said"),
    [
        ("utf-8", ",", "UTF-8 text with fields separated by commas"),
        ("utf-8-sig", ";", "UTF-8 text with fields separated by semicolons"),
        ("utf-16", "\t", "UTF-16 text with fields separated by tabs"),
        ("cp1252", ";", "Windows-1252 text with fields separated by semicolons"),
        ("utf-8", "|", "UTF-8 text with fields separated by upright bars"),
    ],
)
def test_the_encoding_and_delimiter_of_a_csv_file_are_worked_out(encoding, delimiter, said):
    lines = [["Tag", "Note", "Turns"], ["ST-1", "pitch é; 2, or so", "3"], ["ST-2", "½ worn", "4"]]
    text = "\r\n".join(delimiter.join(f'"{field}"' for field in line) for line in lines)
    rows, refusals, notes = rod_rows(io.BytesIO(text.encode(encoding)), name="Stretchers.csv")
    assert refusals == []
    assert rows[0].values == {"tag": "ST-1", "note": "pitch é; 2, or so", "turns": 3}
    assert notes == [f"Read as {said}."]


OLD_SHEET = [
    ["Skelbeck Valley Railway: rods", None, None, None],
    ["as at 2019", None, None, None],
    [],
    ["Rod no", "Paint", "Pitch (in)", "Kicker?"],
    ["ST-1", "blk", 0.125, "y"],
    ["NB pitch not checked since the winter", None, None, None],
    ["ST-2", "yellow", None, "n"],
    ["Rod no", "Paint", "Pitch (in)", "Kicker?"],
    ["ST-3", "?", "1/8 in", None],
]
OLD_LAYOUT = Layout(
    sheet="Stretchers",
    grid="Rods",
    sources=(
        Source("Rod no", "tag"),
        Source("Paint", "generation", words=(("blk", "black"),)),
        Source("Pitch (in)", "pitch_mm", unit="in"),
        Source("Kicker?", "kicker"),
    ),
    fixed=(("points", "SKB 12"),),
)


def test_a_railways_own_sheet_is_read_by_its_layout():
    source = plain_workbook(OLD_SHEET, sheet="Rods")
    rows, refusals, notes = rod_rows(source, layouts=[OLD_LAYOUT])
    assert refusals == []
    read = [
        tuple(row.values[f] for f in ("tag", "generation", "pitch_mm", "kicker")) for row in rows
    ]
    assert read == [
        ("ST-1", "black", 3.175, True),
        ("ST-2", "yellow", None, False),
        ("ST-3", "unknown", 3.175, None),
    ]
    assert {row.values["points"] for row in rows} == {"SKB 12"}
    assert any("row 6 looks like a remark" in note for note in notes)
    assert any("row 8: headings again" in note for note in notes)


def test_a_layout_is_kept_as_plain_data():
    assert Layout.from_data(OLD_LAYOUT.as_data()) == OLD_LAYOUT


def test_a_layout_whose_heading_is_gone_is_refused():
    source = plain_workbook([["Rod no", "Paint"], ["ST-1", "blk"]], sheet="Rods")
    rows, refusals, _ = rod_rows(source, layouts=[OLD_LAYOUT])
    assert rows == []
    assert {refusal.column for refusal in refusals} == {"Pitch (in)", "Kicker?"}


def test_a_layout_without_the_key_says_so():
    layout = Layout("Stretchers", "Rods", (Source("Paint", "generation"),))
    assert layout.problems(RODS) == [
        "Tag identifies the row: say which column holds it, or give one value for all."
    ]


def test_merged_cells_down_a_column_count_for_each_row_and_this_is_said():
    book = Workbook()
    page = book.active
    page.title = "Points"
    for row in [["Location", "Number"], ["SKB", "12"], [None, "13"], [None, "14"]]:
        page.append(row)
    page.merge_cells("A2:A4")
    rows, refusals, notes = read_all(saved(book), POINTS)
    assert refusals == []
    assert [row.values["location"] for row in rows["Points"]] == ["SKB", "SKB", "SKB"]
    assert "Sheet Points: A2:A4 are merged; their value was taken for each row." in notes


def test_merged_cells_across_columns_are_refused():
    book = Workbook()
    page = book.active
    page.title = "Stretchers"
    page.append(["Tag", "Note", "Turns"])
    page.append(["ST-1"])
    page.merge_cells("A2:C2")
    _, refusals, _ = rod_rows(saved(book))
    assert refusals[0].cell == "B2"
    assert "A2:C2 are merged across columns" in refusals[0].reason


def test_hidden_sheets_rows_and_columns_are_read_and_mentioned():
    book = Workbook()
    page = book.active
    page.title = "Points"
    page.append(["Location", "Number"])
    page.append(["SKB", "1"])
    rods = book.create_sheet("Stretchers")
    for row in [["Tag", "Note"], ["ST-1", "a"], ["ST-2", "b"]]:
        rods.append(row)
    rods.sheet_state = "veryHidden"
    rods.row_dimensions[3].hidden = True
    rods.column_dimensions["B"].hidden = True
    rows, refusals, notes = rod_rows(saved(book))
    assert refusals == []
    assert [row.values["tag"] for row in rows] == ["ST-1", "ST-2"]
    assert "Sheet Stretchers is hidden. It was read anyway." in notes
    assert any("hidden rows (1: row 3)" in note for note in notes)
    assert any("hidden columns" in note for note in notes)


def test_text_is_what_it_was_even_where_it_looks_like_a_formula():
    rods = [make_rod("=1+1", note="@SUM(A1)"), make_rod("-5", note="#REF!")]
    rows, refusals, _ = rod_rows(written((RODS, rods)))
    assert refusals == []
    assert [(row.values["tag"], row.values["note"]) for row in rows] == [
        ("=1+1", "@SUM(A1)"),
        ("-5", "#REF!"),
    ]


def test_a_file_of_nothing_but_refusals_stops_early(monkeypatch):
    monkeypatch.setattr("assets.workbook.reading.MOST_REFUSED_ROWS", 10)
    source = plain_workbook([["Tag", "Turns"], *([["ST-1", "x"]] * 20)])
    with pytest.raises(WorkbookRefused, match="More than 10 rows are refused"):
        rod_rows(source)


def test_the_callers_file_stays_open():
    source = written((RODS, [make_rod("ST-1", seen_at=datetime(2021, 5, 3, 14, 30))]))
    rod_rows(source)
    rows, _, _ = rod_rows(source)
    assert rows[0].values["seen_at"] == datetime(2021, 5, 3, 14, 30)


def test_a_choice_column_may_be_required():
    sheet = Sheet(
        "Rods",
        (
            Column("Tag", "tag", key=True),
            Column("Kind", "kind", Kind.CHOICE, choices=[("a", "A")], required=True),
        ),
    )
    _, refusals, _ = read_all(plain_workbook([["Tag", "Kind"], ["1", None]], sheet="Rods"), sheet)
    assert refusals[0].reason == "Kind must be filled in."


def test_reading_and_declaring_load_no_heavy_library():
    # The library that writes workbooks brings numpy along; pages that write none do without both.
    script = (
        "import sys, assets.workbook.planning, assets.workbook.matching; "
        "print(sorted({'numpy', 'openpyxl', 'django'} & set(sys.modules)))"
    )
    result = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False
    )
    assert result.stdout == "[]\n"


OPTIONAL_KEY = Sheet(
    "Uses",
    (
        Column("Points", "points", key=True),
        Column("Rod", "rod", key=True, optional=True),
        Column("Note", "note"),
    ),
)


def test_part_of_a_key_may_be_left_blank_where_the_row_has_none():
    source = plain_workbook([["Points", "Rod"], ["SKB 12", None], ["SKB 12", "ST-1"]], sheet="Uses")
    rows, refusals, _ = read_all(source, OPTIONAL_KEY)
    assert refusals == []
    keys = [OPTIONAL_KEY.key_of(row.values) for row in rows["Uses"]]
    assert keys == [("SKB 12", None), ("SKB 12", "ST-1")]
    _, refusals, _ = read_all(plain_workbook([["Points"], ["SKB 12"]], sheet="Uses"), OPTIONAL_KEY)
    assert refusals == []
