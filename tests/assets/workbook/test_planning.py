"""What loading would do: new, changed, same, refused, conflict."""

import json
import time
from datetime import date, datetime
from decimal import Decimal

import pytest

from assets.workbook.opening import open_book
from assets.workbook.planning import Outcome, Plan, alike, names_of, plan_rows, spellings
from assets.workbook.reading import read_book

from .files import POINTS, RODS, make_rod, plain_workbook, written


def existing_of(*rods):
    return {RODS.key_of(rod): rod for rod in rods}


def plan_of(source, existing, sheet=RODS, **options) -> Plan:
    plan = Plan()
    with open_book(source) as book:
        for reading in read_book(book, [sheet]).sheets:
            plan.refuse_sheet(sheet, reading.refusals)
            plan.add(plan_rows(sheet, reading.rows(), existing, **options))
    return plan


def test_rows_are_new_changed_same_or_refused():
    register = existing_of(make_rod("ST-1", pitch_mm=2.0), make_rod("ST-2", note="worn"))
    source = plain_workbook(
        [
            ["Tag", "Thread pitch (mm)", "Note"],
            ["ST-1", 2.5, None],
            ["ST-2", None, "worn"],
            ["ST-3", 2, "new here"],
            ["ST-4", "two", None],
        ]
    )
    plan = plan_of(source, register)
    assert plan.totals == {
        "new": 1,
        "changed": 1,
        "same": 1,
        "refused": 1,
        "conflict": 0,
        "left_out": 0,
    }
    assert plan.totals_by_sheet == {"Stretchers": plan.totals}
    assert not plan.can_be_applied
    changed, new, refused = plan.rows
    assert [str(change) for change in changed.changes] == ["Thread pitch: 2 mm -> 2.5 mm"]
    assert changed.existing_key == ("ST-1",)
    assert (new.key, new.outcome, new.existing_key) == ("ST-3", Outcome.NEW, None)
    assert refused.refusals[0].cell == "B5"


def test_the_plan_is_plain_data_with_an_entry_for_each_row_that_is_not_the_same():
    register = existing_of(make_rod("ST-1", fitted_on=date(2020, 1, 1)), make_rod("ST-2"))
    source = plain_workbook(
        [
            ["Tag", "Fitted on", "Turns", "Kicker"],
            ["ST-1", datetime(2021, 5, 3), None, None],
            ["ST-2", None, None, None],
            ["ST-3", "soon", "x", "x"],
        ]
    )
    data = json.loads(json.dumps(plan_of(source, register).as_data()))
    assert data["totals"] == {
        "new": 0,
        "changed": 1,
        "same": 1,
        "refused": 1,
        "conflict": 0,
        "left_out": 0,
    }
    assert data["rows"][0] == {
        "sheet": "Stretchers",
        "row": 2,
        "key": "ST-1",
        "outcome": "changed",
        "changes": [
            {
                "column": "Fitted on",
                "field": "fitted_on",
                "old": "2020-01-01",
                "new": "2021-05-03",
            }
        ],
    }
    refused = data["rows"][1]
    assert (refused["sheet"], refused["row"], refused["column"]) == ("Stretchers", 4, "Fitted on")
    assert refused["reason"].startswith("This is not a date.")
    assert [other["column"] for other in refused["others"]] == ["Turns", "Kicker"]


def test_what_was_exported_and_loaded_again_changes_nothing():
    rods = [
        make_rod("ST-1", pitch_mm=0.1 + 0.2, note="two\r\nlines "),
        make_rod("=ST 2", generation=None, seen_at=datetime(2021, 5, 3, 14, 30, 59, 999_999)),
        make_rod("ST-3", pitch_mm=Decimal("2.50"), kicker=False, note=None),
    ]
    plan = plan_of(written((RODS, rods)), existing_of(*rods))
    assert plan.totals == {
        "new": 0,
        "changed": 0,
        "same": 3,
        "refused": 0,
        "conflict": 0,
        "left_out": 0,
    }


