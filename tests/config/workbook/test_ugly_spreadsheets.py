"""A dozen spreadsheets as volunteers make them, each ugly in its own way, and what comes of each.

The railway's own ones are read as the program proposes, without a person's corrections.
"""

import io
from datetime import date, datetime

import pytest
from openpyxl import Workbook

from assets.models import Fitting, Machine, Matching, Points, Stretcher
from assets.workbook.matching import best_proposals
from assets.workbook.opening import open_book
from assets.workbook.planning import Plan
from config.workbook import register
from tests import builders, workbooks
from tests.workbooks import load, refusals, totals

pytestmark = pytest.mark.django_db


def page_of(*rows, title: str = "Sheet1"):
    """A workbook with one sheet, to be made uglier, and that sheet."""
    book = Workbook()
    page = book.active
    page.title = title
    for row in rows:
        page.append(list(row))
    return book, page


def load_own(book: Workbook | bytes, name: str = "own.xlsx", **fixed: str) -> Plan:
    """Loads a railway's own spreadsheet by the proposed matching, with values for every row."""
    file = io.BytesIO(book) if isinstance(book, bytes) else workbooks._file_of(book)
    with open_book(file, name) as opened:
        best = max(best_proposals(opened, register.SHEETS), key=lambda proposal: proposal.score)
        layout = best.layout().as_data() | {"fixed": fixed}
        reading = register.understand(opened, Matching(name="own", layout=layout))
        return register.load(reading)


def rods() -> dict[str, Stretcher]:
    return {rod.tag: rod for rod in Stretcher.objects.all()}


def test_a_title_a_gap_and_remarks_between_the_rows():
    book, page = page_of(
        ["STRETCHERS IN THE CONTAINER, counted by the Saturday gang"],
        [],
        [],
        ["Tag", "Colour", "Condition", "Remarks"],
        ["ST-901", "yellow", "good", "from the yard"],
        ["these two need the shoes looking at before anybody fits them"],
        ["ST-902", "red", "scrap", None],
        ["Tag", "Colour", "Condition", "Remarks"],
        ["ST-903", "black", "n/k", "no paint left"],
    )
    page.merge_cells("A1:D1")
    plan = load_own(book)
    assert (totals(plan), refusals(plan)) == ((3, 0, 0, 0, 0), [])
    assert rods()["ST-903"].condition == "unknown"
    assert rods()["ST-903"].note == "no paint left"
    assert "Sheet Sheet1, row 8: headings again; not read." in plan.notes
    assert any("row 6 looks like a remark" in note for note in plan.notes)


def test_units_in_headings_in_cells_and_in_inches():
    book, _ = page_of(
        ["Tag", "Thread pitch, mm", "Length over backs, least (in)", "Length over backs, most"],
        ["ST-1", "4 mm", 45.25, "1200mm"],
        ["ST-2", 3.5, "45 1/2", "47 1/4 in"],
        ["ST-3", "5/32 in", "1150 mm", '3 ft 11 1/4"'],
    )
    plan = load_own(book)
    assert refusals(plan) == [
        ("Sheet1", 3, "Length over backs, least (mm)",
         '"45 1/2" can be read as 45 1/2 mm or as 45 1/2 in: write the unit.')
    ]  # fmt: skip
    book.active["C3"] = "45 1/2 in"
    assert totals(load_own(book)) == (3, 0, 0, 0, 0)
    found = rods()
    assert found["ST-1"].length_min_mm == pytest.approx(1149.35)
    assert found["ST-1"].length_max_mm == 1200
    assert found["ST-2"].length_max_mm == pytest.approx(1200.15)
    assert found["ST-3"].thread_pitch_mm == pytest.approx(3.96875)
    assert found["ST-3"].length_max_mm == pytest.approx(47.25 * 25.4)


def test_yes_and_no_in_every_spelling_and_none():
    spellings = ["Y", "yes ", True, "✓", "TRUE", 1, "N", "No", False, 0, "?", "n/k", "-", None]
    book, _ = page_of(
        ["Tag", "Kicker?", "Turnable end for end"],
        *([f"ST-{n}", word, word] for n, word in enumerate(spellings)),
    )
    plan = load_own(book)
    assert refusals(plan) == []
    kickers = [rod.kicker for rod in sorted(rods().values(), key=lambda r: int(r.tag[3:]))]
    assert kickers == [True] * 6 + [False] * 4 + [None] * 4


