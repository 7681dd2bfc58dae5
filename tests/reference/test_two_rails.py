"""The two rails against finite elements with contact that share nothing with them.

The program solves for forces, by an active set of its own. Here the unknowns are displacements: the
rails' stiffness comes from PyNiteFEA 3.2.0, and where the closed rail touches is found by
scipy.optimize.lsq_linear, the energy written as least squares with displacements bounded below.
"""

from math import sqrt

import numpy as np
import pytest

from tests.assets.engineering.two_rails.chance import STIFFNESS_N_MM2, any_switch
from tests.reference import finite_elements

IYY_MM4 = 421.6e4  # 113A


def solved_by_displacements(drawn) -> tuple[np.ndarray, np.ndarray]:
    """Displacement of the open rail at its rods and of the closed one at its contacts (mm)."""
    from scipy.linalg import cholesky, solve_triangular
    from scipy.optimize import lsq_linear

    rails = drawn.rails
    places = sorted({*rails.rods_mm, *rails.homes_mm, *rails.contacts_mm})
    whole = finite_elements.stiffness([*places, rails.heel_mm], IYY_MM4, rails.held)
    at_rods = [places.index(x) for x in rails.rods_mm]
    others = [i for i in range(len(places)) if i not in at_rods]
    mixed = whole[np.ix_(at_rods, others)]
    open_rail = whole[np.ix_(at_rods, at_rods)] - mixed @ np.linalg.solve(
        whole[np.ix_(others, others)], mixed.T
    )
    # Displacements of both rails from those that are free: (open at rods, closed) = move v + start.
    rods, count = len(at_rods), len(places)
    homes = dict(zip(rails.homes_mm.tolist(), drawn.homes_mm.tolist(), strict=True))
    stiff = rails.softness == 0
    move = np.zeros((rods + count, rods + count))
    start = np.zeros(rods + count)
    for i, x in enumerate(places):
        if x in homes:
            start[rods + i] = homes[x]
        else:
            move[rods + i, rods + i] = 1
    for i, at in enumerate(at_rods):
        if stiff[i]:
            move[i] = -move[rods + at]
            start[i] = drawn.lengths_mm[i] - start[rods + at]
        else:
            move[i, i] = 1
    free = np.flatnonzero(move.any(axis=0))
    move = move[:, free]
    energy = np.zeros((rods + count, rods + count))
    energy[:rods, :rods], energy[rods:, rods:] = open_rail, whole
    pull = np.zeros(rods + count)
    for i, at in enumerate(at_rods):
        if not stiff[i]:
            spring = STIFFNESS_N_MM2 / (rails.softness[i] * rails.heel_mm**3)
            both = np.zeros(rods + count)
            both[[i, rods + at]] = 1
            energy += spring * np.outer(both, both)
            pull += spring * drawn.lengths_mm[i] * both
    quadratic = move.T @ energy @ move
    linear = move.T @ (pull - energy @ start)
    scale = 1 / np.sqrt(np.diagonal(quadratic))
    root = cholesky(quadratic * np.outer(scale, scale))
    least = np.full(len(free), -np.inf)
    gaps = dict(zip(rails.contacts_mm.tolist(), rails.gaps_mm.tolist(), strict=True))
    for column, unknown in enumerate(free):
        if unknown >= rods and places[unknown - rods] in gaps:
            least[column] = -gaps[places[unknown - rods]] / scale[column]
    result = lsq_linear(
        root,
        solve_triangular(root, scale * linear, trans="T"),
        (least, np.full(len(free), np.inf)),
        method="bvls",
        tol=1e-15,
        max_iter=2000,
    )
    both = move @ (scale * result.x) + start
    return both[:rods], both[rods:][[places.index(x) for x in rails.contacts_mm]]


def test_fifty_switches_lie_where_finite_elements_with_contact_put_them():
    """Two to four rods, held and pivoted heels, none, some and all studs, rigid and soft rods."""
    chance = np.random.default_rng(1913)
    kinds = set()
    worst = 0.0
    for number in range(50):
        drawn = any_switch(chance, ("none", "some", "all")[number % 3], soft=number % 2 == 0)
        lying = drawn.rails.set_to(drawn.lengths_mm, drawn.homes_mm)
        opened, closed = solved_by_displacements(drawn)
        ours = lying.open_at(drawn.rails.rods_mm), lying.closed_at(drawn.rails.contacts_mm)
        worst = max(worst, abs(ours[0] - opened).max(), abs(ours[1] - closed).max())
        kinds.add((drawn.rails.held, len(drawn.rails.rods_mm), bool(lying.touching_mm)))
    print(f"\nfurthest from finite elements: {worst:.1e} mm")
    assert worst < 1e-4
    assert {(held, rods) for held, rods, _ in kinds} == {
        (held, rods) for held in (True, False) for rods in (2, 3, 4)
    }
    assert {touches for _, _, touches in kinds} == {True, False}


def test_a_rail_that_only_just_bends_the_package_agrees_with_the_handbook():
    """Cantilever, end load P: d = P L³ / 3EI (textbook), so the package's stiffness is 3EI / L³."""
    found = finite_elements.stiffness([0.0, 5000.0], IYY_MM4, True)
    assert found[0, 0] == pytest.approx(3 * STIFFNESS_N_MM2 / 5000.0**3, rel=1e-9)
    assert sqrt(found.size) == 1
