"""The blade as a frame of beam elements, by an independent package (PyNiteFEA)."""

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import pytest

YOUNG = 210e3  # N/mm²
POISSON = 0.3


@dataclass(frozen=True)
class Solved:
    places_mm: tuple[float, ...]
    displacements_mm: tuple[float, ...]
    rod_forces_n: tuple[float, ...]
    heel_force_n: float
    heel_moment_n_mm: float

    def at(self, x_mm: float) -> float:
        return self.displacements_mm[self.places_mm.index(float(x_mm))]


def solve(
    rods: Sequence[tuple[float, float]],
    heel_mm: float,
    iyy_mm4: Callable[[float], float],
    held: bool = True,
    also_at: Sequence[float] = (),
) -> Solved:
    """Displacements enforced at the rods (place, mm); one element between neighbouring places.

    ``iyy_mm4`` is asked at the middle of each element.
    """
    pytest.importorskip(
        "Pynite", reason="PyNiteFEA is needed: pip install -r tests/reference/requirements.txt"
    )
    from Pynite import FEModel3D

    places = tuple(
        sorted({0.0, float(heel_mm), *map(float, also_at), *(float(x) for x, _ in rods)})
    )
    model = FEModel3D()
    model.add_material("steel", YOUNG, YOUNG / (2 * (1 + POISSON)), POISSON, 7.85e-6)
    names = {x: f"N{i}" for i, x in enumerate(places)}
    for x, name in names.items():
        model.add_node(name, x, 0, 0)
    for i, (left, right) in enumerate(itertools.pairwise(places)):
        second = iyy_mm4((left + right) / 2)
        model.add_section(f"S{i}", 7000.0, second, second, 2 * second)
        model.add_member(f"M{i}", names[left], names[right], "steel", f"S{i}")
    enforced = dict(rods)
    for x in places[:-1]:
        model.def_support(names[x], False, x in enforced, True, True, True, False)
    model.def_support(names[places[-1]], True, True, True, True, True, held)
    for x, displacement in rods:
        model.def_node_disp(names[float(x)], "DY", float(displacement))
    model.analyze(log=False)

    def result(x: float, what: str) -> float:
        return float(getattr(model.nodes[names[float(x)]], what)["Combo 1"])

    return Solved(
        places,
        tuple(result(x, "DY") for x in places),
        tuple(result(x, "RxnFY") for x, _ in rods),
        result(heel_mm, "RxnFY"),
        result(heel_mm, "RxnMZ"),
    )


def stiffness(places: Sequence[float], iyy_mm4: float, held: bool) -> np.ndarray:
    """The package's stiffness against displacements (N/mm) across the rail at these places, from
    the toe to the heel and the heel left out: its turns, which nothing loads, are eliminated."""
    pytest.importorskip(
        "Pynite", reason="PyNiteFEA is needed: pip install -r tests/reference/requirements.txt"
    )
    from Pynite import FEModel3D
    from Pynite.Analysis import _prepare_model

    model = FEModel3D()
    model.add_material("steel", YOUNG, YOUNG / (2 * (1 + POISSON)), POISSON, 7.85e-6)
    model.add_section("rail", 7000.0, iyy_mm4, iyy_mm4, 2 * iyy_mm4)
    for i, x in enumerate(places):
        model.add_node(f"N{i}", x, 0, 0)
    for i in range(len(places) - 1):
        model.add_member(f"M{i}", f"N{i}", f"N{i + 1}", "steel", "rail")
    _prepare_model(model)
    whole = model.Ke("Combo 1", check_stability=False, sparse=False)
    across = [6 * i + 1 for i in range(len(places) - 1)]
    turns = [6 * i + 5 for i in range(len(places) - (1 if held else 0))]
    mixed = whole[np.ix_(across, turns)]
    return whole[np.ix_(across, across)] - mixed @ np.linalg.solve(
        whole[np.ix_(turns, turns)], mixed.T
    )
