"""The whole register as a workbook: who may load what, from the shell, and what conflicts."""

import io
import json
from datetime import timedelta

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from assets.models import Stretcher
from config.access import Need
from config.workbook import register
from defects.models import Defect
from inspections.models import Inspection, Reading
from tests import builders, workbooks

pytestmark = pytest.mark.django_db


def test_every_sheet_that_is_read_says_who_may_change_its_rows():
    read = {s.name for s in (*register.SHEETS, *register.LISTS) if not s.reading_only}
    assert set(register.NEEDS) == read
    assert {sheet.name for sheet in register.SHEETS} - read == {"Events"}
    assert register.NEEDS["Limits"] == register.NEEDS["Routes"] == Need.LIMITS


def test_every_column_that_is_read_stands_for_a_value_that_is_kept():
    """Each declared column is among the values that the register gives, row by row."""
    points = builders.make_rigged_points("12")
    builders.make_fwc_visit(points, builders.noon(2026, 5, 4), 46)
    reading = Reading.objects.get()
    builders.make_defect(reading=reading)
    seen = 0
    for bound in register.BOUND:
        for _, values in bound.held(register.EVERYTHING):
            declared = {column.field for column in bound.sheet.columns if not column.info}
            assert declared <= set(values), bound.sheet.name
            seen += 1
    assert seen > 40


# What a person may load


def test_a_technician_may_not_load_limits_but_may_load_rods(technician):
    plan = workbooks.load(
        {
            "Stretchers": [["Tag"], ["ST-1"]],
            "Seasons": [
                ["Name", "First day of use", "Last day of use"],
                ["2027", "1 Apr 2027", "30 Sep 2027"],
            ],
        },
        technician,
    )
    assert workbooks.totals(plan) == (1, 0, 0, 1, 0)
    assert workbooks.reason(plan) == (
        "The sheet Seasons is for changing the railway's limits, routes and reference data, which "
        "your post does not include."
    )
    assert not Stretcher.objects.exists()


def test_rows_that_are_the_same_need_no_post(technician):
    builders.make_rail()
    assert workbooks.load(workbooks.saved(), technician).can_be_applied


def test_the_engineer_may_load_everything(engineer):
    plan = workbooks.load({"Seasons": [
        ["Name", "First day of use", "Last day of use"], ["2027", "1 Apr 2027", "30 Sep 2027"],
    ]}, engineer)  # fmt: skip
    assert workbooks.totals(plan) == (1, 0, 0, 0, 0)


# From the shell


def save_to(path) -> None:
    call_command("save_workbook", str(path), verbosity=0)


def run(path, *options) -> tuple[int, dict]:
    """Exit status and JSON of loading a file from the shell."""
    out = io.StringIO()
    status = 0
    try:
        call_command("load_workbook", str(path), "--json", *options, stdout=out, verbosity=0)
    except SystemExit as ended:
        status = ended.code
    return status, json.loads(out.getvalue())


def test_the_command_says_what_it_did_as_json(tmp_path):
    builders.make_stretcher("ST-1", thread_pitch_mm=4)
    save_to(tmp_path / "register.xlsx")
    file = workbooks.edited(
        io.BytesIO((tmp_path / "register.xlsx").read_bytes()),
        {("Stretchers", "ST-1", "Thread pitch, length per turn (mm)"): 3.5},
    )
    (tmp_path / "edited.xlsx").write_bytes(file.read())

    status, said = run(tmp_path / "edited.xlsx", "--check-only")
    assert (status, said["applied"]) == (0, False)
    assert Stretcher.objects.get().thread_pitch_mm == 4

    status, said = run(tmp_path / "edited.xlsx")
    assert (status, said["applied"]) == (0, True)
    assert said["totals"]["changed"] == 1
    [row] = said["rows"]
    assert (row["sheet"], row["row"], row["key"], row["outcome"]) == (
        "Stretchers", 2, "ST-1", "changed",
    )  # fmt: skip
    assert row["changes"][0]["old"] == 4.0
    assert row["changes"][0]["new"] == 3.5
    assert Stretcher.objects.get().thread_pitch_mm == 3.5

    status, said = run(tmp_path / "edited.xlsx")
    assert (status, said["rows"], said["totals"]["changed"]) == (0, [], 0)


def test_the_command_ends_with_2_where_anything_is_refused_and_writes_nothing(tmp_path):
    path = tmp_path / "rods.xlsx"
    path.write_bytes(
        workbooks.book_of(
            {"Stretchers": [["Tag", "Kicker"], ["ST-1", "yes"], ["ST-2", "perhaps"]]}
        ).read()
    )
    status, said = run(path)
    assert (status, said["applied"]) == (2, False)
    assert said["totals"] == {
        "new": 1,
        "changed": 0,
        "same": 0,
        "refused": 1,
        "conflict": 0,
        "left_out": 0,
    }
    refused = next(row for row in said["rows"] if row["outcome"] == "refused")
    assert (refused["sheet"], refused["row"], refused["column"], refused["cell"]) == (
        "Stretchers", 3, "Kicker", "B3",
    )  # fmt: skip
    assert refused["reason"].startswith('Write "yes" or "no"')
    assert not Stretcher.objects.exists()


