"""The blade as a beam against handbook formulas, exact fractions and finite elements."""

from fractions import Fraction

import numpy as np
import pytest

from assets.engineering.blade import Blade
from tests.reference import finite_elements

HEEL = 5000.0  # mm
IYY = 5.12e6  # mm⁴
STIFFNESS = finite_elements.YOUNG * IYY  # N·mm²

# Each: name, rods as (place, displacement) in mm, toe to heel in mm, heel held.
CASES = [
    ("toe alone", [(0, 108)], 5000, True),
    ("lock alone, back from the toe", [(200, 103.5)], 6096, True),
    ("toe and a middle rod, forced hard", [(0, 108), (3000, 62)], 5000, True),
    ("lock and back", [(200, 103.5), (4200, 18)], 6096, True),
    ("three rods", [(200, 104), (1500, 75), (4000, 20)], 6096, True),
    ("four rods, long switch", [(250, 105), (1700, 82), (3600, 45), (6500, 6)], 8534.4, True),
    (
        "six rods",
        [(150, 106), (1200, 90), (2400, 66), (3800, 44), (5400, 19), (7200, 3)],
        9000,
        True,
    ),
    ("a rod pulled the other way", [(200, 103), (2500, -5)], 6096, True),
    ("loose heel, lock alone", [(200, 103)], 3657.6, False),
    ("loose heel, two rods", [(200, 103), (1800, 60)], 3657.6, False),
    ("loose heel, three rods", [(150, 105), (1300, 70), (2700, 31)], 4572, False),
]


@pytest.mark.parametrize(
    ("rods", "heel", "held"), [c[1:] for c in CASES], ids=[c[0] for c in CASES]
)
def test_blade_agrees_with_finite_elements(rods, heel, held):
    """PyNiteFEA 3.2.0, displacements enforced at the rods, uniform section."""
    between = np.linspace(0, heel, 9)[1:-1].tolist()
    solved = finite_elements.solve(rods, heel, lambda x: IYY, held, between)
    x, y = zip(*rods, strict=True)
    blade = Blade.through(x, y, heel, held, STIFFNESS)
    largest = max(map(abs, blade.reactions_n))
    assert blade.at(solved.places_mm) == pytest.approx(solved.displacements_mm, rel=1e-6, abs=1e-5)
    assert blade.reactions_n == pytest.approx(
        solved.rod_forces_n, rel=1e-6, abs=1e-6 * largest + 1e-3
    )
    assert blade.heel_force_n == pytest.approx(
        solved.heel_force_n, rel=1e-6, abs=1e-6 * largest + 1e-3
    )


def test_end_loaded_cantilever_needs_the_handbook_force():
    """End load P on a cantilever: d = P L³ / 3EI (textbook, beam deflection tables)."""
    blade = Blade.through([0], [108], HEEL, True, STIFFNESS)
    assert blade.reactions_n == pytest.approx([3 * STIFFNESS * 108 / HEEL**3], rel=1e-12)
    assert blade.reactions_n == pytest.approx([2786.9184], abs=1e-4)


def test_end_loaded_cantilever_bends_to_the_handbook_curve():
    """From the clamp z: y = P z² (3L - z) / 6EI (textbook, beam deflection tables)."""
    blade = Blade.through([0], [108], HEEL, True, STIFFNESS)
    x = np.linspace(0, HEEL, 101)
    z = HEEL - x
    expected = blade.reactions_n[0] * z**2 * (3 * HEEL - z) / (6 * STIFFNESS)
    assert blade.at(x) == pytest.approx(expected, rel=1e-9, abs=1e-9)
    assert blade.at([1500, 3000, 4000]) == pytest.approx([60.858, 22.464, 6.048], abs=5e-4)


@pytest.mark.parametrize("settled", [1.0, 12.0, 108.0])
def test_propped_cantilever_with_a_settled_prop_needs_the_handbook_force(settled):
    """Prop at the free end settled by d: R = 3EI d / L³ (textbook, propped cantilever)."""
    blade = Blade.through([0], [settled], HEEL, True, STIFFNESS)
    assert blade.heel_force_n == pytest.approx(-3 * STIFFNESS * settled / HEEL**3, rel=1e-12)
    assert blade.heel_moment_n_mm == pytest.approx(3 * STIFFNESS * settled / HEEL**2, rel=1e-9)


def test_load_away_from_the_end_leaves_the_free_part_straight():
    """Load at a from the clamp: end deflection P a² (3L - a) / 6EI (textbook)."""
    blade = Blade.through([1200], [70], HEEL, True, STIFFNESS)
    arm = HEEL - 1200
    toe = blade.reactions_n[0] * arm**2 * (3 * HEEL - arm) / (6 * STIFFNESS)
    assert blade.toe_mm == pytest.approx(toe, rel=1e-12)
    assert np.diff(blade.at([0, 300, 600, 900, 1200]), 2) == pytest.approx(0, abs=1e-9)


def test_blade_forced_between_toe_and_heel_gives_the_exact_fractions():
    """EI = 210e9 · 5.12e-6 N·m², L 5 m, 108 mm at 0 and 62 mm at 3 m, worked out in fractions."""
    blade = Blade.through([0, 3000], [108, 62], HEEL, True, STIFFNESS)
    assert blade.reactions_n == pytest.approx(
        [float(Fraction(-335104, 45)), float(Fraction(2214016, 45))], rel=1e-12
    )
    assert blade.heel_force_n == pytest.approx(-41753.6, rel=1e-9)
    assert blade.heel_moment_n_mm == pytest.approx(61_166_933.3, rel=1e-8)
    assert blade.at([1500, 4000]) == pytest.approx([96.6875, 21.97222], abs=5e-6)
    assert (blade.at(1e-3) - blade.at(0)) / 1e-3 == pytest.approx(-0.004944444, abs=1e-8)


def test_loose_heel_with_the_toe_alone_is_a_straight_line_without_force():
    """A beam held at one point and pivoted at the other is a mechanism."""
    blade = Blade.through([0], [108], 3657.6, False, STIFFNESS)
    x = np.linspace(0, 3657.6, 20)
    assert blade.at(x) == pytest.approx(108 * (1 - x / 3657.6), abs=1e-9)
    assert blade.reactions_n == pytest.approx([0.0], abs=1e-6)
