"""Quantities as people write them."""

from fractions import Fraction

import pytest

from assets.workbook.measures import factor, quantity, unit_name
from assets.workbook.refusals import CellRefused


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        # The inch is exactly 25.4 mm: international yard and pound agreement, 1959.
        ("4 1/4 in", 107.95),
        ("1 3/4 in", 44.45),
        ("3/8 in", 9.525),
        ("2 in", 50.8),
        ("1/8 in", 3.175),
        ("4¼ in", 107.95),
        ("4-1/4 inches", 107.95),
        ('4 1/4"', 107.95),
        ("4 1/4″", 107.95),
        ("20 ft 6 in", 6248.4),
        ("20' 6\"", 6248.4),
        ("108 mm", 108.0),
        ("108mm.", 108.0),
        ("  108\u00a0mm ", 108.0),
        ("10.8 cm", 108.0),
        ("1.5 m", 1500.0),
        ("-3 mm", -3.0),
        ("\u22123 mm", -3.0),
        ("+3", 3.0),
        ("1,250", 1250.0),
        ("1,250.5 mm", 1250.5),
        (".5", 0.5),
        ("1.25e2", 125.0),
    ],
)
def test_a_length_is_understood_as_written(written, mm):
    assert quantity(written, "mm") == mm


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("about 6", "not one number in mm"),
        ("6?", "not one number in mm"),
        ("6-7", "not one number in mm"),
        ("6 kg", "not one number in mm"),
        ("108 108 mm", "not one number in mm"),
        ("mm", "not one number in mm"),
        ("-", "not one number in mm"),
        ("4 1/4", "Say what the fraction is of"),
        ("3,5", "3.5, not 3,5"),
        ("1 1/0 in", "nothing below its line"),
        ("1e999", "too large"),
        ("1_000", "not one number in mm"),
        ("nan", "not one number in mm"),
        ("inf", "not one number in mm"),
        ("1,2,3", "not one number in mm"),
    ],
)
def test_what_is_not_one_number_is_refused_with_what_to_write(written, hint):
    with pytest.raises(CellRefused, match=hint):
        quantity(written, "mm")


def test_a_long_row_of_figures_is_answered_at_once():
    with pytest.raises(CellRefused):
        quantity("9" * 30_000 + " x" * 1_000, "mm")


def test_torque_in_foot_pounds_becomes_newton_metres():
    # 1 lbf ft = 0.45359237 x 9.80665 x 0.3048 N m = 1.3558179483314004 N m, exact by definition.
    assert quantity("150 lbf ft", "N·m") == pytest.approx(203.37269224971)
    assert quantity("150 ft lb", "N·m") == pytest.approx(203.37269224971)
    assert quantity("200 Nm", "N·m") == 200.0


def test_miles_and_chains_are_added_up():
    # 80 chains to the mile.
    assert quantity("12 miles 34 chains", "miles") == 12.425


def test_a_bare_m_in_a_column_of_miles_is_asked_for_not_guessed():
    with pytest.raises(CellRefused):
        quantity("12 m", "miles")


def test_units_are_known_by_their_usual_spellings():
    assert unit_name("N·m") == unit_name("N.m") == unit_name("Nm") == "nm"
    assert unit_name("Inches") == unit_name('"') == unit_name("ins.") == "in"
    assert factor("in", "mm") == Fraction("25.4")
    assert factor("kg", "mm") is None
    assert factor("days", "day") == 1
