"""Careless and hostile files: each has an answer, none crashes, hangs or fills the memory."""

import io
import struct
import time
import tracemalloc
import zipfile
from contextlib import suppress
from datetime import date, datetime

import pytest
from openpyxl import Workbook

from assets.workbook.opening import open_book
from assets.workbook.refusals import WorkbookRefused
from assets.workbook.safety import Limits

from .files import (
    RODS,
    cell,
    heading_row,
    make_rod,
    package,
    plain_workbook,
    read_all,
    rod_rows,
    row,
    saved,
    sheet_xml,
    strings_xml,
    written,
    zipped,
)

HEADINGS = heading_row("Tag", "Thread pitch (mm)", "Fitted on", "Note")


def rods_package(*rows: str, **options):
    return package(sheet_xml(HEADINGS, *rows), **options)


def refused(source, name: str = "book.xlsx", **options) -> str:
    with pytest.raises(WorkbookRefused) as problem:
        read_all(source, RODS, name=name, **options)
    return str(problem.value)


# Cells


def test_a_formula_counts_by_the_value_stored_with_it_and_this_is_said():
    rows, refusals, notes = rod_rows(
        rods_package(row(2, cell("A2", "ST-1"), cell("B2", 2.5, formula="1+1.5")))
    )
    assert refusals == []
    assert rows[0].values["pitch_mm"] == 2.5
    assert any("formulas in 1 cell." in note for note in notes)


def test_a_formula_that_gives_an_empty_text_is_blank():
    rows, refusals, _ = rod_rows(
        rods_package(row(2, cell("A2", "ST-1"), cell("B2", "", kind="str", formula='""')))
    )
    assert refusals == []
    assert rows[0].values["pitch_mm"] is None


@pytest.mark.parametrize("inside", [None, ""])
def test_a_formula_without_a_stored_value_is_refused_not_taken_for_blank(inside):
    _, refusals, notes = rod_rows(
        rods_package(row(2, cell("A2", "ST-1"), cell("B2", inside, kind="n", formula="1+1")))
    )
    assert not any("formulas" in note for note in notes)
    assert refusals[0].cell == "B2"
    assert "formula without a stored value" in refusals[0].reason


def test_formulas_written_by_a_library_that_stores_no_values_are_refused():
    _, refusals, _ = rod_rows(plain_workbook([["Tag", "Turns"], ["ST-1", "=1+1"]]))
    assert refusals[0].cell == "B2"


@pytest.mark.parametrize("error", ["#REF!", "#N/A", "#DIV/0!", "#NAME?"])
def test_an_error_value_is_refused_where_it_stands(error):
    _, refusals, _ = rod_rows(
        rods_package(row(2, cell("A2", "ST-1"), cell("D2", error, kind="e", formula="X1")))
    )
    assert (refusals[0].cell, refusals[0].value) == ("D2", error)


def test_a_date_cell_is_read_in_the_1900_and_in_the_1904_system():
    # 44319 in the one system and 42857 in the other are both 3 May 2021.
    for serial, date1904 in ((44319, False), (42857, True)):
        source = rods_package(
            row(2, cell("A2", "ST-1"), cell("C2", serial, style="1")),
            date_formats=["dd/mm/yyyy"],
            date1904=date1904,
        )
        rows, refusals, _ = rod_rows(source)
        assert refusals == []
        assert rows[0].values["fitted_on"] == date(2021, 5, 3)


@pytest.mark.parametrize("serial", ["-5", "99999999", "1e308", "60", "NaN", "1e999", "x"])
def test_a_date_cell_that_is_no_day_is_refused(serial):
    source = rods_package(
        row(2, cell("A2", "ST-1"), cell("C2", serial, kind="n", style="1")),
        date_formats=["dd/mm/yyyy"],
    )
    _, refusals, _ = rod_rows(source)
    assert refusals[0].cell == "C2"


def test_a_time_or_duration_where_a_date_is_wanted_is_refused():
    source = rods_package(
        row(2, cell("A2", "ST-1"), cell("C2", 0.5, style="1")),
        row(3, cell("A3", "ST-2"), cell("C3", 1.5, style="2")),
        date_formats=["hh:mm", "[h]:mm"],
    )
    _, refusals, _ = rod_rows(source)
    assert [refusal.cell for refusal in refusals] == ["C2", "C3"]


