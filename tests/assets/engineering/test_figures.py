"""Figures as people write them: the same answer wherever they are typed.

Exact definitions: the inch is 25.4 mm and the pound 0.45359237 kg (international yard and pound
agreement, 1959); standard gravity is 9.80665 m/s² (third General Conference on Weights and
Measures, 1901), so that the pound-force is 4.4482216152605 N.
"""

import io
from fractions import Fraction

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from assets.engineering.figures import FigureRefused, figure, whole
from assets.engineering.units import (
    _SPELLINGS,
    METRES_PER_FOOT,
    MM_PER_INCH,
    NEWTONS_PER_LBF,
    Kind,
    converted,
    convertible,
    kind_of,
    same_unit,
    units_spelt,
)
from assets.figure_fields import FigureField
from assets.workbook.cells import parser_for
from assets.workbook.columns import Column
from assets.workbook.columns import Kind as Cell
from assets.workbook.opening import open_book
from assets.workbook.refusals import CellRefused
from inspections.sheets import to_fill_in
from tests.assets.engineering.figure_cases import CASES, UNITS, Case

each_case = pytest.mark.parametrize("case", CASES, ids=str)


def by_parser(case: Case):
    try:
        return figure(case.text, case.unit), ""
    except FigureRefused as problem:
        return None, str(problem)


def by_form(case: Case):
    try:
        return FigureField(unit=case.unit).clean(case.text), ""
    except ValidationError as problem:
        return None, problem.messages[0]


def by_cell(case: Case):
    try:
        return parser_for(Column("Found", "value", Cell.NUMBER, unit=case.unit))(case.text), ""
    except CellRefused as problem:
        return None, str(problem)


@each_case
@pytest.mark.parametrize("way", [by_parser, by_form, by_cell])
def test_a_figure_has_one_answer_by_parser_form_and_cell(case, way):
    answer = way(case)
    assert case.is_answered_by(*answer), answer


def test_the_table_is_large_and_has_every_kind():
    assert len(CASES) >= 150
    assert {kind_of(unit).value for unit in UNITS.values()} == {kind.value for kind in Kind}
    assert set(UNITS) == {kind.value for kind in Kind}


QUANTITY_OF = {"length": "fwc", "torque": "torque", "resistance": "insulation_resistance"}


def test_a_figure_has_the_same_answer_on_a_visit_sheet():
    cases = [case for case in CASES if case.kind in QUANTITY_OF]
    book = Workbook()
    page = book.active
    page["A1"] = f"{to_fill_in.TITLE}: SKB 12"
    page.append([])
    page.append(to_fill_in.HEADINGS)
    for case in cases:
        code = f"reading|{QUANTITY_OF[case.kind]}|1|||"
        page.append(["first stretcher", "", "", "", "", case.text, None, None, code])
        page.cell(page.max_row, to_fill_in.FOUND + 1).data_type = "s"  # "=52" too is a text
    file = io.BytesIO()
    book.save(file)
    with open_book(file, "visit.xlsx") as opened:
        sheets = {given.sheet.name: given for given in to_fill_in.read(opened).sheets}
    rows = sheets["Readings"].given
    assert len(rows) == len(cases)
    wrong = []
    for case, row in zip(cases, rows, strict=True):
        refused = " ".join(refusal.reason for refusal in row.refusals)
        if not case.is_answered_by(row.values.get("value"), refused):
            wrong.append((str(case), row.values.get("value"), refused))
    assert wrong == []


# Every unit of a kind, and none of another


def spelt(kind: Kind) -> list[tuple[str, Fraction, Fraction]]:
    """Each spelling that stands for one unit of the kind, with the unit's scale and zero."""
    return [
        (word, unit.scale, unit.zero)
        for unit, spellings in _SPELLINGS.get(kind, ())
        for word in spellings.split()
        if len(units_spelt(word, kind)) == 1
    ]


WRITTEN = [(kind, *row) for kind in Kind for row in spelt(kind)]
AMOUNTS = st.decimals(-(10**6), 10**6, places=3, allow_nan=False)


