"""Declarations that hang together."""

from datetime import date, datetime

import pytest

from assets.workbook.columns import Column, Kind, Sheet

from .files import POINTS, RODS


def test_the_unit_stands_in_the_heading():
    assert Column("Thread pitch", "pitch", Kind.NUMBER, unit="mm").title == "Thread pitch (mm)"


def test_values_are_shown_as_people_read_them():
    choice = RODS.by_field["generation"]
    assert choice.show("black") == "black (oldest rods)"
    assert RODS.by_field["pitch_mm"].show(6.5) == "6.5 mm"
    assert RODS.by_field["pitch_mm"].show(None) == "unknown"
    assert RODS.by_field["kicker"].show(False) == "no"
    assert RODS.by_field["fitted_on"].show(date(2021, 5, 3)) == "03 May 2021"
    assert RODS.by_field["seen_at"].show(datetime(2021, 5, 3, 14, 30)) == "03 May 2021 14:30"
    assert RODS.by_field["note"].show("") == "blank"


def test_two_columns_of_one_heading_or_field_cannot_be_declared():
    with pytest.raises(ValueError, match="declared twice"):
        Sheet("Rods", (Column("Tag", "a"), Column("tag ", "b")))
    with pytest.raises(ValueError, match="declared twice"):
        Sheet("Rods", (Column("Tag", "a"), Column("Other", "a")))


def test_a_choice_needs_choices_that_cannot_be_confused():
    with pytest.raises(ValueError, match="choices belong"):
        Column("Lug", "lug", Kind.CHOICE)
    with pytest.raises(ValueError, match="choices belong"):
        Column("Lug", "lug", Kind.TEXT, choices=(("a", "b"),))
    with pytest.raises(ValueError, match="two choices"):
        Column("Lug", "lug", Kind.CHOICE, choices=(("plain", "thin"), ("thin", "plain")))


@pytest.mark.parametrize("name", ["", "a/b", "x" * 32, "[a]", "'a'"])
def test_a_name_that_no_sheet_can_have_is_refused(name):
    with pytest.raises(ValueError, match="name of a sheet"):
        Sheet(name, ())


def test_a_row_is_named_by_its_key_values_with_even_spaces():
    values = {"location": " SKB", "number": "12\u00a0", "gauge_mm": 1435.0}
    assert POINTS.key_of(values) == ("SKB", "12")
    assert POINTS.key_text({"location": "SKB", "number": "12"}) == "SKB 12"
    assert POINTS.key_text({"location": "SKB", "number": 1315.0}) == "SKB 1315"
