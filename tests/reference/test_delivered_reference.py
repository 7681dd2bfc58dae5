"""The reference data as delivered, against what is published or can be worked out."""

import json

import pytest

from config.reference import DELIVERED

GIVEN = json.loads(DELIVERED.read_text(encoding="utf-8"))
RAILS = {row["code"]: row for row in GIVEN["rail_sections"]}
DESIGNS = {row["code"]: row for row in GIVEN["switch_designs"]}
INCH, FOOT = 25.4, 304.8


def test_everything_delivered_says_where_it_comes_from():
    rows = [row for kind, rows in GIVEN.items() if isinstance(rows, list) for row in rows]
    assert len(rows) > 30
    assert all(row["source"] for row in rows)


def test_what_is_from_memory_says_so_in_its_source_too():
    for row in [*RAILS.values(), *DESIGNS.values()]:
        assert row.get("from_memory", False) == ("from memory" in row["source"]), row["code"]


@pytest.mark.parametrize(("code", "least", "most"), [("95RBH", 85, 186), ("85RBH", 67, 157)])
def test_a_bullhead_iyy_is_unknown_between_bounds_that_its_outline_allows(code, least, most):
    """Exact bounds for a symmetric section of area A, height h, widest b, thinnest t:
    A³/(12h²) and s b³/12 + (h - s) t³/12 with s = (A - t h)/(b - t). Area from kg/m by the
    convention of BS 11:1985 clause 4 note 2: kg/m = mm² × 0.00785."""
    rail = RAILS[code]
    area, h = rail["mass_kg_m"] / 0.00785, rail["height_mm"]
    b, t = max(rail["head_mm"], rail["foot_mm"]), rail["web_mm"]
    s = (area - t * h) / (b - t)
    low = area**3 / (12 * h**2) / 1e4
    high = (s * b**3 + (h - s) * t**3) / 12 / 1e4
    assert (rail["iyy_least_cm4"], rail["iyy_most_cm4"]) == (least, most)
    assert rail.get("iyy_cm4") is None
    assert low == pytest.approx(least, abs=1)
    assert high == pytest.approx(most, abs=1)


@pytest.mark.parametrize(
    ("code", "mass", "height", "iyy"),
    [
        ("60E1", 60.21, 172, 512.3),
        ("60E2", 60.03, 172, 510.5),
        ("113A", 56.30, 158.75, 421.6),
        ("54E1", 54.77, 159, 419.2),
    ],
)
def test_flat_bottom_sections_are_those_of_en_13674_1(code, mass, height, iyy):
    """EN 13674-1, read in secondary tables; 113A is its 56E1."""
    rail = RAILS[code]
    assert (rail["mass_kg_m"], rail["height_mm"], rail["iyy_cm4"]) == (mass, height, iyy)


@pytest.mark.parametrize(
    ("code", "radius_ft", "length_ft", "slope"),
    [("A bullhead", 482, 20, 24), ("B bullhead", 613, 22.5, 32)],
)
def test_bullhead_switches_are_those_of_the_published_table(code, radius_ft, length_ft, slope):
    """s-scale.org.uk/turnout.htm, prototype data; planed over 2 3/4 in × N."""
    design = DESIGNS[code]
    assert design["radius_mm"] == pytest.approx(radius_ft * FOOT)
    assert design["heel_mm"] == pytest.approx(length_ft * FOOT)
    assert design["planing_mm"] == pytest.approx(2.75 * INCH * slope)


@pytest.mark.parametrize("feet", [9, 12, 15, 18])
def test_straight_switches_diverge_four_and_a_half_inches_over_their_length(feet):
    """Heel divergence 1 3/4 + 2 3/4 in (Gauge O Guild wiki); d/L is exactly 1/24 ... 1/48."""
    design = DESIGNS[f"straight {feet} ft"]
    assert design["heel_divergence_mm"] == pytest.approx(4.5 * INCH)
    assert design["heel_divergence_mm"] / design["heel_mm"] == pytest.approx(1 / design["slope"])


def test_no_flat_bottom_design_is_made_up():
    """No published table of flat-bottom switches was found: they go by measured offsets."""
    assert all("bullhead" in code or "straight" in code for code in DESIGNS)


def test_long_bullhead_switches_have_no_radius_until_one_is_found():
    for letter in "CDEF":
        assert "radius_mm" not in DESIGNS[f"{letter} bullhead"]
        assert DESIGNS[f"{letter} bullhead"]["from_memory"]


def test_the_least_wheelsets_are_those_of_the_wagon_rules():
    """Regulation (EU) 321/2013: least back-to-back and least flange add to 1379, 1383, 1386.5."""
    sums = [row["back_to_back_mm"] + row["flange_mm"] for row in GIVEN["wheel_standards"]]
    assert sums == [1379, 1383, 1386.5]
