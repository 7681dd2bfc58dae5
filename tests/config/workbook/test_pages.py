"""The workbook in the browser: away, planned, loaded, matched, and kept from others."""

import io
import os
import time

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from openpyxl import load_workbook

from assets.models import Matching, Stretcher
from config.workbook import files
from inspections.models import Inspection
from tests import builders, workbooks

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return tmp_path / "workbooks"


def text_of(response) -> str:
    assert response.status_code == 200, response.status_code
    body = b"".join(response.streaming_content) if response.streaming else response.content
    return " ".join(body.decode().split())


def book_of(response):
    return load_workbook(io.BytesIO(b"".join(response.streaming_content)))


def send(client, source, name: str = "workbook.xlsx", **more) -> str:
    """Sends a file; the address of its plan."""
    upload = SimpleUploadedFile(name, source if isinstance(source, bytes) else source.read())
    response = client.post(reverse("workbook_load"), {"file": upload, **more})
    assert response.status_code == 302
    return response["Location"]


def shown_in(page: str) -> str:
    """What the button of a plan says that it would do, to be sent back."""
    return page.split('name="shown" value="')[1].split('"')[0]


RODS = {"Stretchers": [["Tag", "Origin"], ["ST-1", "the yard"]]}


# Away


def test_the_page_says_what_can_be_done_and_loads_for_whom_it_may(client, technician, viewer):
    client.force_login(viewer)
    page = text_of(client.get(reverse("workbook")))
    assert "Download the whole register" in page
    assert "Download the permanent way list" in page
    assert "a whole register is moved to another machine as a copy" in page
    assert "Show what would change" not in page
    client.force_login(technician)
    assert "Show what would change" in text_of(client.get(reverse("workbook")))


def test_the_whole_register_is_saved(as_technician):
    builders.make_stretcher("ST-1")
    response = as_technician.get(reverse("workbook_save"))
    assert "Register" in response["Content-Disposition"]
    book = book_of(response)
    assert book["Stretchers"]["A2"].value == "ST-1"
    assert "Defects" in book.sheetnames


def test_what_a_list_shows_is_saved_with_the_same_filter(as_technician):
    builders.make_stretcher("ST-1", generation="red")
    builders.make_stretcher("ST-2", generation="yellow")
    page = text_of(
        as_technician.get(reverse("assets:part_list", args=["stretcher"]), {"generation": "red"})
    )
    assert "/workbook/save/?generation=red&amp;of=stretcher" in page
    response = as_technician.get(reverse("workbook_save"), {"of": "stretcher", "generation": "red"})
    tags = [row[0].value for row in book_of(response)["Stretchers"].iter_rows(min_row=2)]
    assert tags == ["ST-1"]


def test_the_points_of_a_list_are_saved_with_all_that_is_theirs(as_technician):
    builders.make_rigged_points("12")
    builders.make_rigged_points("14")
    response = as_technician.get(reverse("workbook_save"), {"of": "points", "search": "12"})
    book = book_of(response)
    assert [row[1].value for row in book["Points"].iter_rows(min_row=2)] == ["12"]
    assert book["Fittings"].max_row == 4


@pytest.mark.parametrize("query", [{"of": "wheels"}, {"of": "points", "layout": "loop"}])
def test_a_list_that_there_is_not_is_not_found(as_technician, query):
    assert as_technician.get(reverse("workbook_save"), query).status_code == 404


def test_every_column_is_explained(as_technician):
    page = text_of(as_technician.get(reverse("workbook_columns")))
    assert "Thread pitch, length per turn (mm)" in page
    assert "Its rows may be changed by: responsible engineer." in page


# Planned and loaded