def test_numbers_stored_as_text_and_keys_stored_as_numbers_are_understood():
    rows, refusals, _ = rod_rows(rods_package(row(2, cell("A2", 14), cell("B2", "2.5"))))
    assert refusals == []
    assert (rows[0].values["tag"], rows[0].values["pitch_mm"]) == ("14", 2.5)


@pytest.mark.parametrize("number", ["NaN", "INF", "1e400", "twelve", "1_000", "0x10"])
def test_a_number_cell_that_holds_no_number_is_refused(number):
    source = rods_package(row(2, cell("A2", "ST-1"), cell("B2", number, kind="n")))
    _, refusals, _ = rod_rows(source)
    assert refusals[0].cell == "B2"


def test_non_breaking_and_trailing_spaces_in_keys_and_headings_do_no_harm():
    sheet = sheet_xml(
        heading_row("\u00a0Tag ", "Note\u00a0"),
        row(2, cell("A2", "ST\u00a01\u00a0 "), cell("B2", "a")),
    )
    rows, refusals, _ = rod_rows(package(sheet))
    assert refusals == []
    assert rows[0].values["tag"] == "ST 1"


@pytest.mark.parametrize("index", ["0", "5", "-1", "x", "99999999999999999999"])
def test_a_shared_text_that_is_not_there_is_refused(index):
    source = rods_package(
        row(2, cell("A2", "ST-1"), cell("D2", index, kind="s")), strings=strings_xml()
    )
    _, refusals, _ = rod_rows(source)
    assert refusals[0].cell == "D2"
    assert "damaged" in refusals[0].reason


def test_shared_texts_are_read_without_their_phonetic_hints():
    strings = strings_xml("first").replace(
        "</sst>", "<si><r><t>sec</t></r><r><t>ond</t></r><rPh><t>HINT</t></rPh></si></sst>"
    )
    source = rods_package(row(2, cell("A2", 0, kind="s"), cell("D2", 1, kind="s")), strings=strings)
    rows, _, _ = rod_rows(source)
    assert (rows[0].values["tag"], rows[0].values["note"]) == ("first", "second")


def test_escaped_characters_come_back_but_never_half_of_one():
    note = "a_x000B_b_x005F_x0041__xD800__x0000_"
    rows, _, _ = rod_rows(rods_package(row(2, cell("A2", "ST-1"), cell("D2", note))))
    assert rows[0].values["note"] == "a\nb_x0041__xD800__x0000_"


def test_cells_and_rows_without_references_follow_each_other():
    def text(content):
        return f'<c t="inlineStr"><is><t>{content}</t></is></c>'

    sheet = sheet_xml(
        f"<row>{text('Tag')}{text('Turns')}</row>",
        f"<row>{text('ST-1')}<c><v>3</v></c></row>",
    )
    rows, refusals, _ = rod_rows(package(sheet))
    assert refusals == []
    assert (rows[0].number, rows[0].values) == (2, {"tag": "ST-1", "turns": 3})


def test_a_sheet_with_prefixed_names_is_read_all_the_same():
    sheet = sheet_xml(HEADINGS, row(2, cell("A2", "ST-1")))
    main = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    prefixed = sheet.replace(main, main.replace("xmlns", "xmlns:x")).replace("</", "</x:")
    for name in ("worksheet", "sheetData", "row", "c ", "is>", "t>", "v>"):
        prefixed = prefixed.replace(f"<{name}", f"<x:{name}")
    rows, refusals, _ = rod_rows(package(prefixed))
    assert refusals == []
    assert rows[0].values["tag"] == "ST-1"


# Sheets


def with_empty_formatted_rows(last: int):
    rows = "".join(f'<row r="{n}" s="1" customFormat="1"/>' for n in range(3, last + 1))
    return package(sheet_xml(HEADINGS, row(2, cell("A2", "ST-1")), rows))


