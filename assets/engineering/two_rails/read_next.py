"""Where to put the gauge next: the reading that makes the least clearance surest.

One more reading of free wheel clearance, at a place where the open rail moves by ``a`` for its
rods' displacements, takes (f·C·a)² / (a·C·a + σ²) off the variance of the least clearance, f being
``a`` at its place and C what is not known of the displacements. Lengths in mm.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from assets.engineering.blade import influence
from assets.engineering.words import Lie

from .certainty import GUARD
from .combining import Combined

_EVERY_MM = 50.0  # as finely as a place is told to a person
_AS_GOOD = 0.98  # of the gain of the best place: a rod, which is easily found, is told instead


@dataclass(frozen=True, slots=True)
class MeasureNext:
    """One reading of free wheel clearance, and what it is good for."""

    lie: Lie
    at_mm: float  # from the toe
    sigma_now_mm: float  # of the least clearance
    sigma_then_mm: float

    @property
    def why(self) -> str:
        return (
            f"With {self.lie.label}, free wheel clearance read at {self.at_mm:.0f} mm from the toe "
            f"would make the least clearance known to {GUARD * self.sigma_then_mm:.1f} mm instead "
            f"of {GUARD * self.sigma_now_mm:.1f} mm."
        )


def measure_next(lies: Mapping[Lie, Combined], fwc_sigma_mm: float) -> MeasureNext:
    """The reading to take next on the lie whose least clearance is the less sure to hold.

    ``lies`` has at least one; ``fwc_sigma_mm`` is that of the reading to be taken. That lie is the
    one whose clearance, less its guard, is least.
    """
    lie = min(lies, key=lambda lie: lies[lie].least_fwc.mm - GUARD * lies[lie].least_sigma_mm)
    found = lies[lie]
    blade = found.switch.blade
    even = np.arange(0.0, blade.heel_mm, _EVERY_MM)
    places = np.concatenate((blade.positions_mm, even, [found.least_fwc.at_mm]))
    moved = influence(blade.positions_mm, blade.heel_mm, blade.held, places)
    shared = moved @ found.covariance @ moved[-1]
    own = np.einsum("ki,ij,kj->k", moved, found.covariance, moved)
    gains = (shared**2 / (own + fwc_sigma_mm**2))[:-1]
    best = int(np.argmax(gains >= _AS_GOOD * gains.max()))  # rods come first
    left = max(float(own[-1] - gains[best]), 0.0) ** 0.5
    return MeasureNext(lie, float(places[best]), found.least_sigma_mm, left)