def test_a_file_is_planned_before_anything_is_written_and_then_loaded(as_technician, own_folder):
    builders.make_stretcher("ST-1", origin="")
    plan = send(as_technician, workbooks.book_of(RODS))
    page = text_of(as_technician.get(plan))
    assert "Nothing has been changed yet." in page
    assert "Load it: 0 new, 1 changed" in page
    assert "the yard" in page
    assert Stretcher.objects.get().origin == ""

    page = text_of(as_technician.post(f"{plan}load/", {"shown": shown_in(page)}))
    assert "Loaded: 0 new, 1 changed, 0 the same." in page
    assert Stretcher.objects.get().origin == "the yard"
    assert list(own_folder.iterdir()) == []
    assert as_technician.get(plan).status_code == 404


def test_what_is_refused_is_shown_and_can_be_saved_as_notes(as_technician):
    plan = send(
        as_technician, workbooks.book_of({"Stretchers": [["Tag", "Kicker"], ["ST-1", "hm"]]})
    )
    page = text_of(as_technician.get(plan))
    assert "This cannot be loaded yet: 1 row is refused." in page
    assert "Load it" not in page
    response = as_technician.get(f"{plan}notes/")
    assert "workbook%20with%20notes.xlsx" in response["Content-Disposition"] or (
        "workbook with notes.xlsx" in response["Content-Disposition"]
    )
    note = book_of(response)["Stretchers"]["B2"].comment.text
    assert note.startswith('Write "yes" or "no"')


def test_it_is_shown_again_where_the_register_changed_meanwhile(as_technician):
    rod = builders.make_stretcher("ST-1", origin="")
    plan = send(as_technician, workbooks.book_of(RODS))
    shown = shown_in(text_of(as_technician.get(plan)))
    rod.origin = "Tarn Halt"
    rod.save()
    page = text_of(as_technician.post(f"{plan}load/", {"shown": shown}))
    assert "Nothing was loaded: the register has changed since" in page
    assert "Tarn Halt" in page
    assert Stretcher.objects.get().origin == "Tarn Halt"
    text_of(as_technician.post(f"{plan}load/", {"shown": shown_in(page)}))
    assert Stretcher.objects.get().origin == "the yard"


def test_a_conflict_is_shown_with_both_values_and_not_loaded(as_technician):
    rod = builders.make_stretcher("ST-1", origin="")
    file = workbooks.edited(workbooks.saved(), {("Stretchers", "ST-1", "Origin"): "the yard"})
    rod.origin = "Tarn Halt"
    rod.save()
    page = text_of(as_technician.get(send(as_technician, file)))
    assert "Stretchers: 1 changed here and in the file" in page
    assert "Tarn Halt" in page
    assert "the yard" in page
    assert "Load it" not in page


def test_a_file_that_is_no_workbook_is_answered(as_technician):
    page = text_of(
        as_technician.get(send(as_technician, b"\xd0\xcf\x11\xe0" + b"x" * 600, "old.xls"))
    )
    assert "This cannot be read as it is" in page
    page = text_of(as_technician.get(send(as_technician, b"\0\1\2" * 300, "noise.bin")))
    assert "This cannot be read as it is" in page


def test_nothing_sent_is_answered(as_technician):
    response = as_technician.post(reverse("workbook_load"), {}, follow=True)
    assert "Fill this in." in response.content.decode()


def test_a_csv_file_is_taken_as_the_sheet_that_its_headings_fit(as_technician):
    plan = send(as_technician, b"Tag;Colour generation;Kicker\nST-1;red;yes\n", "rods.csv")
    page = text_of(as_technician.get(plan))
    assert "separated by semicolons" in page
    text_of(as_technician.post(f"{plan}load/", {"shown": shown_in(page)}))
    assert Stretcher.objects.get().generation == "red"


def test_what_a_post_does_not_include_is_refused_in_the_plan(as_technician):
    given = {"Wheel standards": [
        ["Name", "Least back-to-back", "Least flange thickness", "Source"], ["A", 1357, 22, "own"],
    ]}  # fmt: skip
    page = text_of(as_technician.get(send(as_technician, workbooks.book_of(given))))
    assert "which your post does not include" in page


def test_a_ganger_loads_a_visit_and_not_the_signalling_register(as_ganger):
    page = text_of(as_ganger.get(send(as_ganger, workbooks.book_of(RODS))))
    assert "The sheet Stretchers is for changing the records of points and parts" in page
    test_a_visit_sheet_leads_to_what_it_found(as_ganger)


