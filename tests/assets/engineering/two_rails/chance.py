"""Invented switches by chance, set as a railway might set them, for the two rails."""

from dataclasses import dataclass

import numpy as np

from assets.engineering.shape import SemiCurved
from assets.engineering.two_rails.lying import TwoRails, every_stud

STIFFNESS_N_MM2 = 210_000.0 * 421.6e4  # 113A
SOFT_N_MM = 1_000.0  # of a gooseneck


@dataclass(frozen=True)
class Drawn:
    """A switch drawn by chance, with the lengths of its rods and the closed rail's homes."""

    shape: SemiCurved
    rails: TwoRails
    lengths_mm: np.ndarray
    homes_mm: np.ndarray
    studs: str


def any_shape(chance: np.random.Generator) -> SemiCurved:
    heel = chance.uniform(5_500, 10_500)
    slope = chance.uniform(24, 48)
    return SemiCurved(slope, 69.85 * slope, chance.uniform(140_000, 350_000), 69.85, heel)


def any_switch(
    chance: np.random.Generator, studs: str | None = None, soft: bool | None = None
) -> Drawn:
    """Two to four rods, lock first; studs none, some or all; rods rigid or some of them soft."""
    shape = any_shape(chance)
    count = int(chance.integers(2, 5))
    back = chance.uniform(0.5, 0.8) * shape.heel_mm
    rods = np.linspace(chance.uniform(100, 300), back, count)
    rods[1:-1] += chance.uniform(-150, 150, count - 2)
    driven = [0, *(i for i in range(1, count) if chance.random() < 0.4)]
    held = bool(chance.random() < 0.75)
    studs = studs or str(chance.choice(["none", "some", "all"]))
    places = every_stud(shape)
    chosen = {
        "none": (),
        "some": tuple(sorted(chance.choice(places, min(3, len(places)), replace=False).tolist())),
        "all": places,
    }[studs]
    softness = np.zeros(count)
    if chance.random() < 0.5 if soft is None else soft:
        softness[1:] = STIFFNESS_N_MM2 / chance.uniform(SOFT_N_MM, 5 * SOFT_N_MM, count - 1)
    rails = TwoRails.of(shape, held, rods, rods[driven], chosen, softness)
    free = rails.bending(rods, rods[:1])[:, 0] if held else 1 - rods / shape.heel_mm
    lengths = free / free[0] * chance.uniform(95, 115) + chance.uniform(-8, 8, count)
    homes = np.where(chance.random(len(driven)) < 0.5, 0.0, chance.uniform(0, 1.5, len(driven)))
    return Drawn(shape, rails, lengths, homes, studs)
