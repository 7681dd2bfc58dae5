"""A dozen differently ugly spreadsheets as volunteers make them (all invented), and their plans."""

from datetime import datetime

import pytest
from openpyxl import Workbook

from assets.workbook.matching import best_proposals, propose
from assets.workbook.opening import open_book
from assets.workbook.planning import Plan, plan_rows
from assets.workbook.reading import read_book

from .files import POINTS, RODS, plain_workbook, saved


def proposal_for(source, sheet=RODS):
    with open_book(source) as book:
        return propose(book, book.sheet_names[0], sheet)


def fields(proposal) -> dict[str, str]:
    return {match.heading: match.field for match in proposal.matches if match.field}


def loaded(source, proposal, existing=None):
    """The plan of loading the file as it was proposed."""
    plan = Plan()
    with open_book(source) as book:
        reading = read_book(book, [proposal.sheet], [proposal.layout()])
        for part in reading.sheets:
            plan.refuse_sheet(proposal.sheet, part.refusals)
            plan.add(plan_rows(proposal.sheet, part.rows(), existing or {}))
        plan.notes += reading.notes
    return plan


def values(plan, *names):
    return [tuple(row.values.get(name) for name in names) for row in plan.rows]


def test_other_words_for_the_same_headings():
    source = plain_workbook(
        [
            ["Rod Tag No.", "Colour", "Pitch", "Kicker?", "Date fitted", "Remarks"],
            ["ST-1", "black", 2, "Y", "3/5/2019", "from the old yard"],
            ["ST-2", "yellow", 2.5, "N", "12.6.20", None],
        ]
    )
    proposal = proposal_for(source)
    assert fields(proposal) == {
        "Rod Tag No.": "tag",
        "Colour": "generation",
        "Pitch": "pitch_mm",
        "Kicker?": "kicker",
        "Date fitted": "fitted_on",
        "Remarks": "note",
    }
    assert loaded(source, proposal).totals["new"] == 2


def test_a_title_and_a_date_above_the_headings():
    source = plain_workbook(
        [
            ["RODS IN THE STORE"],
            ["last looked through", datetime(2019, 3, 2)],
            [],
            ["Tag", "Generation", "Thread pitch"],
            ["ST-1", "black", 2],
        ]
    )
    proposal = proposal_for(source)
    assert proposal.heading_row == 4
    assert loaded(source, proposal).totals == {
        "new": 1,
        "changed": 0,
        "same": 0,
        "refused": 0,
        "conflict": 0,
        "left_out": 0,
    }


def test_units_in_headings_are_taken_as_said():
    source = plain_workbook([["Tag", "Thread pitch (inches)"], ["ST-1", 0.125], ["ST-2", "1/8 in"]])
    proposal = proposal_for(source)
    assert values(loaded(source, proposal), "pitch_mm") == [(3.175,), (3.175,)]


def test_inches_and_suffixes_in_the_cells_themselves():
    source = plain_workbook([["tag", "gauge"], ["1", '4 1/4"'], ["2", "108mm"], ["3", "4.25 ins"]])
    proposal = proposal_for(source)
    sheet = RODS
    assert fields(proposal) == {"tag": "tag"}  # nothing in this sheet is a gauge
    assert proposal.sheet is sheet
    source = plain_workbook(
        [["Location", "No", "Gauge"], ["SKB", 1, '56 1/2"'], ["SKB", 2, "1435mm"], ["SKB", 3, ""]]
    )
    proposal = proposal_for(source, POINTS)
    assert values(loaded(source, proposal), "number", "gauge_mm") == [
        ("1", 1435.1),
        ("2", 1435.0),
        ("3", None),
    ]


def test_a_unit_that_does_not_fit_keeps_a_column_out():
    proposal = proposal_for(plain_workbook([["Tag", "Thread pitch (kg)"], ["ST-1", 1]]))
    assert fields(proposal) == {"Tag": "tag"}


def test_headings_merged_over_two_rows():
    book = Workbook()
    page = book.active
    for row in [
        ["Rod", None, "When", None],
        ["Tag", "Thread pitch", "Fitted on", "Seen at"],
        ["ST-1", 2, "3 May 2019", "3 May 2020 10:00"],
        ["ST-2", 3, None, None],
    ]:
        page.append(row)
    page.merge_cells("A1:B1")
    page.merge_cells("C1:D1")
    source = saved(book)
    proposal = proposal_for(source)
    assert set(fields(proposal).values()) == {"tag", "pitch_mm", "fitted_on", "seen_at"}
    plan = loaded(source, proposal)
    assert values(plan, "tag", "pitch_mm") == [("ST-1", 2.0), ("ST-2", 3.0)]


def test_a_two_storey_heading_that_only_together_says_what_it_is():
    book = Workbook()
    page = book.active
    for row in [
        ["Rod", None, "Thread", "Colour", "Fitted"],
        ["tag", "turns", "pitch mm", "generation", "on"],
        ["ST-1", 4, 2.5, "black", "3/5/19"],
    ]:
        page.append(row)
    page.merge_cells("A1:B1")
    source = saved(book)
    proposal = proposal_for(source)
    assert proposal.heading_rows == 2
    assert fields(proposal) == {
        "Rod tag": "tag",
        "Rod turns": "turns",
        "Thread pitch mm": "pitch_mm",
        "Colour generation": "generation",
        "Fitted on": "fitted_on",
    }
    assert loaded(source, proposal).totals["new"] == 1