def test_a_million_empty_formatted_rows_are_passed_over_in_seconds():
    source = with_empty_formatted_rows(1_048_576)
    started = time.perf_counter()
    found, refusals, _ = rod_rows(source)
    assert time.perf_counter() - started < 30  # about 1 second where nothing else runs
    assert refusals == []
    assert len(found) == 1


def test_empty_formatted_rows_take_no_memory():
    source = with_empty_formatted_rows(100_000)
    tracemalloc.start()
    rod_rows(source)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 5_000_000


def test_a_row_at_the_very_bottom_is_still_found():
    rows, _, _ = rod_rows(rods_package(row(1_048_576, cell("A1048576", "ST-9"))))
    assert [found.number for found in rows] == [1_048_576]


@pytest.mark.parametrize("number", ["0", "-1", "1048577", "x", "9" * 400])
def test_a_row_number_that_no_sheet_has_is_refused(number):
    sheet = sheet_xml(HEADINGS, f'<row r="{number}"><c r="A2"><v>1</v></c></row>')
    assert "damaged" in refused(package(sheet))


@pytest.mark.parametrize("reference", ["", "2", "a2", "ABCD2", "É2"])
def test_a_cell_reference_that_no_sheet_has_is_refused(reference):
    assert "damaged" in refused(rods_package(row(2, cell(reference, 1))))


def test_a_value_far_to_the_right_is_refused_and_said_where():
    assert "column XFD" in refused(rods_package(row(2, cell("XFD2", 1))))


@pytest.mark.parametrize(
    "sheet",
    [
        sheet_xml("<row><row><c><v>1</v></c></row></row>"),
        sheet_xml("<row><c><c><v>1</v></c></c></row>"),
        sheet_xml("<c><v>1</v></c>"),
        sheet_xml("<a>" * 100 + "</a>" * 100),
        "<worksheet><sheetData>",
        "<worksheet/><worksheet/>",
        "not XML at all",
        b"\xff\xfe\x00\x01",
        "",
    ],
)
def test_a_sheet_that_is_no_sheet_is_refused(sheet):
    assert "damaged" in refused(package(sheet))


def test_too_many_merged_areas_are_refused():
    merges = "".join(f'<mergeCell ref="A{n}:A{n + 1}"/>' for n in range(2, 13_000, 2))
    source = package(sheet_xml(HEADINGS, after=f"<mergeCells>{merges}</mergeCells>"))
    assert "merged areas" in refused(source)


def test_a_merge_over_the_whole_sheet_takes_no_time():
    source = package(
        sheet_xml(
            HEADINGS,
            row(2, cell("A2", "ST-1")),
            after='<mergeCells><mergeCell ref="A2:XFD1048576"/></mergeCells>',
        )
    )
    _, refusals, _ = rod_rows(source)
    assert "merged across columns" in refusals[0].reason


# Files


def test_macros_are_neither_read_nor_run_and_this_is_said():
    source = rods_package(row(2, cell("A2", "ST-1")), more={"xl/vbaProject.bin": b"\0\1"})
    rows, _, notes = rod_rows(source, name="book.xlsm")
    assert len(rows) == 1
    assert "The workbook holds macros. They were neither read nor run." in notes


def test_external_links_are_not_followed_and_this_is_said():
    more = {"xl/externalLinks/externalLink1.xml": "<externalLink/>"}
    source = rods_package(
        row(2, cell("A2", "ST-1"), cell("B2", 3, formula="[1]Sheet1!A1")), more=more
    )
    rows, _, notes = rod_rows(source)
    assert rows[0].values["pitch_mm"] == 3.0
    assert any("links to other workbooks" in note for note in notes)


ENTITIES = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
OUTSIDE = '<!DOCTYPE x SYSTEM "file:///outside.txt">'


@pytest.mark.parametrize("prolog", [ENTITIES, OUTSIDE])
def test_xml_entities_are_refused_wherever_they_are_declared(prolog):
    assert "XML entities" in refused(package(sheet_xml(HEADINGS, prolog=prolog)))
    strings = prolog + strings_xml("a")
    assert "XML entities" in refused(rods_package(row(2, cell("A2", "a")), strings=strings))
    for part in ("xl/workbook.xml", "xl/styles.xml", "_rels/.rels", "docProps/custom.xml"):
        assert "XML entities" in refused(rods_package(more={part: prolog + "<x/>"}))


