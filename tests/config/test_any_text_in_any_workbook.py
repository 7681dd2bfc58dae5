"""Whatever a text holds, every workbook that the program writes opens and shows it."""

import io

import pytest
from django.db import connection
from django.urls import reverse
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.utils.escape import unescape

from assets.departments import Department
from assets.models import Points, Stretcher
from assets.workbook.annotating import annotated_copy
from assets.workbook.opening import open_book
from assets.workbook.refusals import Refusal
from assets.workbook.texts import plain
from assets.workbook.writing import Table, put_text, text_cell, write_book
from config.workbook import register
from defects.models import Defect
from defects.sheets import department_lists
from inspections.sheets import to_fill_in
from tests import builders
from tests.assets.workbook.files import EXPORTED, RODS, make_rod

EXAMPLES = settings(max_examples=60, deadline=None)
NASTY = "=1\x0bbent\x00\x1f &P \ud800\ufffe _x000B_ \x85end"
texts = st.text(st.characters(exclude_categories=[]), min_size=1, max_size=60) | st.sampled_from(
    [NASTY, "=1+1", "+1", "-1", "@A1", "\t=1", "#REF!", "_x0041_", "_x005F_x0041_", "\x0b=1", "\r"]
)


def ours(file: io.BytesIO, sheet: str) -> list[list]:
    file.seek(0)
    with open_book(file, "any.xlsx") as book:
        return [cells for _, cells in book.rows(book.grid(sheet))]


@EXAMPLES
@given(texts)
def test_any_text_in_a_cell_reads_back_as_it_is_kept(text):
    """By openpyxl and by our own reader, in a workbook written whole and in one written by rows."""
    whole, by_rows = Workbook(), Workbook(write_only=True)
    whole.active.title = "Sheet"
    put_text(whole.active["A1"], text)
    put_text(whole.active["B1"], "end")
    page = by_rows.create_sheet("Sheet")
    page.append([text_cell(page, text), "end"])
    for book in (whole, by_rows):
        file = io.BytesIO()
        book.save(file)
        cell = load_workbook(io.BytesIO(file.getvalue()))["Sheet"]["A1"]
        assert cell.data_type != "f"
        assert unescape(cell.value or "") == plain(text)
        [row] = ours(file, "Sheet")
        assert (row[0] or "") == plain(text)


@EXAMPLES
@given(texts)
def test_any_text_in_a_row_of_the_register_s_workbook_opens(text):
    file = io.BytesIO()
    table = Table(RODS, [make_rod("ST-1", note=text)])
    write_book(file, [table], EXPORTED, title=text, about=[text])
    book = load_workbook(io.BytesIO(file.getvalue()))
    assert unescape(book["Stretchers"]["I2"].value or "") == plain(text)
    assert unescape(book["Read me"]["A2"].value or "") == plain(text)


@EXAMPLES
@given(texts, st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_reason_and_any_name_of_a_file_in_an_annotated_copy_opens(text, name):
    source = io.BytesIO(("Tag,Note\n" + plain(text).replace("\n", " ")).encode())
    target = io.BytesIO()
    refusal = Refusal("a", 1, "Tag", text, text, "A1")
    annotated_copy(source, [refusal], target, f"{name}.csv")
    assert load_workbook(io.BytesIO(target.getvalue())).sheetnames


@pytest.fixture
def dirty():
    """A register that holds such texts since before they were refused, written by bare SQL."""
    points = builders.make_rigged_points("12")
    defect = builders.make_defect(points, title="Lamp out")
    location = points.location
    held = NASTY.replace("\x00", "").replace("\ud800", "")  # what a database holds at all
    with connection.cursor() as cursor:
        for model, column, row in (
            (Defect, "title", defect),
            (Defect, "remedy", defect),
            (type(location), "name", location),
            (Stretcher, "tag", points.positions.first().fittings.first().stretcher),
            (Points, "number", points),
        ):
            value = held if column not in ("tag", "number") else "S\x0b\x01&"
            table = model._meta.db_table
            cursor.execute(f"UPDATE {table} SET {column} = %s WHERE id = %s", [value, row.pk])
    return held


def texts_of(file: io.BytesIO) -> list[str]:
    book = load_workbook(file)
    return [
        unescape(cell.value)
        for page in book
        for row in page.iter_rows()
        for cell in row
        if isinstance(cell.value, str)
    ]


@pytest.mark.django_db
def test_the_departments_workbook_opens_with_the_title_in_it(dirty, as_technician):
    target = io.BytesIO()
    department_lists.write(target, Department.SIGNALLING, builders.noon(2026, 5, 4))
    assert plain(dirty) in texts_of(io.BytesIO(target.getvalue()))


@pytest.mark.django_db
def test_visit_sheets_open_whatever_the_account_and_the_places_are_called(dirty):
    target = io.BytesIO()
    to_fill_in.write(target, list(Points.objects.with_places()), by=NASTY)
    found = texts_of(io.BytesIO(target.getvalue()))
    assert plain(NASTY) in found
    page = load_workbook(io.BytesIO(target.getvalue())).worksheets[0]
    assert page.title == "SKB S-&"
    # In a footer "&&" is one sign; the reader gives it as it is written.
    assert "SKB S\n&&  page &P of &N" in page.oddFooter.center.text


@pytest.mark.django_db
def test_the_register_s_workbook_and_the_table_of_spares_open(dirty, as_technician):
    target = io.BytesIO()
    register.save(target)
    assert plain(dirty) in texts_of(io.BytesIO(target.getvalue()))
    builders.make_stretcher("SPARE")
    with connection.cursor() as cursor:
        cursor.execute("UPDATE assets_stretcher SET tag = %s WHERE tag = 'SPARE'", ["SP\x0b=\x01"])
    answer = as_technician.get(reverse("assets:spares_table_workbook"))
    assert "SP\n=" in texts_of(io.BytesIO(answer.getvalue()))
