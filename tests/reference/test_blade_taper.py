"""What neglecting the planed taper of the head costs, by finite elements (PyNiteFEA 3.2.0)."""

import numpy as np
import pytest

from assets.engineering.blade import Blade
from tests.reference import finite_elements

IYY = 5.12e6  # mm⁴
STIFFNESS = finite_elements.YOUNG * IYY
PLANING, HEEL = 1676.4, 6096.0  # mm: a 20 ft switch planed over 5 ft 6 in

RODS = [
    [(0, 108)],
    [(200, 103)],
    [(0, 108), (3000, 62)],
    [(200, 103), (4000, 14)],
]


def planed_to(share):
    """Iyy falling evenly over the planing to this share of itself at the toe."""
    return lambda x: IYY * (share + (1 - share) * min(x / PLANING, 1.0))


@pytest.mark.parametrize("rods", RODS)
@pytest.mark.parametrize(
    ("share", "within_mm", "within_force"), [(0.5, 0.4, 0.02), (0.1, 0.9, 0.05)]
)
def test_planed_blade_lies_within_a_millimetre_of_the_uniform_one(
    rods, share, within_mm, within_force
):
    places = [*np.linspace(0, PLANING, 25), *np.linspace(PLANING, HEEL, 23)]
    solved = finite_elements.solve(rods, HEEL, planed_to(share), also_at=places)
    x, y = zip(*rods, strict=True)
    blade = Blade.through(x, y, HEEL, True, STIFFNESS)
    assert np.abs(blade.at(solved.places_mm) - solved.displacements_mm).max() < within_mm
    assert blade.reactions_n == pytest.approx(solved.rod_forces_n, rel=within_force)


def test_stepped_blade_forced_hard_shows_the_most_that_taper_can_cost():
    """Half the stiffness for x < 2 m of 5 m, 108 mm at 0, 62 mm at 3 m; exact values worked out
    in fractions. The uniform blade is 4.5 mm less open at 1.5 m and 9 % too strong at the rod.
    """
    rods = [(0, 108), (3000, 62)]
    solved = finite_elements.solve(
        rods, 5000, lambda x: IYY / 2 if x < 2000 else IYY, also_at=[1500, 2000, 4000]
    )
    assert solved.rod_forces_n == pytest.approx([-6218.4247, 45208.2804], rel=1e-7)
    exact = [101.145619, 92.113402, 21.543814]
    assert [solved.at(x) for x in (1500, 2000, 4000)] == pytest.approx(exact, abs=1e-6)
    uniform = Blade.through([0, 3000], [108, 62], 5000, True, STIFFNESS)
    assert solved.at(1500) - uniform.at(1500) == pytest.approx(4.458, abs=1e-3)
    assert uniform.reactions_n[1] / solved.rod_forces_n[1] == pytest.approx(1.088, abs=1e-3)