def test_a_visit_sheet_leads_to_what_it_found(as_technician):
    from tests.inspections.test_to_fill_in import FWC, filled, sheet_of

    points = builders.make_rigged_points("12")
    builders.set_limit("fwc", minimum=50)
    plan = send(as_technician, filled(sheet_of(points), "SKB 12", {FWC: (44,)}))
    page = text_of(as_technician.get(plan))
    page = text_of(as_technician.post(f"{plan}load/", {"shown": shown_in(page)}))
    visit = Inspection.objects.get()
    assert reverse("defects:proposals", args=[visit.pk]) in page


def test_visit_sheets_are_taken_out_for_chosen_points(as_technician):
    points = builders.make_rigged_points("12")
    builders.make_rigged_points("14")
    response = as_technician.get(reverse("workbook_visit_sheet"), {"points": points.pk})
    assert book_of(response).sheetnames == ["SKB 12"]
    page = text_of(as_technician.get(reverse("workbook_visit_sheet"), {"take": "out"}))
    assert "Choose at least one set of points." in page


# Kept files


def test_a_file_is_nobody_elses(client, as_technician, engineer, own_folder):
    plan = send(as_technician, workbooks.book_of(RODS))
    client.force_login(engineer)
    for address in (plan, f"{plan}notes/", f"{plan}match/"):
        assert client.get(address).status_code == 404
    assert client.post(f"{plan}load/", {"shown": "x"}).status_code == 404
    assert own_folder.stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("token", ["..", "a" * 22, "x", "%2e%2e%2fregister"])
def test_a_made_up_token_finds_nothing(as_technician, token):
    assert as_technician.get(f"/workbook/file/{token}/").status_code == 404


def test_files_are_few_and_short_lived(as_technician, own_folder):
    plans = [send(as_technician, workbooks.book_of(RODS)) for _ in range(7)]
    kept = [path for path in own_folder.iterdir() if path.suffix != ".about"]
    assert len(kept) == files.KEPT_FILES
    assert as_technician.get(plans[0]).status_code == 404
    assert as_technician.get(plans[-1]).status_code == 200
    old = time.time() - files.KEPT_SECONDS - 1
    for path in kept:
        os.utime(path, (old, old))
    send(as_technician, workbooks.book_of(RODS))
    assert len([path for path in own_folder.iterdir() if path.suffix != ".about"]) == 1


def test_a_name_with_a_path_in_it_stays_a_name(as_technician, own_folder):
    send(as_technician, workbooks.book_of(RODS), "../../etc/rods.xlsx")
    assert {path.parent for path in own_folder.rglob("*")} == {own_folder}


# Matching


UGLY = {
    "Rods 2019": [
        ["Stretcher list, kept by the S and T"],
        [],
        ["Rod no.", "Colour", "Insulated", "Length min (in)", "Cond.", "Kicker?"],
        ["ST-901", "Yellow", "LH", "45 1/4 in", "knackered", "y"],
        ["ST-902", "black rod", "no", 46, "good", "n"],
        ["NB: measured in the cold, all of them"],
    ]
}


def matched(page: str, letters: str) -> str:
    """What the select of a column has chosen."""
    options = page.split(f'name="field-{letters}"')[1].split("</select>")[0]
    chosen = [part for part in options.split("<option") if " selected" in part]
    return chosen[0].split('value="')[1].split('"')[0] if chosen else ""


