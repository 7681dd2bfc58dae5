"""Visit sheets: taken out, filled in where there is no signal, loaded as an inspection."""

import io
from datetime import datetime

import pytest
from openpyxl import load_workbook

from assets.workbook.refusals import WorkbookRefused
from inspections.models import Inspection, Reading
from inspections.sheets import to_fill_in
from inspections.words import Verdict
from tests import builders, workbooks
from tests.workbooks import load, refusals, totals

pytestmark = pytest.mark.django_db


@pytest.fixture
def points():
    return builders.make_rigged_points("12")


def sheet_of(*all_points) -> io.BytesIO:
    target = io.BytesIO()
    to_fill_in.write(target, all_points, by="Lineman A")
    target.seek(0)
    return target


def filled(source: io.BytesIO, sheet: str, given: dict, **boxes) -> io.BytesIO:
    """The sheet with boxes filled in, and for (where, what, on which) what was found and a note."""
    source.seek(0)
    book = load_workbook(source)
    page = book[sheet]
    top = {page.cell(row, 1).value: row for row in range(1, 10)}
    for heading, value in {"When": datetime(2026, 5, 4, 11, 30), **boxes}.items():
        page.cell(top[heading], 2).value = value
    left = dict(given)
    for row in page.iter_rows(min_row=9):
        where = str(row[0].value).split(" (")[0]
        place = (where, row[1].value, row[2].value or "")
        if place in left:
            found, *note = left.pop(place)
            row[to_fill_in.FOUND].value = found
            if note:
                row[to_fill_in.NOTE].value = note[0]
    assert not left, left
    return workbooks._file_of(book)


FWC = ("first stretcher", "free wheel clearance (mm)", "left closed")


def test_it_asks_for_what_the_form_asks_with_limits_rods_and_last_values(points):
    builders.set_limit("fwc", minimum=50)
    builders.make_fwc_visit(points, builders.noon(2026, 4, 4), 57.5)
    page = load_workbook(sheet_of(points))["SKB 12"]
    rows = {
        (row[0], row[1], row[2] or ""): row for row in page.iter_rows(min_row=9, values_only=True)
    }
    row = rows[f"first stretcher (ST-{points.pk}-1)", *FWC[1:]]
    assert row[3] == "at least 50 mm (not confirmed)"
    assert row[4] == "57.5 mm, 4 Apr 2026"
    assert row[5] is None
    assert ("the points as a whole", "ballast behind the stretchers", "") in rows or any(
        what == "ballast behind the stretchers" for _, what, _ in rows
    )
    assert len(rows) > 30


def test_it_prints_on_one_width_with_its_headings_on_each_page(points):
    page = load_workbook(sheet_of(points))["SKB 12"]
    assert page.page_setup.orientation == "landscape"
    assert (page.page_setup.fitToHeight, page.sheet_properties.pageSetUpPr.fitToPage) == (0, True)
    assert page.print_title_rows == "$10:$10"
    assert page.freeze_panes == "A11"


def test_filled_in_and_loaded_it_is_an_inspection_with_verdicts(points, technician):
    builders.set_limit("fwc", minimum=50)
    file = filled(
        sheet_of(points),
        "SKB 12",
        {
            FWC: (44,),
            ("at the toe", "switch opening (mm)", "left closed"): ("4 1/4 in",),
            ("at the toe", "switch opening (mm)", "right closed"): (None, "points under a train"),
            ("lock stretcher", "lock test, gauge that must lock", "left closed"): ("locked",),
            ("first stretcher", "fixings", ""): ("defective", "nut loose"),
        },
        Note="frost",
    )
    plan = load(file, technician)
    assert refusals(plan) == []
    assert totals(plan) == (6, 0, 0, 0, 0)
    visit = Inspection.objects.get()
    assert (visit.by, visit.reason, visit.note) == ("Lineman A", "routine", "frost")
    assert visit.recorded_by == technician
    by_quantity = {reading.quantity: reading for reading in visit.readings.order_by("lie", "pk")}
    assert by_quantity["fwc"].verdict == Verdict.INTERVENTION
    assert by_quantity["lock_go"].value == 1
    openings = visit.readings.filter(quantity="switch_opening").order_by("lie")
    assert [reading.value for reading in openings] == [pytest.approx(107.95), None]
    assert openings[1].not_taken_reason == "points under a train"
    [look] = visit.examinations.all()
    assert (look.found, look.note) == ("defective", "nut loose")