def test_remarks_between_the_rows_and_headings_repeated_on_each_page():
    source = plain_workbook(
        [
            ["Tag", "Paint", "Note"],
            ["ST-1", "black", None],
            ["all the above seen in the spring", None, None],
            ["Tag", "Paint", "Note"],
            ["ST-2", "yellow", None],
        ]
    )
    proposal = proposal_for(source)
    plan = loaded(source, proposal)
    assert values(plan, "tag") == [("ST-1",), ("ST-2",)]
    assert any("row 3 looks like a remark" in n for n in plan.notes)
    assert any("row 4: headings again" in n for n in plan.notes)


def test_a_row_of_totals_is_no_rod():
    source = plain_workbook(
        [
            ["Tag", "Paint", "Thread pitch mm"],
            ["ST-1", "black", 3],
            ["ST-2", "yellow", 4],
            ["Total", None, 7],
            ["Sub-total:", None, None],
        ]
    )
    plan = loaded(source, proposal_for(source))
    assert values(plan, "tag") == [("ST-1",), ("ST-2",)]
    assert any("row 4 looks like a remark and was not read: Total" in n for n in plan.notes)


def test_values_alone_can_show_what_a_column_is():
    source = plain_workbook(
        [["Tag", "Sort"], ["ST-1", "black"], ["ST-2", "yellow"], ["ST-3", "black"]]
    )
    proposal = proposal_for(source)
    match = proposal.matches[1]
    assert match.field == "generation"
    assert match.grounds == "values (choice)"


def test_values_that_cannot_be_meant_keep_a_column_out():
    source = plain_workbook(
        [["Tag", "Kicker"], ["ST-1", "3 to 6 mm"], ["ST-2", "4 mm"], ["ST-3", "5 mm"]]
    )
    assert fields(proposal_for(source)) == {"Tag": "tag"}


def test_shortened_words_for_choices_are_proposed_with_what_they_stand_for():
    source = plain_workbook(
        [["Tag", "Colour generation"], ["ST-1", "yel"], ["ST-2", "blk rods, oldest"]]
    )
    proposal = proposal_for(source)
    words = dict(proposal.matches[1].words)
    assert words["yel"] == "yellow"


def test_yes_no_and_blank_in_a_railways_own_spelling():
    source = plain_workbook(
        [["Tag", "Kicker (Y/N)"], ["ST-1", "Y"], ["ST-2", "no"], ["ST-3", "?"], ["ST-4", None]]
    )
    book = Workbook()
    for row in [["Tag", "Kicker Y/N"], ["ST-1", "Y"], ["ST-2", "no"], ["ST-3", "?"], ["ST-4"]]:
        book.active.append(row)
    source = saved(book)
    proposal = proposal_for(source)
    assert values(loaded(source, proposal), "kicker") == [(True,), (False,), (None,), (None,)]


def test_dates_in_every_fashion_are_read_day_first():
    source = plain_workbook(
        [
            ["Tag", "Date fitted on"],
            ["ST-1", datetime(2019, 5, 3)],
            ["ST-2", "03/05/19"],
            ["ST-3", "3rd May 2019"],
            ["ST-4", "5/13/2019"],
        ]
    )
    proposal = proposal_for(source)
    plan = loaded(source, proposal)
    assert plan.totals["new"] == 3
    assert {row.values.get("fitted_on") for row in plan.rows[:3]} == {datetime(2019, 5, 3).date()}
    assert plan.refusals[0].cell == "B5"


def test_the_first_column_is_empty_and_the_table_starts_in_the_middle():
    source = plain_workbook(
        [
            [],
            [None, None, "Tag", "Generation", "Notes"],
            [None, None, "ST-1", "black", "a"],
            [None, None, "ST-2", "yellow", "b"],
        ]
    )
    proposal = proposal_for(source)
    assert [match.letters for match in proposal.matches] == ["C", "D", "E"]
    assert values(loaded(source, proposal), "tag", "note") == [("ST-1", "a"), ("ST-2", "b")]


def test_the_declared_sheet_that_fits_best_is_proposed_for_each_sheet_of_the_book():
    book = Workbook()
    book.active.title = "Old rods"
    for row in [["Tag", "Thread pitch", "Kicker"], ["ST-1", 2, "y"]]:
        book.active.append(row)
    page = book.create_sheet("Pts")
    for row in [["Location", "Number", "Gauge"], ["SKB", 1, 1435]]:
        page.append(row)
    book.create_sheet("Empty")
    with open_book(saved(book)) as opened:
        found = {p.grid: p.sheet.name for p in best_proposals(opened, [RODS, POINTS])}
    assert found == {"Old rods": "Stretchers", "Pts": "Points"}


def test_a_csv_file_can_be_matched_too(tmp_path):
    path = tmp_path / "rods.csv"
    path.write_text("Rod tag;Paint colour;Pitch mm\nST-1;black;2\n", encoding="utf-8")
    with open_book(path) as book:
        proposal = propose(book, "rods", RODS)
    assert fields(proposal)["Rod tag"] == "tag"
    assert values(loaded(path, proposal), "tag", "pitch_mm") == [("ST-1", 2.0)]


def test_the_same_file_twice_changes_nothing_the_second_time():
    source = plain_workbook([["Rod tag", "Paint"], ["ST-1", "black"], ["ST-2", "?"]])
    proposal = proposal_for(source)
    first = loaded(source, proposal)
    register = {RODS.key_of(row.values): row.values for row in first.rows}
    assert loaded(source, proposal, register).totals["same"] == 2


@pytest.mark.parametrize("rows", [[], [[]], [[1, 2], [3, 4]], [["x"]]])
def test_a_sheet_without_headings_gives_an_empty_proposal(rows):
    assert fields(proposal_for(plain_workbook(rows))) == {}