def test_a_blank_cell_takes_a_known_value_back_to_unknown():
    register = existing_of(make_rod("ST-1", pitch_mm=2.0, generation="black"))
    source = plain_workbook([["Tag", "Thread pitch", "Colour generation"], ["ST-1", None, None]])
    (row,) = plan_of(source, register).rows
    assert [str(change) for change in row.changes] == [
        "Thread pitch: 2 mm -> unknown",
        "Colour generation: black (oldest rods) -> unknown",
    ]


def test_a_column_left_out_of_the_workbook_is_left_alone():
    register = existing_of(make_rod("ST-1", pitch_mm=2.0))
    plan = plan_of(plain_workbook([["Tag", "Note"], ["ST-1", None]]), register)
    assert plan.totals["same"] == 1


def test_the_same_row_twice_is_refused_and_says_where_the_first_one_is():
    source = plain_workbook([["Tag"], ["ST-1"], ["ST-2"], [" ST-1 "]])
    plan = plan_of(source, {})
    assert plan.totals == {
        "new": 2,
        "changed": 0,
        "same": 0,
        "refused": 1,
        "conflict": 0,
        "left_out": 0,
    }
    assert plan.refusals[0].reason == "Row 2 is ST-1 already. Keep one of the two rows."


def test_a_key_in_other_capitals_names_the_same_thing_and_keeps_its_spelling():
    register = existing_of(make_rod("ST-1", note="worn"))
    plan = plan_of(plain_workbook([["Tag", "Note"], ["st-1", "good"]]), register)
    (row,) = plan.rows
    assert row.existing_key == ("ST-1",)
    assert [change.column.field for change in row.changes] == ["note"]


def test_two_things_that_differ_only_in_capitals_are_told_apart():
    register = existing_of(make_rod("ST-a"), make_rod("ST-A"))
    plan = plan_of(plain_workbook([["Tag"], ["ST-a"], ["ST-A"]]), register)
    assert plan.totals["same"] == 2


NOW = make_rod("ST-1", pitch_mm=3.0, note="seen")
AT_EXPORT = make_rod("ST-1", pitch_mm=2.0, note="seen")


@pytest.mark.parametrize(
    ("pitch", "note", "base", "outcome", "fields"),
    [
        # left as exported: the program's newer value stands
        (2.0, "seen", AT_EXPORT, Outcome.SAME, []),
        # the workbook changes another column only
        (2.0, "worn", AT_EXPORT, Outcome.CHANGED, ["note"]),
        # both changed it, alike
        (3.0, "seen", AT_EXPORT, Outcome.SAME, []),
        # both changed it, differently
        (4.0, "seen", AT_EXPORT, Outcome.CONFLICT, ["pitch_mm"]),
        # what stood there at the export is not known: any difference may undo somebody's work
        (2.0, "seen", None, Outcome.CONFLICT, ["pitch_mm"]),
        (3.0, "seen", None, Outcome.SAME, []),
    ],
)
def test_a_row_changed_in_the_program_since_the_export(pitch, note, base, outcome, fields):
    source = written((RODS, [make_rod("ST-1", pitch_mm=pitch, note=note)]))
    plan = Plan()
    with open_book(source) as book:
        rows = read_book(book, [RODS]).sheets[0].rows()
        (row,) = plan_rows(RODS, rows, existing_of(NOW), {("ST-1",): base})
    plan.add([row])
    assert row.outcome is outcome
    assert [change.column.field for change in row.changes] == fields
    assert plan.can_be_applied is (outcome is not Outcome.CONFLICT)
    if outcome is Outcome.CONFLICT:
        assert row.changes[0].old == 3.0


def test_a_row_taken_out_of_the_program_since_the_export_is_not_put_back_in_silence():
    source = plain_workbook([["Tag"], ["ST-1"]])
    (row,) = plan_of(source, {}, changed_since={("ST-1",): AT_EXPORT}).rows
    assert row.outcome is Outcome.CONFLICT
    assert "taken out of the register" in row.refusals[0].reason


