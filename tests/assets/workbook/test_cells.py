"""One cell to one value."""

from datetime import date, datetime, time

import pytest

from assets.workbook.cells import parser_for
from assets.workbook.columns import Column, Kind
from assets.workbook.refusals import BadCell, CellRefused

LUGS = (("none", "no lug"), ("raised_head", "raised head"), ("unknown", "unknown"))
STATES = (("in_use", "in use"), ("lifted", "lifted"))


def refusal(column: Column, cell) -> str:
    with pytest.raises(CellRefused) as problem:
        parser_for(column)(cell)
    return str(problem.value)


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ("yes", True),
        ("Y", True),
        ("TRUE", True),
        (True, True),
        (1, True),
        (1.0, True),
        ("✓", True),
        ("no", False),
        (" N ", False),
        ("false", False),
        (0, False),
        (None, None),
        ("", None),
        ("\u00a0", None),
        ("unknown", None),
        ("Not known", None),
        ("?", None),
    ],
)
def test_yes_and_no_in_all_their_spellings(cell, value):
    assert parser_for(Column("Kicker", "kicker", Kind.YES_NO))(cell) is value


@pytest.mark.parametrize("cell", ["x", "maybe", 2, "n/a", time(1, 0), datetime(2021, 1, 1)])
def test_a_doubtful_yes_or_no_is_refused(cell):
    refusal(Column("Kicker", "kicker", Kind.YES_NO), cell)


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ("raised_head", "raised_head"),
        ("raised head", "raised_head"),
        ("  Raised\u00a0Head ", "raised_head"),
        ("NO LUG", "none"),
        ("none", "none"),
        ("unknown", "unknown"),
        (None, "unknown"),
        ("", "unknown"),
        ("-", "unknown"),
    ],
)
def test_a_choice_is_taken_by_label_or_stored_word(cell, value):
    assert parser_for(Column("Drive lug", "lug", Kind.CHOICE, choices=LUGS))(cell) == value


def test_a_word_that_is_no_choice_is_refused_with_the_choices():
    said = refusal(Column("Drive lug", "lug", Kind.CHOICE, choices=LUGS), "thick")
    assert said == "Choose one of: no lug, raised head, unknown."


def test_a_blank_choice_without_the_word_unknown_is_none_or_what_the_column_says():
    assert parser_for(Column("State", "s", Kind.CHOICE, choices=STATES))(None) is None
    column = Column("State", "s", Kind.CHOICE, choices=STATES, blank="in_use")
    assert parser_for(column)(None) == "in_use"
    column = Column("State", "s", Kind.CHOICE, choices=STATES, required=True)
    assert "must be filled in" in refusal(column, " ")


def test_a_railways_own_word_for_a_choice_is_taken_when_it_has_been_matched():
    column = Column("Drive lug", "lug", Kind.CHOICE, choices=LUGS)
    assert parser_for(column, words={"RH lug": "raised_head"})("rh  LUG") == "raised_head"


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        (6, 6.0),
        (6.5, 6.5),
        ("6.5", 6.5),
        ("6.5 mm", 6.5),
        ("4 1/4 in", 107.95),
        (None, None),
        ("", None),
        ("unknown", None),
    ],
)
def test_a_number_is_taken_from_numbers_and_from_text(cell, value):
    assert parser_for(Column("Pitch", "p", Kind.NUMBER, unit="mm"))(cell) == value


@pytest.mark.parametrize("cell", [True, datetime(2021, 1, 1), time(1, 0), "six", 10**400])
def test_what_is_no_number_is_refused(cell):
    refusal(Column("Pitch", "p", Kind.NUMBER, unit="mm"), cell)


def test_bare_figures_under_a_heading_in_inches_become_mm_exactly():
    parse = parser_for(Column("Opening", "o", Kind.NUMBER, unit="mm"), unit="in")
    assert parse(4.25) == 107.95
    assert parse("4.25") == 107.95
    assert parse("108 mm") == 108.0
    with pytest.raises(ValueError, match="kg"):
        parser_for(Column("Opening", "o", Kind.NUMBER, unit="mm"), unit="kg")


def test_whole_numbers_only_where_only_they_make_sense():
    column = Column("Stretchers", "n", Kind.WHOLE)
    assert parser_for(column)(3.0) == 3
    assert parser_for(column)("3") == 3
    assert refusal(column, 3.5) == "Only whole numbers are allowed here."
    assert refusal(Column("Interval", "d", Kind.WHOLE, unit="days"), "28 weeks")


def test_dates_come_from_date_cells_and_day_first_texts():
    parse = parser_for(Column("Fitted on", "d", Kind.DATE))
    assert parse(datetime(2021, 5, 3)) == date(2021, 5, 3)
    assert parse("3/5/2021") == date(2021, 5, 3)
    assert parse(None) is None
    assert parse("unknown") is None


def test_a_date_with_a_time_is_not_cut_short_in_silence():
    column = Column("Fitted on", "d", Kind.DATE)
    assert "time of day" in refusal(column, datetime(2021, 5, 3, 14, 30))
    assert "time of day" in refusal(column, time(14, 30))


def test_a_bare_number_where_a_date_is_wanted_is_refused_with_the_date_it_may_be():
    said = refusal(Column("Fitted on", "d", Kind.DATE), 44319)
    assert "03 May 2021" in said


def test_keys_lose_stray_spaces_and_numbers_become_their_text():
    parse = parser_for(Column("Tag", "tag", Kind.TEXT, key=True))
    assert parse("  ST\u00a0 014 ") == "ST 014"
    assert parse(12) == "12"
    assert parse(12.0) == "12"
    assert parse(12.5) == "12.5"


def test_a_key_the_spreadsheet_has_made_a_date_of_is_refused():
    said = refusal(Column("Number", "n", Kind.TEXT, key=True), datetime(2026, 2, 1))
    assert "made a date of this" in said


def test_a_text_keeps_its_lines_and_a_date_in_it_becomes_text():
    parse = parser_for(Column("Note", "note"))
    assert parse("one\r\ntwo ") == "one\ntwo"
    assert parse(datetime(2021, 5, 3)) == "2021-05-03"
    assert parse("unknown") == "unknown"
    assert parse(None) == ""
    assert parse("   ") == ""


@pytest.mark.parametrize("kind", [k for k in Kind if k is not Kind.CHOICE])
def test_a_bad_cell_is_refused_with_its_own_reason_whatever_the_column(kind):
    assert refusal(Column("Any", "any", kind), BadCell("#REF!", "It failed.")) == "It failed."


def test_a_bad_cell_in_a_choice_is_refused_with_its_own_reason():
    column = Column("Drive lug", "lug", Kind.CHOICE, choices=LUGS)
    assert refusal(column, BadCell("#REF!", "It failed.")) == "It failed."


def test_a_reference_may_be_unknown_but_a_key_called_unknown_stays():
    assert parser_for(Column("Points", "p", Kind.REFERENCE))("unknown") is None
    assert parser_for(Column("Tag", "t", Kind.TEXT, key=True))("unknown") == "unknown"