def test_the_command_turns_a_hopeless_file_away_with_2(tmp_path):
    path = tmp_path / "letter.xlsx"
    path.write_bytes(b"Dear Sir, please find attached")
    status, said = run(path)
    assert status == 2
    assert said["totals"]["refused"] == 1
    assert "headings" in said["rows"][0]["reason"]


def test_the_command_acts_for_an_account(tmp_path, viewer, technician):
    path = tmp_path / "rods.xlsx"
    path.write_bytes(workbooks.book_of({"Stretchers": [["Tag"], ["ST-1"]]}).read())
    with pytest.raises(CommandError, match="does not include loading a workbook"):
        run(path, "--user", "viewer")
    with pytest.raises(CommandError, match="no account 'nobody'"):
        run(path, "--user", "nobody")
    assert run(path, "--user", "technician")[0] == 0
    assert Stretcher.history.get().history_user == technician


def test_the_command_names_points_that_there_are_not(tmp_path):
    with pytest.raises(CommandError, match="There are no points 'SKB 99'"):
        call_command("save_workbook", str(tmp_path / "x.xlsx"), "--points", "SKB 99")


def test_a_file_that_is_not_there_is_named(tmp_path):
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("load_workbook", str(tmp_path / "none.xlsx"))


# Conflicts


def test_what_was_changed_in_the_program_since_is_a_conflict_with_both_values():
    rod = builders.make_stretcher("ST-1", thread_pitch_mm=4, origin="the yard")
    file = workbooks.edited(
        workbooks.saved(), {("Stretchers", "ST-1", "Thread pitch, length per turn (mm)"): 3.5}
    )
    rod.thread_pitch_mm = 3
    rod.save()
    plan = workbooks.load(file)
    assert workbooks.totals(plan)[3:] == (0, 1)
    [row] = plan.rows
    assert [str(change) for change in row.changes] == [
        "Thread pitch, length per turn: 3 mm -> 3.5 mm"
    ]
    assert Stretcher.objects.get().thread_pitch_mm == 3


def test_what_the_workbook_left_alone_keeps_the_programs_newer_value():
    rod = builders.make_stretcher("ST-1", thread_pitch_mm=4, origin="the yard")
    file = workbooks.edited(workbooks.saved(), {("Stretchers", "ST-1", "Origin"): "Whin Bridge"})
    rod.thread_pitch_mm = 3
    rod.save()
    plan = workbooks.load(file)
    assert workbooks.totals(plan)[1] == 1
    rod.refresh_from_db()
    assert (rod.thread_pitch_mm, rod.origin) == (3, "Whin Bridge")


PITCH = "Thread pitch, length per turn (mm)"


def two_copies() -> tuple[io.BytesIO, io.BytesIO]:
    """Two copies of a workbook with two rods; the first, with changes to both, has been loaded."""
    builders.make_stretcher("ST-1", thread_pitch_mm=4, origin="the yard")
    builders.make_stretcher("ST-2", thread_pitch_mm=None, origin="the yard")
    exported = workbooks.saved()
    first = workbooks.edited(
        exported,
        {
            ("Stretchers", "ST-1", PITCH): 3.5,
            ("Stretchers", "ST-1", "Origin"): "Whin Bridge",
            ("Stretchers", "ST-2", "Origin"): "Tarn Halt",
        },
    )
    assert workbooks.load(first).totals["changed"] == 2
    return first, exported


def rods() -> list[tuple]:
    return [*Stretcher.objects.order_by("tag").values_list("tag", "thread_pitch_mm", "origin")]


LOADED = [("ST-1", 3.5, "Whin Bridge"), ("ST-2", None, "Tarn Halt")]


def test_an_untouched_copy_puts_nothing_back_that_another_copy_has_changed():
    _, second = two_copies()
    plan = workbooks.load(second)
    assert workbooks.totals(plan)[:2] + workbooks.totals(plan)[3:] == (0, 0, 0, 0)
    assert plan.same["Stretchers"] == 2
    assert rods() == LOADED


def test_a_copy_that_changes_the_same_cell_otherwise_is_in_conflict_with_the_first():
    _, second = two_copies()
    plan = workbooks.load(workbooks.edited(second, {("Stretchers", "ST-1", PITCH): 3}))
    assert workbooks.totals(plan)[3:] == (0, 1)
    [row] = plan.rows
    assert [str(change) for change in row.changes] == [
        "Thread pitch, length per turn: 3.5 mm -> 3 mm"
    ]
    assert rods() == LOADED