def test_loading_it_again_records_nothing_more(points):
    file = filled(sheet_of(points), "SKB 12", {FWC: (44,)})
    load(file)
    assert totals(load(file)) == (0, 0, 2, 0, 0)
    assert Inspection.objects.count() == 1


def test_a_sheet_that_is_sent_twice_with_another_time_is_one_visit(points):
    sheet = sheet_of(points)
    load(filled(sheet, "SKB 12", {FWC: (44,)}))
    plan = load(filled(sheet, "SKB 12", {FWC: (44,)}, When="5 May 2026 09:00"))
    assert "Another visit has been sent with this mark." in [r[3] for r in refusals(plan)]
    assert Inspection.objects.count() == 1


def test_what_cannot_be_understood_is_refused_beside_its_cell(points):
    plan = load(filled(sheet_of(points), "SKB 12", {FWC: ("bent",)}))
    [refusal] = [refusal for refusal in plan.refusals if refusal.value]
    assert (refusal.sheet, refusal.value, refusal.cell[0]) == ("SKB 12", "bent", "F")
    assert refusal.reason.startswith('"bent" is not a length: write one figure')
    assert not Inspection.objects.exists()


def test_a_remark_beside_a_value_is_kept_with_the_visit(points):
    load(filled(sheet_of(points), "SKB 12", {FWC: (60, "hard to reach")}))
    where = f"free wheel clearance (mm), first stretcher (ST-{points.pk}-1)"
    assert Inspection.objects.get().note == f"{where}: hard to reach"


def test_without_its_time_the_visit_is_refused(points):
    plan = load(filled(sheet_of(points), "SKB 12", {FWC: (60,)}, When=None))
    assert any(column == "When" for _, _, column, _ in refusals(plan))
    assert not Inspection.objects.exists()


def test_points_not_visited_are_left_out_and_said(points):
    other = builders.make_rigged_points("14")
    plan = load(filled(sheet_of(points, other), "SKB 12", {FWC: (60,)}))
    assert plan.notes == ["Sheet SKB 14: nothing is filled in, so no visit is recorded."]
    assert Inspection.objects.get().points == points


def test_an_empty_visit_sheet_is_turned_away(points):
    with pytest.raises(WorkbookRefused, match="Nothing is filled in"):
        load(sheet_of(points))


def test_the_readings_are_of_the_rods_on_the_sheet(points):
    """The rod is changed between taking the sheet out and coming back with it."""
    sheet = sheet_of(points)
    place = points.positions.get(order=1)
    old = place.fittings.get()
    old.taken_out_on, old.taken_out_reason = datetime(2026, 5, 1).date(), "cracked"
    old.save()
    builders.make_fitting(builders.make_stretcher("ST-NEW"), place, fitted_on=old.taken_out_on)
    assert refusals(load(filled(sheet, "SKB 12", {FWC: (60,)}))) == []
    assert Reading.objects.get().stretcher == old.stretcher
    assert Inspection.objects.get().differences.get().rod_now.tag == "ST-NEW"


def test_a_changed_code_is_refused(points):
    file = filled(sheet_of(points), "SKB 12", {FWC: (60,)})
    book = load_workbook(file)
    page = book["SKB 12"]
    for row in page.iter_rows(min_row=9):
        if row[to_fill_in.FOUND].value == 60:
            row[to_fill_in.CODE].value = "x"
    plan = load(workbooks._file_of(book))
    assert any("nobody can tell what was measured" in sentence for *_, sentence in refusals(plan))