def test_dates_in_text_day_first_and_one_that_never_was():
    points = builders.make_points("12")
    for order in range(1, 6):
        builders.make_position(points, order)
        builders.make_stretcher(f"ST-{order}")
    book, _ = page_of(
        ["Part", "Points", "Place", "Fitted on"],
        ["ST-1", "SKB 12", 1, "03/05/2021"],
        ["ST-2", "skb  12", 2, "3rd May 21"],
        ["ST-3", "SKB\u00a012", 3, datetime(2021, 5, 3)],
        ["ST-4", "SKB 12", 4, "2021-05-03"],
        ["ST-5", "SKB 12", 5, "31/06/2021"],
        title="Fitted",
    )
    plan = load_own(book, kind="stretcher")
    assert refusals(plan) == [
        ("Fitted", 6, "Fitted on", "There is no such day or time as 31/06/2021.")
    ]
    book.active["D6"] = "mon 3 may 2021"
    assert totals(load_own(book, kind="stretcher")) == (5, 0, 0, 0, 0)
    assert set(Fitting.objects.values_list("fitted_on", flat=True)) == {date(2021, 5, 3)}


def test_headings_over_two_rows_with_one_merged_over_both():
    book, page = page_of(
        ["Rods of the S&T"],
        ["Tag", "Shims (mm)", None, "Shoe for rail", None],
        [None, "left", "right", "left", "right"],
        ["ST-1", 1.5, 0, "bullhead", "bullhead"],
        ["ST-2", None, 2, "flat-bottom", "flat bottom"],
    )
    page.merge_cells("B2:C2")
    page.merge_cells("D2:E2")
    plan = load_own(book)
    assert refusals(plan) == []
    first, second = rods()["ST-1"], rods()["ST-2"]
    assert (first.shim_left_mm, first.shim_right_mm) == (1.5, 0)
    assert (second.shim_left_mm, second.shim_right_mm) == (None, 2)
    assert (second.left_shoe, second.right_shoe) == ("flat_bottom", "flat_bottom")


def test_hidden_rows_columns_and_sheets_are_read_and_said():
    book, page = page_of(["Tag", "Origin"], ["ST-1", "yard"], ["ST-2", "yard"], title="Stretchers")
    page.row_dimensions[3].hidden = True
    page.column_dimensions["B"].hidden = True
    hidden = book.create_sheet("Machines")
    hidden.append(["Tag", "Kind"])
    hidden.append(["MC-1", "hand lever"])
    hidden.sheet_state = "hidden"
    plan = load(workbooks._file_of(book))
    assert totals(plan) == (3, 0, 0, 0, 0)
    notes = " ".join(plan.notes)
    assert "Sheet Stretchers has hidden rows (1: row 3)." in notes
    assert "Sheet Stretchers has hidden columns." in notes
    assert "Sheet Machines is hidden. It was read anyway." in notes
    assert Machine.objects.get().kind == "hand_lever"


def test_formulas_failed_ones_and_ones_never_worked_out():
    book, page = page_of(["Tag", "Thread pitch, length per turn (mm)"], title="Stretchers")
    page.append(["ST-1", "=2+2"])
    page.append(["ST-2", "#REF!"])
    page["B3"].data_type = "e"
    plan = load(workbooks._file_of(book))
    assert [(row, column) for _, row, column, _ in refusals(plan)] == [
        (2, "Thread pitch, length per turn (mm)"),
        (3, "Thread pitch, length per turn (mm)"),
    ]
    assert "a formula without a stored value" in plan.refusals[0].reason
    assert "has failed" in plan.refusals[1].reason


def test_numbers_as_text_and_text_as_numbers():
    book, _ = page_of(
        ["Location", "Number", "Toe to heel, as measured (mm)", "Service state", "Note"],
        ["SKB", 12, "6,858", "in use", 2019],
        ["SKB", "14", " 6858.0 ", "in use", "=see the drawing"],
        ["SKB", 15.0, "6858 mm", "in use", "-"],
        ["SKB", 16, "6.858,00", "in use", None],
        title="Points",
    )
    book.active["E3"].data_type = "s"
    builders.make_location()
    plan = load(workbooks._file_of(book))
    heel = "Toe to heel, as measured (mm)"
    assert refusals(plan) == [
        ("Points", 2, heel,
         '"6,858" can be read as 6858 or as 6.858: write it without a comma.'),
        ("Points", 5, heel,
         '"6.858,00" has a comma: write a decimal point, and no thousands.'),
    ]  # fmt: skip
    book.active["C2"], book.active["C5"] = "6858", None
    assert totals(load(workbooks._file_of(book))) == (4, 0, 0, 0, 0)
    assert list(Points.objects.order_by("number").values_list("number", "heel_mm", "note")) == [
        ("12", 6858, "2019"), ("14", 6858, "=see the drawing"), ("15", 6858, "-"), ("16", None, ""),
    ]  # fmt: skip


