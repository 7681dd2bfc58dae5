"""Figures as people write them. Inches: the international inch is 25.4 mm exactly."""

import pytest

from assets.engineering.units import parse_figure, parse_length


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        ("108", 108),
        ("107.95", 107.95),
        (" 52.5 mm ", 52.5),
        (".5", 0.5),
        ("4 1/4 in", 107.95),
        ('4 1/4"', 107.95),
        ("4.25in", 107.95),
        ("4¼ in", 107.95),
        ("1 3/4 in", 44.45),
        ("3/8 in", 9.525),
        ("2 inches", 50.8),
        ("1/8 IN", 3.175),
        ("4 ft 8 1/2 in", 1435.1),
        ("4' 8 1/2\"", 1435.1),
        ("4’ 8½”", 1435.1),
        ("3 ft", 914.4),
        ("-3", -3),
    ],
)
def test_a_length_is_read_as_written_and_exactly(written, mm):
    assert parse_length(written) == mm


@pytest.mark.parametrize(
    "written",
    [
        "",
        " ",
        "mm",
        "in",
        "1,435",
        "4 1/0 in",
        "nan",
        "inf",
        "1e3",
        "4 1/4",
        "fifty",
        "5 lb",
        "1/2",
    ],
)
def test_what_is_not_a_length_is_refused_in_a_sentence(written):
    with pytest.raises(ValueError, match=r"length|comma|fraction"):
        parse_length(written)


def test_a_fraction_without_inches_is_not_guessed_to_be_millimetres():
    with pytest.raises(ValueError, match="4 1/4 in"):
        parse_length("4 1/4")


@pytest.mark.parametrize(
    ("written", "unit", "value"),
    [
        ("220", "N·m", 220),
        ("220 N·m", "N·m", 220),
        ("220 Nm", "N·m", 220),
        ("-3", "N·m", -3),
        ("500", "Ω", 500),
        ("500 kΩ", "Ω", 500_000),
        ("2M", "Ω", 2_000_000),
        ("0.5 ohm", "Ω", 0.5),
        ("4 1/4 in", "mm", 107.95),
    ],
)
def test_a_figure_is_read_in_its_unit(written, unit, value):
    assert parse_figure(written, unit) == value


@pytest.mark.parametrize(("written", "unit"), [("5 k", "N·m"), ("5 mm", "Ω"), ("9" * 60, "Ω")])
def test_a_figure_in_another_unit_is_refused(written, unit):
    with pytest.raises(ValueError, match=r"figure"):
        parse_figure(written, unit)