def test_a_zip_bomb_is_refused_before_anything_is_unpacked():
    source = zipped({f"xl/media/{n}.png": b"\0" * 100_000_000 for n in range(6)})
    assert source.getbuffer().nbytes < 1_000_000
    started = time.perf_counter()
    assert "Unpacked, the file would take 600 MB" in refused(source)
    assert time.perf_counter() - started < 1


def test_a_zip_bomb_that_lies_about_its_size_gives_no_more_than_it_said():
    source = rods_package(row(2, cell("A2", "ST-1")), more={"xl/styles.xml": b" " * 50_000_000})
    data = bytearray(source.getvalue())
    real, claimed = struct.pack("<L", 50_000_000), struct.pack("<L", 1_000)
    assert data.count(real) >= 1
    tracemalloc.start()
    message = refused(io.BytesIO(bytes(data.replace(real, claimed))))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert "damaged" in message
    assert peak < 5_000_000


def test_a_sheet_or_a_part_too_large_is_refused_with_what_usually_causes_it():
    small = Limits(sheet=2_000)
    source = rods_package(*(row(n, cell(f"A{n}", n)) for n in range(2, 200)))
    assert "empty formatted rows" in refused(source, limits=small)
    source = rods_package(row(2, cell("A2", "a")), more={"xl/styles.xml": b" " * 9_000_000})
    assert "xl/styles.xml" in refused(source)


def test_absurd_shared_texts_are_refused():
    source = rods_package(row(2, cell("A2", 0, kind="s")), strings=strings_xml("x" * 70_000_000))
    assert "sharedStrings.xml" in refused(source)


def test_one_endless_tag_does_not_fill_the_memory():
    sheet = sheet_xml(HEADINGS, f'<row r="2" spans="{"1" * 40_000_000}"/>')
    source = package(sheet)
    del sheet
    tracemalloc.start()
    message = refused(source)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert "damaged" in message
    assert peak < 20_000_000


def test_one_endless_text_does_not_fill_the_memory():
    source = rods_package(row(2, cell("A2", "x" * 5_000_000)))
    assert "damaged" in refused(source)


def test_elements_without_end_inside_each_other_are_refused():
    for part in ("xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml"):
        source = rods_package(row(2, cell("A2", 0, kind="s")), more={part: "<a>" * 1_000_000})
        assert "damaged" in refused(source)


def test_more_parts_than_a_workbook_can_have_are_refused():
    source = zipped({f"part{n}": b"" for n in range(5_001)})
    assert "5001 parts" in refused(source)


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.999])
def test_a_truncated_upload_is_refused(share):
    whole = written((RODS, [make_rod(f"ST-{n}") for n in range(50)])).getvalue()
    assert "not uploaded whole" in refused(io.BytesIO(whole[: int(len(whole) * share)]))


def test_a_workbook_with_a_spoilt_byte_is_refused_or_read_but_never_crashes():
    whole = written((RODS, [make_rod(f"ST-{n}", note="worn") for n in range(5)])).getvalue()
    for place in range(0, len(whole), 37):
        spoilt = bytearray(whole)
        spoilt[place] ^= 0x55
        with suppress(WorkbookRefused):
            rod_rows(io.BytesIO(bytes(spoilt)))


def test_a_part_said_to_begin_before_the_file_is_refused():
    data = bytearray(rods_package().getvalue())
    end = data.rfind(b"PK\x05\x06")  # end of the directory: where it begins, 16 bytes on
    begins = int.from_bytes(data[end + 16 : end + 20], "little")
    data[end + 16 : end + 20] = (begins + 14_266).to_bytes(4, "little")
    assert "damaged" in refused(io.BytesIO(bytes(data)))


def test_an_old_xls_file_is_refused_with_what_to_do():
    assert "save it as Excel Workbook" in refused(
        io.BytesIO(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 3_000), "rods.xls"
    )