def test_a_copy_that_changes_another_cell_of_the_row_changes_that_cell_alone():
    _, second = two_copies()
    plan = workbooks.load(workbooks.edited(second, {("Stretchers", "ST-2", PITCH): 3}))
    assert plan.totals["changed"] == 1
    assert rods() == [LOADED[0], ("ST-2", 3, "Tarn Halt")]


def test_the_same_file_loaded_twice_changes_nothing_the_second_time():
    first, _ = two_copies()
    plan = workbooks.load(first)
    assert plan.rows == []
    assert plan.same["Stretchers"] == 2
    assert rods() == LOADED


def test_a_workbook_filled_in_further_and_loaded_again_does_not_conflict_with_itself():
    first, _ = two_copies()
    first = workbooks.extended(first, "Stretchers", {"Tag": "ST-3"})
    assert workbooks.load(first).totals["new"] == 1
    further = workbooks.edited(
        first, {("Stretchers", "ST-2", PITCH): 3, ("Stretchers", "ST-3", "Origin"): "the yard"}
    )
    assert workbooks.load(further).totals["changed"] == 2
    assert rods() == [LOADED[0], ("ST-2", 3, "Tarn Halt"), ("ST-3", None, "the yard")]


def test_what_a_copy_has_entered_is_not_entered_otherwise_by_another():
    """Two people each enter a rod under the same tag, in a copy of their own."""
    exported = workbooks.saved()
    rod = {"Tag": "ST-9", "Origin": "the yard"}
    assert workbooks.load(workbooks.extended(exported, "Stretchers", rod)).totals["new"] == 1
    plan = workbooks.load(workbooks.extended(exported, "Stretchers", rod | {"Origin": "Tarn Halt"}))
    assert plan.totals["conflict"] == 1
    assert Stretcher.objects.get().origin == "the yard"


def test_a_tag_given_to_another_rod_since_is_still_compared_with_the_rod_that_was_exported():
    rod = builders.make_stretcher("ST-1", origin="the yard")
    file = workbooks.saved()
    rod.delete()
    builders.make_stretcher("ST-1", origin="Tarn Halt")
    assert workbooks.load(file).can_be_applied
    assert Stretcher.objects.get().origin == "Tarn Halt"


def test_a_row_taken_out_of_the_register_since_is_not_brought_back_unasked():
    builders.make_stretcher("ST-1")
    file = workbooks.saved()
    Stretcher.objects.get().delete()
    plan = workbooks.load(file)
    assert plan.totals["conflict"] == 1
    assert "taken out of the register after the workbook was exported" in str(plan.refusals[0])


def test_work_on_defects_in_the_program_does_not_stand_in_the_way_of_a_workbook(technician):
    """A defect moves on while a workbook is being filled in at home."""
    from defects.moves import moves

    defect = builders.make_defect(at=timezone.now() - timedelta(days=3))
    file = workbooks.extended(workbooks.saved(), "Stretchers", {"Tag": "ST-1"})
    moves.accept(defect, user=technician, at=timezone.now())
    plan = workbooks.load(file)
    assert workbooks.refusals(plan) == []
    assert plan.totals["conflict"] == 0
    assert Defect.objects.get().state == "accepted"


def test_an_untouched_copy_leaves_a_defect_as_another_copy_has_edited_it():
    builders.make_defect(at=timezone.now() - timedelta(days=3), title="Clearance lost")
    exported = workbooks.saved()
    first = workbooks.edited(exported, {("Defects", "1", "Title"): "Clearance lost again"})
    assert workbooks.load(first).totals["changed"] == 1
    for copy in (first, exported):
        plan = workbooks.load(copy)
        assert (plan.rows, plan.same["Defects"]) == ([], 1)
    otherwise = workbooks.edited(exported, {("Defects", "1", "Title"): "Blade dragging"})
    assert workbooks.load(otherwise).totals["conflict"] == 1
    assert Defect.objects.get().title == "Clearance lost again"


def test_another_change_to_a_defect_does_not_put_its_old_due_day_back(technician):
    from defects.moves import moves

    now = timezone.now()
    defect = builders.make_defect(at=now - timedelta(days=3), title="Clearance lost")
    file = workbooks.edited(workbooks.saved(), {("Defects", "1", "Title"): "Clearance lost again"})
    later = timezone.localdate() + timedelta(days=40)
    moves.edit(defect, user=technician, at=now, due_on=later)
    assert workbooks.load(file).totals["changed"] == 1
    defect.refresh_from_db()
    assert (defect.title, defect.due_on) == ("Clearance lost again", later)


def test_a_visit_made_since_does_no_harm_either():
    points = builders.make_rigged_points("12")
    file = workbooks.saved()
    builders.make_fwc_visit(points, builders.noon(2026, 5, 4), 60)
    assert workbooks.load(file).can_be_applied
    assert Inspection.objects.count() == 1