def test_a_railways_own_spreadsheet_is_matched_corrected_kept_and_reused(as_technician):
    plan = send(as_technician, workbooks.book_of(UGLY), "rods.xlsx")
    page = text_of(as_technician.get(plan))
    assert "match its columns first" in page

    page = text_of(as_technician.get(f"{plan}match/"))
    assert [matched(page, letters) for letters in "ABCDEF"] == [
        "tag", "generation", "insulation_side", "length_min_mm", "condition", "kicker",
    ]  # fmt: skip
    assert "“knackered” means" in page

    choices = {
        "grid": "Rods 2019", "sheet": "Stretchers", "seen": "Rods 2019/Stretchers",
        "field-A": "tag", "field-B": "generation", "field-C": "insulation_side",
        "field-D": "length_min_mm", "unit-D": "in", "field-E": "condition", "field-F": "kicker",
        "word-B-0-of": "black rod", "word-B-0": "black",
        "word-C-0-of": "LH", "word-C-0": "left", "word-C-1-of": "no", "word-C-1": "none",
        "word-E-0-of": "knackered", "word-E-0": "scrap",
        "same-origin": "the old store", "name": "Our rods", "save": "yes",
    }  # fmt: skip
    response = as_technician.post(f"{plan}match/", choices)
    assert response["Location"] == plan
    page = text_of(as_technician.get(plan))
    assert "looks like a remark and was not read" in page
    text_of(as_technician.post(f"{plan}load/", {"shown": shown_in(page)}))
    first, second = Stretcher.objects.order_by("tag")
    assert (first.condition, first.insulation_side, first.kicker) == ("scrap", "left", True)
    assert first.length_min_mm == pytest.approx(45.25 * 25.4)
    assert second.length_min_mm == pytest.approx(46 * 25.4)
    assert (second.generation, second.insulation_side) == ("black", "none")
    assert {first.origin, second.origin} == {"the old store"}

    again = send(as_technician, workbooks.book_of(UGLY), "rods next year.xlsx")
    page = text_of(as_technician.get(again))
    assert "Read with the matching &quot;Our rods&quot;, because the headings are the same." in page
    assert "there is nothing to load" in page


def test_a_matching_without_what_names_the_rows_is_not_kept(as_technician):
    plan = send(as_technician, workbooks.book_of(UGLY))
    page = text_of(
        as_technician.post(
            f"{plan}match/",
            {"grid": "Rods 2019", "sheet": "Stretchers", "seen": "Rods 2019/Stretchers",
             "field-B": "generation", "name": "x", "save": "yes"},
        )
    )  # fmt: skip
    assert "Tag identifies the row: say which column holds it" in page
    assert not Matching.objects.exists()


def test_a_value_for_all_rows_that_cannot_be_one_is_refused(as_technician):
    plan = send(as_technician, workbooks.book_of(UGLY))
    page = text_of(
        as_technician.post(
            f"{plan}match/",
            {"grid": "Rods 2019", "sheet": "Stretchers", "seen": "Rods 2019/Stretchers",
             "field-A": "tag", "same-torque_nm": "very tight", "name": "x", "save": "yes"},
        )
    )  # fmt: skip
    assert "Tightening torque laid down: &quot;very tight&quot; is not a torque: write one" in page


def test_a_matching_is_chosen_and_forgotten(as_technician):
    layout = {
        "sheet": "Stretchers", "grid": "Rods 2019", "heading_rows": 1, "fixed": {},
        "sources": [{"heading": "Rod no.", "field": "tag", "unit": "", "words": {}}],
    }  # fmt: skip
    from django.utils import timezone

    matching = Matching.objects.create(name="Tags only", layout=layout, made_at=timezone.now())
    plan = send(as_technician, workbooks.book_of(UGLY), matching=matching.pk)
    assert "Load it: 2 new, 0 changed" in text_of(as_technician.get(plan))
    as_technician.post(reverse("workbook_forget_matching", args=[matching.pk]))
    assert not Matching.objects.exists()
    assert "match its columns first" in text_of(as_technician.get(plan))


def test_the_other_pages_do_not_load_what_reads_workbooks():
    import subprocess
    import sys

    check = (
        "import django, os, sys; os.environ['DJANGO_SETTINGS_MODULE'] = 'config.settings';"
        "django.setup(); from django.urls import reverse; reverse('workbook');"
        "assert 'openpyxl' not in sys.modules, 'openpyxl'; assert 'numpy' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", check], check=True)
