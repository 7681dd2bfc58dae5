"""Switch shapes against published tables and worked examples."""

from math import asin, degrees, radians, sin, tan

import pytest

from assets.engineering.shape import Curved, SemiCurved, Straight, gap_behind

INCH, FOOT = 25.4, 304.8  # mm


@pytest.fixture
def a_switch():
    """Switch radius 482 ft, switch rail 20 ft 0 in (a model engineering society's prototype
    data page "Turnout dimensions", s-scale.org.uk/turnout.htm); planed 1 in 24 over 5 ft 6 in,
    which fits seven leads published there within 1.6 in.
    """
    return SemiCurved(24, 66 * INCH, 482 * FOOT, 2.75 * INCH, 20 * FOOT)


def test_offsets_of_the_a_switch(a_switch):
    """Straight, then a true circle; worked out by two independent routes from that table."""
    feet = [2, 4, 5.5, 8, 10, 12, 15, 18, 20]
    offsets = [25.40, 50.80, 69.85, 103.59, 133.44, 165.82, 219.16, 278.23, 320.79]
    assert a_switch.offset([f * FOOT for f in feet]) == pytest.approx(offsets, abs=0.0051)


def test_head_of_the_a_switch_is_full_at_the_end_of_its_planing(a_switch):
    """2 3/4 in of head, planed at 1 in 24 over 5 ft 6 in."""
    assert a_switch.where(a_switch.head_mm) == pytest.approx(66 * INCH, abs=0.01)


@pytest.mark.parametrize(("feet", "slope"), [(9, 24), (12, 32), (15, 40), (18, 48)])
def test_straight_loose_heel_switches_have_a_whole_slope(feet, slope):
    """Heel divergence 4 1/2 in = clearance 1 3/4 in + head 2 3/4 in (Midland straight switches,
    gaugeoguild wiki; terms as in M. Holland, Turnout Geometry data sheet D2.2.1, 2004).
    """
    switch = Straight(4.5 * INCH, 2.75 * INCH, feet * FOOT)
    assert switch.offset(slope * 10.0) == pytest.approx(10.0, rel=1e-12)
    assert gap_behind(switch, feet * FOOT) == pytest.approx(1.75 * INCH, abs=1e-9)


def angle_of(switch: Straight) -> float:
    """The switch angle S (degrees) that the drawn offsets have: sin S is their rise per mm."""
    rise = float(switch.offset(switch.heel_mm) - switch.offset(0.0)) / switch.heel_mm
    return degrees(asin(rise))


def test_switch_angle_from_divergence_and_length():
    """asin(0.12 / 3) = 2.29244277595632 degrees (worked example, straight switch)."""
    switch = Straight(120, 70, 3000)
    assert angle_of(switch) == pytest.approx(2.29244277595632, abs=1e-12)


@pytest.mark.parametrize(("feet", "degree", "minute", "second"), [(11, 2, 36, 19), (22, 1, 18, 8)])
def test_switch_angle_with_a_thick_toe(feet, degree, minute, second):
    """sin S = (h - t)/a with h 6 1/4 in, t 1/4 in (TI 850-02, equation 6-12)."""
    switch = Straight(6.25 * INCH, 3 * INCH, feet * FOOT, toe_mm=0.25 * INCH)
    expected = degree + minute / 60 + second / 3600
    assert angle_of(switch) == pytest.approx(expected, abs=0.5 / 3600)


def test_curve_leaves_its_tangent_by_the_exact_amount():
    """r 1600, L 200: r - sqrt(r² - L²) = 12.549213, where the parabola gives 12.5."""
    assert Curved(1600, 70, 200).offset(200) == pytest.approx(12.549213, abs=5e-7)


@pytest.mark.parametrize(
    ("radius_m", "divergence_m", "lead_m"),
    [(485.202, 0.175, 13.03035), (244.696, 0.135, 8.127096)],
)
def test_switch_lead_by_coles_method(radius_m, divergence_m, lead_m):
    """Cole's method, G 1.676 m, 1 in 12 and 1 in 8.5: lead sqrt(2Rd - d²), all in mm here."""
    switch = Curved(radius_m * 1000, 70, 20_000)
    assert switch.where(divergence_m * 1000) == pytest.approx(lead_m * 1000, abs=0.01)


def test_curve_reaches_its_divergence_where_published():
    """IRS method, 1 in 12 (worked example): R 441360, the curve's tangent point L = 2567.714 mm
    before the toe and Y = -7.419946 mm behind it; divergence d 175 mm at
    SL = sqrt(2R(d - Y) - (d - Y)²) - L = 10120.5664 mm.
    """
    switch = Curved(441_360, 70, 14_000)
    assert switch.where(175 + 7.419946) - 2567.714 == pytest.approx(10120.5664, abs=1e-3)


def test_curve_entered_at_an_angle_begins_where_its_tangent_point_says():
    """Same example: entry 0°20' at R 441360 puts the tangent point L = R sin 20' away."""
    radius, entry = 441_360, radians(20 / 60)
    entered = Curved(radius, 70, 10_000, slope=1 / tan(entry))
    tangent = Curved(radius, 70, 14_000)
    before = radius * sin(entry)
    assert before == pytest.approx(2567.714, abs=1e-3)
    beyond = tangent.offset(before + 10_000) - tangent.offset(before)
    assert entered.offset(10_000) == pytest.approx(beyond, abs=1e-6)