def test_spaces_of_every_kind_around_tags_and_one_rod_twice():
    book, _ = page_of(
        ["Tag", "Origin"],
        ["  ST-1", "a"],
        ["ST-2\u00a0", "b"],
        ["ST\u00a0 3", "c"],
        ["st-1 ", "d"],
        title="Stretchers",
    )
    builders.make_stretcher("ST-1", origin="a")
    plan = load(workbooks._file_of(book))
    assert totals(plan) == (2, 0, 1, 1, 0)
    assert refusals(plan)[0][3].startswith("Row 2 is st-1 already.")


def test_a_semicolon_file_from_an_old_machine():
    text = "Tag;Colour generation;Origin;Tightening torque laid down (N·m)\r\n"
    text += 'ST-1;yellow (adjustable);"Käthe\'s shed; the back";"220"\r\n\r\nST-2;;;\r\n'
    plan = load_csv(text.encode("cp1252"))
    assert totals(plan) == (2, 0, 0, 0, 0)
    assert plan.notes[0] == "Read as Windows-1252 text with fields separated by semicolons."
    assert rods()["ST-1"].origin == "Käthe's shed; the back"
    assert rods()["ST-2"].torque_nm is None


def load_csv(data: bytes, name: str = "rods.csv") -> Plan:
    with open_book(io.BytesIO(data), name) as book:
        return register.load(register.understand(book))


def test_words_of_the_railways_own_for_colours_and_conditions():
    book, _ = page_of(
        ["Rod", "Paint", "Cond", "Notes"],
        ["ST-1", "Yellow adj.", "worn", ""],
        ["ST-2", "RED", "Good", ""],
        ["ST-3", "blue", "good", "somebody's joke"],
    )
    plan = load_own(book)
    assert [(row, column) for _, row, column, _ in refusals(plan)] == [(4, "Colour generation")]
    assert "Choose one of: black" in plan.refusals[0].reason
    book.active["B4"] = None
    assert totals(load_own(book)) == (3, 0, 0, 0, 0)
    assert {tag: rod.generation for tag, rod in rods().items()} == {
        "ST-1": "yellow", "ST-2": "red", "ST-3": "unknown",
    }  # fmt: skip
    assert rods()["ST-1"].condition == "worn"


def test_merged_cells_down_the_side_stand_for_each_row_they_cover():
    book, page = page_of(
        ["Tag", "Colour generation", "Origin"],
        ["ST-1", "red", "Tarn Halt"],
        ["ST-2", None, None],
        ["ST-3", None, "yard"],
        title="Stretchers",
    )
    page.merge_cells("B2:B4")
    page.merge_cells("C2:C3")
    plan = load(workbooks._file_of(book))
    assert totals(plan) == (3, 0, 0, 0, 0)
    assert [(r.generation, r.origin) for r in Stretcher.objects.order_by("tag")] == [
        ("red", "Tarn Halt"), ("red", "Tarn Halt"), ("red", "yard"),
    ]  # fmt: skip
    assert any("B2:B4 are merged" in note for note in plan.notes)


def test_a_sheet_with_columns_and_cells_of_nobodys():
    book, page = page_of(
        ["Tag", "Origin", "Weight"],
        ["ST-1", "yard", 12],
        title="Stretchers",
    )
    plan = load(workbooks._file_of(book))
    assert refusals(plan)[0][:3] == ("Stretchers", 1, "Weight")
    assert "has no such heading" in plan.refusals[0].reason
    page["C1"] = None
    plan = load(workbooks._file_of(book))
    assert refusals(plan)[0][:3] == ("Stretchers", 2, "column C")
    page["C2"] = None
    assert totals(load(workbooks._file_of(book))) == (1, 0, 0, 0, 0)