def test_references_are_checked_against_the_register_and_the_sheets_before():
    points = [{"location": "SKB", "number": "12", "gauge_mm": None}]
    known = {"Points": names_of(POINTS, points)}
    new_points = plain_workbook([["Location", "Number"], ["TRN", "3"]], sheet="Points")
    plan_of(new_points, {}, sheet=POINTS, known=known)
    source = plain_workbook(
        [
            ["Tag", "Points"],
            ["ST-1", "skb  12"],
            ["ST-2", "TRN 3"],
            ["ST-3", None],
            ["ST-4", "SKB 13"],
        ]
    )
    plan = plan_of(source, {}, known=known)
    assert [row.values.get("points") for row in plan.rows[:3]] == ["SKB 12", "TRN 3", None]
    (refusal,) = plan.refusals
    assert refusal.cell == "B5"
    assert refusal.reason == (
        'The sheet Points has no "SKB 13", and neither has the register. Did you mean SKB 12?'
    )


def test_a_reference_in_other_capitals_is_no_change():
    register = existing_of(make_rod("ST-1", points="SKB 12"))
    source = plain_workbook([["Tag", "Points"], ["ST-1", "skb 12"]])
    plan = plan_of(source, register, known={"Points": {"skb 12": "SKB 12"}})
    assert plan.totals["same"] == 1


def test_the_registers_own_rules_can_refuse_a_planned_row():
    (row,) = plan_of(plain_workbook([["Note", "Tag"], ["worn", "ST-1"]]), {}).rows
    row.refuse("This part is fitted somewhere already.", "tag")
    assert row.outcome is Outcome.REFUSED
    assert (row.refusals[0].cell, row.refusals[0].value) == ("B2", "ST-1")
    row.refuse("The row as a whole will not do.")
    assert (row.refusals[1].cell, row.refusals[1].column) == ("", "")


def test_headings_not_understood_refuse_the_sheet():
    plan = plan_of(plain_workbook([["Tag", "Paint"], ["ST-1", "red"]]), {})
    assert plan.totals["refused"] == 1
    assert plan.rows[0].as_data()["column"] == "Paint"


@pytest.mark.parametrize(
    ("field", "old", "new", "same"),
    [
        ("pitch_mm", 2, 2.0, True),
        ("pitch_mm", Decimal("2.5"), 2.5, True),
        ("pitch_mm", 0.3, 0.30000000000000004, True),
        ("pitch_mm", 0.3, 0.3001, False),
        ("pitch_mm", None, 0.0, False),
        ("pitch_mm", 0.0, None, False),
        ("kicker", None, False, False),
        ("kicker", True, True, True),
        ("note", "a\r\nb", "a\nb", True),
        ("note", None, "", True),
        ("note", "a", "A", False),
        ("generation", "unknown", None, True),
        ("seen_at", datetime(2021, 1, 1, 1, 1, 1, 5), datetime(2021, 1, 1, 1, 1, 1), True),
        ("seen_at", datetime(2021, 1, 1, 1, 1, 1), datetime(2021, 1, 1, 1, 1, 2), False),
    ],
)
def test_values_are_alike_when_no_cell_could_tell_them_apart(field, old, new, same):
    assert alike(RODS.by_field[field], old, new) is same


def test_names_that_only_capitals_tell_apart_are_taken_as_written_or_asked_for():
    known = {"Points": spellings(["SKB a", "SKB A", "TRN 1"])}
    source = plain_workbook(
        [["Tag", "Points"], ["1", "SKB a"], ["2", "SKB A"], ["3", "skb a"], ["4", "trn 1"]]
    )
    plan = plan_of(source, {}, known=known)
    assert [row.values["points"] for row in plan.rows] == ["SKB a", "SKB A", "skb a", "TRN 1"]
    (refusal,) = plan.refusals
    assert refusal.cell == "B4"
    assert "Did you mean SKB a or SKB A?" in refusal.reason


def test_thousands_of_wrong_references_are_answered_soon():
    known = {"Points": spellings(f"SKB {n}" for n in range(4_000))}
    rows = [["Tag", "Points"], *([f"ST-{n}", f"SKBX {n}"] for n in range(4_000))]
    started = time.process_time()
    plan = plan_of(plain_workbook(rows), {}, known=known)
    assert plan.totals["refused"] == 4_000
    assert time.process_time() - started < 20  # processor seconds; about 3 as written
