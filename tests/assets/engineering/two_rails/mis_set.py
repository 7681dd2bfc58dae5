"""Switches whose rods are set wrongly by chance, as they truly lie and as they are read."""

from dataclasses import dataclass, replace

import numpy as np

from assets.engineering.blade import influence
from assets.engineering.facts import Interval
from assets.engineering.shape import SemiCurved, gap_behind
from assets.engineering.switch_inputs import Rod, SwitchLimits
from assets.engineering.two_rails.advice import Limits
from assets.engineering.two_rails.cases import Cases, Read, geometries, judged_places
from assets.engineering.two_rails.lying import TwoRails, every_stud
from assets.engineering.words import Adjustability, Lie, Role
from tests.assets.engineering.two_rails.chance import STIFFNESS_N_MM2

LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)
SWITCH_LIMITS = SwitchLimits(50.0, 102.0, 108.0, 120.0)
ALL_LIMITS = Limits(replace(SWITCH_LIMITS, residual_most_mm=1.5), rod_force_most_n=20_000.0)
CLEARANCE_AND_OPENING = Limits(SWITCH_LIMITS, None)
STIFFNESS = Interval(STIFFNESS_N_MM2, STIFFNESS_N_MM2)


@dataclass(frozen=True)
class MisSet:
    """A set of points: the lengths that its rods truly have, and the two rails as they truly are,
    which nobody knows: some studs or none, goosenecks of any stiffness."""

    shape: SemiCurved
    rods: tuple[Rod, ...]
    truth: TwoRails
    lengths_mm: np.ndarray

    @property
    def places(self) -> np.ndarray:
        return self.truth.rods_mm

    def displaced(self, changes_mm=0.0) -> np.ndarray:
        """Where the open rail truly lies at its rods after they are lengthened by so much."""
        return self.truth.set_to(self.lengths_mm - changes_mm).open_at(self.places)

    def lying(self, changes_mm=0.0):
        return self.truth.set_to(self.lengths_mm - changes_mm)

    def fwc(self, changes_mm=0.0) -> np.ndarray:
        """True clearance at many places, the toe first."""
        x = np.append(np.linspace(0, self.shape.heel_mm, 200), self.shape.where(69.85))
        return gap_behind(self.shape, x) + self.lying(changes_mm).open_at(x)

    def ways(self) -> tuple[TwoRails, ...]:
        return geometries(
            self.shape,
            True,
            self.rods,
            self.truth.homes_mm,
            None,
            [rod.order for rod in self.rods[1:]],
            STIFFNESS_N_MM2,
            1_000.0,
        )

    def cases(self, noise_mm: np.ndarray | None = None, sigma_mm: float = 0.0) -> Cases:
        """As read at each rod on both lies, with ``noise_mm`` (lies, n) on the readings."""
        count = len(self.rods)
        noise = np.zeros((2, count)) if noise_mm is None else noise_mm
        places = judged_places(self.shape, self.rods)
        along = influence(self.places, self.shape.heel_mm, True, places)
        sigmas = sigma_mm * np.linalg.norm(along, axis=1)
        reads = {
            lie: Read(self.displaced() + noise[at], sigmas, float(sigmas[0]))
            for at, lie in enumerate(LIES)
        }
        return Cases(self.shape, self.rods, self.ways(), reads, STIFFNESS_N_MM2)


def any_mis_set(chance: np.random.Generator, by_mm: float = 10.0) -> MisSet:
    """A switch of three or four rods, the lock near the nominal opening, each rod off by chance."""
    slope = chance.uniform(24, 36)
    heel = chance.uniform(2.6, 3.2) * 69.85 * slope
    shape = SemiCurved(slope, 69.85 * slope, chance.uniform(160_000, 240_000), 69.85, heel)
    count = int(chance.integers(3, 5))
    places = np.linspace(chance.uniform(150, 300), chance.uniform(0.6, 0.75) * heel, count)
    driven = [True, *(bool(chance.random() < 0.5) for _ in range(count - 1))]
    rods = tuple(
        Rod(
            order,
            Role.LOCK if order == 0 else Role.BACK if order == count - 1 else Role.INTERMEDIATE,
            float(x),
            Adjustability.ADJUSTABLE,
            float(chance.choice([2.0, 3.0, 4.0])),
            driven=driven[order],
        )
        for order, x in enumerate(places)
    )
    studs = every_stud(shape)
    some = tuple(x for x in studs if chance.random() < chance.choice([0.0, 0.5, 1.0]))
    soft = np.append(0.0, STIFFNESS_N_MM2 / chance.uniform(1_000, 20_000, count - 1))
    soft *= chance.random() < 0.5
    truth = TwoRails.of(shape, True, places, places[driven], some, soft)
    free = truth.bending(places, places[:1])[:, 0]
    displaced = free / free[0] * chance.uniform(100, 112)
    lengths = truth.read_as(displaced).lengths_mm + chance.uniform(-by_mm, by_mm, count)
    return MisSet(shape, rods, truth, lengths)