def test_a_password_protected_workbook_is_refused_with_what_to_do():
    # Protected .xlsx files are compound files with a stream of this name ([MS-OFFCRYPTO] 2.1).
    content = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 70_000
    content += "EncryptedPackage".encode("utf-16-le") + b"\0" * 100
    assert "take the password off" in refused(io.BytesIO(content))


def test_a_zip_locked_with_a_password_is_refused():
    data = bytearray(rods_package().getvalue())
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = data.find(mark)
        while at >= 0:
            data[at + offset] |= 1
            at = data.find(mark, at + 4)
    assert "locked with a password" in refused(io.BytesIO(bytes(data)))


def test_an_ods_file_is_refused_with_what_to_do():
    mime = "application/vnd.oasis.opendocument.spreadsheet"
    source = zipped({"mimetype": mime, "content.xml": "<x/>"})
    assert "OpenDocument" in refused(source, "rods.ods")


def test_a_binary_workbook_is_refused_with_what_to_do():
    assert ".xlsb" in refused(zipped({"xl/workbook.bin": b"\1"}))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "The file is empty"),
        (b"%PDF-1.7 ...", "This is a PDF"),
        (b"<html><table><tr><td>Tag</td></tr></table></html>", "web page or XML"),
        (b'<?xml version="1.0"?><Workbook/>', "web page or XML"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "neither a workbook nor text"),
        (b"PK\x03\x04" + b"\0" * 100, "damaged"),
    ],
)
def test_other_kinds_of_file_are_refused_in_words(content, said):
    assert said in refused(io.BytesIO(content))


def test_other_zips_are_not_workbooks():
    assert "not a workbook" in refused(zipped({"readme.txt": "hello"}))
    assert "not a workbook" in refused(zipped({"_rels/.rels": "<Relationships/>"}))


def test_a_workbook_of_charts_alone_has_no_sheet():
    book = Workbook()
    book.remove(book.active)
    book.create_chartsheet("Chart")
    assert "no sheet of cells" in refused(saved(book))


def test_a_file_larger_than_any_register_is_refused():
    assert "at most 0 MB" in refused(rods_package(), limits=Limits(file=100))
    assert ".csv" in refused(io.BytesIO(b"Tag\n" * 100), limits=Limits(text_file=100))


@pytest.mark.parametrize(
    "content",
    [
        b"Tag,Note\n" + b'"never closed' * 20_000,
        b"Tag,Note\n" + b"x" * 2_000_000,
        b"Tag\n" + b"," * 900_000,
        b"Tag,Note\nST-1,\x81\x8d",
    ],
)
def test_a_csv_file_that_never_ends_a_field_or_line_is_refused(content):
    assert refused(io.BytesIO(content), "Stretchers.csv")


def test_text_in_a_csv_file_is_text_even_where_it_looks_like_a_formula():
    rows, _, _ = rod_rows(io.BytesIO(b"Tag,Note\n=1+1,@SUM(A1)\n"), name="Stretchers.csv")
    assert rows[0].values == {"tag": "=1+1", "note": "@SUM(A1)"}


def test_every_refusal_closes_the_file(tmp_path):
    path = tmp_path / "rods.xlsx"
    path.write_bytes(b"PK\x03\x04 not a workbook")
    with pytest.raises(WorkbookRefused):
        open_book(path)
    path.unlink()
    with zipfile.ZipFile(path, "w"):
        pass
    with pytest.raises(WorkbookRefused):
        open_book(path)


def test_iso_date_cells_are_read():
    sheet = sheet_xml(HEADINGS, row(2, cell("A2", "ST-1"), cell("C2", "2021-05-03", kind="d")))
    rows, _, _ = rod_rows(package(sheet))
    assert rows[0].values["fitted_on"] == datetime(2021, 5, 3).date()


def test_text_under_the_name_of_a_picture_is_refused_by_its_kind():
    with pytest.raises(WorkbookRefused, match=r"^This is a \.jpg file\. Only workbooks"):
        open_book(io.BytesIO(b"not a picture"), "fake.JPG")