@given(st.sampled_from(WRITTEN), AMOUNTS, st.sampled_from(["", " ", "\u00a0"]))
def test_what_is_written_in_a_unit_of_its_kind_is_read_back(row, amount, space):
    kind, word, scale, zero = row
    exact = Fraction(amount) * scale + zero
    assert figure(f"{amount:f}{space}{word}", UNITS[kind.value]) == float(exact)


@given(st.sampled_from(WRITTEN), st.sampled_from(sorted(UNITS)), AMOUNTS)
def test_a_unit_of_another_kind_is_always_refused(row, field, amount):
    _, word, *_ = row
    if units_spelt(word, Kind(field)):
        return  # both kinds have it: yards are of a length and of a mileage
    with pytest.raises(FigureRefused, match=r"belongs here|is not a"):
        figure(f"{amount:f} {word}", UNITS[field])


@given(st.text(max_size=50), st.sampled_from(sorted(UNITS)))
def test_any_text_is_a_finite_figure_or_refused_in_a_sentence(text, kind):
    value, refused = by_parser(Case(kind, text, None, ""))
    assert refused.endswith(".") if value is None else abs(value) < 1e200


# Definitions and conversions


def test_inch_and_pound_force_are_those_of_their_definitions():
    assert Fraction("25.4") == MM_PER_INCH
    assert Fraction("4.4482216152605") == NEWTONS_PER_LBF
    assert Fraction("0.45359237") * Fraction("9.80665") == NEWTONS_PER_LBF
    assert Fraction("1.3558179483314004") == NEWTONS_PER_LBF * METRES_PER_FOOT


def test_a_column_in_another_unit_is_converted_exactly():
    assert converted(45.25, "in", "mm") == 1149.35
    assert converted(45.25, "inches", "in") == 45.25
    assert converted(150, "lbf ft", "N·m") == 203.37269224971006
    assert converted(70, "°F", "°C") == float(Fraction(190, 9))
    with pytest.raises(ValueError, match="kg cannot be turned into mm"):
        converted(1, "kg", "mm")


@pytest.mark.parametrize(
    ("unit", "wanted", "may"),
    [
        ("in", "mm", True),
        ("chains", "miles", True),
        ("m", "miles", False),  # miles, or metres
        ("m", "mm", True),
        ("mΩ", "Ω", True),
        ("m", "Ω", False),
        ("kg", "mm", False),
        ("N·m", "mm", False),
        ("KG/M", "kg/m", True),
        ("mm", "", False),
        ("", "", True),
    ],
)
def test_only_units_of_one_kind_are_turned_into_each_other(unit, wanted, may):
    assert convertible(unit, wanted) is may


def test_units_are_known_by_their_usual_spellings():
    assert all(same_unit(written, "N·m") for written in ("N·m", "N.m", "Nm", "N m", "N⋅m"))
    assert all(same_unit(written, "in") for written in ("Inches", '"', "ins.", "IN"))
    assert same_unit("MΩ", "Mohm")
    assert not same_unit("mΩ", "MΩ")


def test_figures_of_a_column_in_another_unit_may_stand_without_it():
    assert figure("45.25", "mm", bare="in") == 1149.35
    assert figure("45.25 mm", "mm", bare="in") == 45.25


def test_a_unit_that_is_never_converted_may_be_written_or_not():
    assert figure("56 kg/m", "kg/m") == figure("56", "kg/m") == 56
    with pytest.raises(FigureRefused, match="is not a number in kg/m"):
        figure("56 stone", "kg/m")


def test_whole_numbers_only():
    assert whole("28 days", "days") == 28
    with pytest.raises(FigureRefused, match="Only whole numbers"):
        whole("28.5", "days")


@pytest.mark.parametrize("sign", ["\x00", "\x07", "\x0b", "\x1b", "\x85", "\u2028"])
def test_control_characters_are_refused(sign):
    with pytest.raises(FigureRefused, match="does not show"):
        figure(f"52{sign}5", "mm")


def test_a_long_row_of_figures_is_answered_at_once():
    with pytest.raises(FigureRefused, match="too long"):
        figure("9" * 30_000 + " x" * 1_000, "mm")
