"""The workbook as others read it: another library, and another spreadsheet program.

python-calamine reads the open format without the library that wrote it; LibreOffice opens it and
saves it anew, and the register takes what it saved for the same.
"""

import io
import shutil
import subprocess
from datetime import date, datetime

import pytest
from openpyxl import Workbook

from assets.sheets.loading import EVERYTHING
from assets.workbook.columns import Kind
from assets.workbook.opening import open_book
from assets.workbook.texts import plain
from assets.workbook.writing import put_text
from config.workbook import register as workbook
from tests import builders, workbooks

pytestmark = pytest.mark.django_db


@pytest.fixture
def register():
    """A bit of everything, with texts that a spreadsheet might take for something else."""
    builders.set_limit("fwc", minimum=50)
    builders.make_instrument("RULE-1", note="+1 mm worn")
    points = builders.make_rigged_points("12", note="=SUM(A1)", heel_mm=6858.3000000000002)
    builders.make_stretcher("@ST", origin="-yard\nsecond line", thread_pitch_mm=0.1 + 0.2)
    builders.make_fwc_visit(points, builders.noon(2026, 5, 4), 44.45)
    builders.make_defect(reading=points.inspections.get().readings.get())


def shown(value, kind: Kind):
    """A value as any reader should see it in a cell."""
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if kind is Kind.DATE_TIME:
        return value
    if isinstance(value, datetime):
        return value.date()
    return float(value) if isinstance(value, int) else value


def test_another_library_reads_the_same_values(register):
    calamine = pytest.importorskip("python_calamine")
    book = calamine.CalamineWorkbook.from_filelike(io.BytesIO(workbooks.saved().read()))
    compared = 0
    for bound in workbook.BOUND:
        columns = bound.sheet.columns
        headings, *rows = book.get_sheet_by_name(bound.sheet.name).to_python(skip_empty_area=False)
        assert headings == [column.title for column in columns]
        held = [values for _, values in bound.held(EVERYTHING)]
        assert len(rows) == len(held), bound.sheet.name
        for row, values in zip(rows, held, strict=True):
            for column, cell in zip(columns, row, strict=True):
                expected = shown(column.label(values.get(column.field)), column.kind)
                if isinstance(cell, date) and not isinstance(cell, datetime):
                    cell = datetime(cell.year, cell.month, cell.day)
                if isinstance(expected, date) and not isinstance(expected, datetime):
                    expected = datetime(expected.year, expected.month, expected.day)
                assert cell == expected, (bound.sheet.name, column.heading)
                compared += 1
    assert compared > 600


@pytest.fixture
def soffice() -> str:
    found = shutil.which("soffice")
    if found is None:
        pytest.skip("LibreOffice is not installed: apt-get install libreoffice-calc")
    return found


def resaved(soffice: str, source: bytes, folder, to: str) -> bytes:
    """The workbook as LibreOffice saves it."""
    (folder / "in").mkdir()
    (folder / "in" / "register.xlsx").write_bytes(source)
    done = subprocess.run(
        [
            soffice,
            f"-env:UserInstallation=file://{folder}/profile",
            "--headless",
            "--convert-to",
            to,
            "--outdir",
            str(folder / "out"),
            str(folder / "in" / "register.xlsx"),
        ],
        capture_output=True,
        text=True,
        timeout=180,
        check=True,
    )
    saved = list((folder / "out").iterdir())
    assert saved, done.stderr
    return saved[0].read_bytes()


def test_saved_anew_by_another_program_it_changes_nothing(register, soffice, tmp_path):
    file = resaved(soffice, workbooks.saved().read(), tmp_path, "xlsx:Calc MS Excel 2007 XML")
    plan = workbooks.load(io.BytesIO(file))
    assert workbooks.refusals(plan) == []
    assert plan.rows == []
    assert plan.totals["same"] > 50


def test_any_text_is_the_same_to_another_program(soffice, tmp_path):
    texts = [chr(code) + "x" for code in (*range(0xA1), 0x2028, 0xD800, 0xFFFE, 0xFFFF, 0x1F682)]
    texts += ["=1+1", "+1", "-1", "@A1", "#REF!", "_x0041_", " two  spaces "]
    book = Workbook()
    for number, text in enumerate(texts, 1):
        put_text(book.active.cell(number, 1), text)
    file = io.BytesIO()
    book.save(file)
    saved = resaved(soffice, file.getvalue(), tmp_path, "xlsx:Calc MS Excel 2007 XML")
    with open_book(io.BytesIO(saved), "any.xlsx") as read:
        cells = [row[0] for _, row in read.rows(read.grid("Sheet"))]
    assert cells == [plain(text) for text in texts]


def test_a_sheet_saved_as_text_by_another_program_is_the_same(soffice, tmp_path):
    for number in range(5):
        builders.make_stretcher(f"ST-{number}", origin="=yard", thread_pitch_mm=number / 4)
    from assets.sheets import register as sheets

    source = workbooks.saved_sheets(sheets.STRETCHERS).read()
    # The second sheet of the workbook, in UTF-8, with every cell as it is shown.
    to = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,2"
    text = resaved(soffice, source, tmp_path, to)
    with open_book(io.BytesIO(text), "Stretchers.csv") as book:
        plan = workbook.load(workbook.understand(book))
    assert workbooks.refusals(plan) == []
    assert workbooks.totals(plan) == (0, 0, 5, 0, 0)
