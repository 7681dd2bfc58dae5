"""The open switch rail as a beam: where it lies between the rods, and what that takes.

x runs from the toe (0) to the heel, displacement is from the closed place, positive opening.
"""

import itertools
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike

from .cannot_say import CannotSay, known
from .shape import Floats, on_switch

if TYPE_CHECKING:
    from scipy.interpolate import CubicSpline

_LEAST_SPACING_MM = 1.0  # nearer than this, two rods are one place written twice


@dataclass(frozen=True)
class Blade:
    """A switch rail carried at its rods, with no load between them; build with ``through``.

    Straight from the toe to the first rod, a cubic between rods, and at the heel either held
    (no displacement, no slope: a flexible switch) or pivoted (no displacement, no moment: a
    loose heel). Small deflections; the free shape of the rail is taken as its closed shape.

    **Neglected: the planed taper.** One section is taken from toe to heel, though the planed
    part is more limber. For a 20 ft switch whose stiffness falls evenly over the planing to half
    at the toe, a finite-element model puts the curve within 0.4 mm of this one and the forces
    of rods beyond the planing within 2 %; falling to a tenth, within 0.9 mm and 5 %. Only where
    much more than the planing is weakened and a rod forces the blade hard does it tell: 4.5 mm
    with half the stiffness over 2 m of 5 m and 49 kN at a rod (tests/reference).
    """

    positions_mm: tuple[float, ...]  # of the rods, from the toe
    displacements_mm: tuple[float, ...]
    heel_mm: float
    held: bool
    stiffness_n_mm2: float | None
    _curve: "CubicSpline" = field(repr=False, compare=False)

    @classmethod
    def through(
        cls,
        positions_mm: ArrayLike,
        displacements_mm: ArrayLike,
        heel_mm: float,
        held: bool = True,
        stiffness_n_mm2: float | None = None,
    ) -> "Blade":
        """The blade that passes through each rod's displacement (mm), rods in any order.

        ``stiffness_n_mm2`` is E·Iyy of the rail, None where it is not known: the curve does
        not depend on it, the forces do. Raises CannotSay where no blade can be meant: no rod,
        two rods at one place, a rod before the toe or at or beyond the heel, not a number.

        >>> blade = Blade.through([200, 2600], [104, 60], heel_mm=6858)
        >>> print(f"{blade.toe_mm:.1f} mm at the toe, {blade.at(1400):.1f} mm midway")
        107.5 mm at the toe, 82.5 mm midway
        """
        known(heel_mm, "the distance from the toe to the heel", above=True)
        if stiffness_n_mm2 is not None:
            known(stiffness_n_mm2, "the rail's lateral stiffness", above=True)
        rods = _from_the_toe(positions_mm, displacements_mm, heel_mm)
        x, y = zip(*rods, strict=True)
        return cls(x, y, heel_mm, held, stiffness_n_mm2, _spline(x, y, heel_mm, held))

    def at(self, x_mm: ArrayLike) -> Floats:
        """Displacement (mm) at x (mm); number or array in, the same shape out."""
        return _along(self._curve, on_switch(x_mm, self.heel_mm))

    @property
    def toe_mm(self) -> float:
        """Displacement at the toe (mm): the switch opening."""
        first = self.positions_mm[0]
        return self.displacements_mm[0] - float(self._curve.c[2, 0]) * first

    @cached_property
    def shear_per_stiffness(self) -> tuple[float, ...]:
        """The reaction at each rod for each N·mm² of stiffness (mm⁻²), from the toe."""
        third = 6 * self._curve.c[0]  # y''' of each piece
        return tuple(np.diff(third, prepend=0.0).tolist())

    @property
    def reactions_n(self) -> tuple[float, ...] | None:
        """The force each rod must apply (N), from the toe, positive in the opening direction.

        None where the stiffness is not known.
        """
        if self.stiffness_n_mm2 is None:
            return None
        return tuple(self.stiffness_n_mm2 * jump for jump in self.shear_per_stiffness)

    @property
    def heel_force_n(self) -> float | None:
        """The force the heel applies (N), positive in the opening direction."""
        reactions = self.reactions_n
        return None if reactions is None else -sum(reactions)

    @property
    def heel_moment_n_mm(self) -> float | None:
        """The moment E·Iyy·y'' that the heel applies (N·mm); 0 at a pivot."""
        if self.stiffness_n_mm2 is None:
            return None
        return self.stiffness_n_mm2 * float(self._curve(self.heel_mm, 2))

    def let_go(self, rod: int) -> float:
        """Where the blade would lie (mm) at rod number ``rod`` from the toe if that rod let go.

        CannotSay where it is the only rod.
        """
        x, y = list(self.positions_mm), list(self.displacements_mm)
        place = x.pop(rod)
        y.pop(rod)
        return float(Blade.through(x, y, self.heel_mm, self.held).at(place))


def influence(positions_mm: ArrayLike, heel_mm: float, held: bool, x_mm: ArrayLike) -> Floats:
    """Displacement at each x for one mm at each rod alone, the others kept at 0.

    ``positions_mm`` from the toe, n rods; x of shape (k,); the answer has shape (k, n). The
    blade is linear, so this times the displacements is the blade.
    """
    units = np.eye(np.size(positions_mm))
    return _along(_spline(positions_mm, units, heel_mm, held), on_switch(x_mm, heel_mm))


@lru_cache(maxsize=256)
def influence_at(
    positions_mm: tuple[float, ...], heel_mm: float, held: bool, x_mm: tuple[float, ...]
) -> Floats:
    """``influence``, worked out once for a geometry: the same points are asked about again."""
    return influence(positions_mm, heel_mm, held, x_mm)


@lru_cache(maxsize=256)
def own_stiffness(positions_mm: tuple[float, ...], heel_mm: float, held: bool) -> Floats:
    """Reaction at each rod (n,) for each N·mm² of stiffness (mm⁻³), for one mm at it alone."""
    curve = _spline(positions_mm, np.eye(len(positions_mm)), heel_mm, held)
    return np.diagonal(np.diff(6 * curve.c[0], prepend=0.0, axis=0))


def _from_the_toe(
    positions_mm: ArrayLike, displacements_mm: ArrayLike, heel_mm: float
) -> list[tuple[float, float]]:
    """Position and displacement of each rod, sorted and found possible."""
    x = np.atleast_1d(np.asarray(positions_mm, dtype=float)).tolist()
    y = np.atleast_1d(np.asarray(displacements_mm, dtype=float)).tolist()
    if not x:
        raise CannotSay("no stretcher is given: the switch rail is held by at least one")
    if len(x) != len(y):
        raise CannotSay(
            f"{len(x)} stretchers but {len(y)} displacements: give one for each stretcher"
        )
    for place, displacement in zip(x, y, strict=True):
        known(place, "the distance of a stretcher from the toe")
        known(displacement, f"the displacement at {place:g} mm", least=float("-inf"))
        if place > heel_mm - _LEAST_SPACING_MM:
            raise CannotSay(
                f"a stretcher at {place:g} mm is at or beyond the heel, which is {heel_mm:g} mm "
                "from the toe: measure both again"
            )
    rods = sorted(zip(x, y, strict=True))
    for (place, _), (next_place, _) in itertools.pairwise(rods):
        if next_place - place < _LEAST_SPACING_MM:
            raise CannotSay(
                f"two stretchers at the same place, {place:g} mm from the toe: measure their "
                "distances"
            )
    return rods


def _spline(x: ArrayLike, y: ArrayLike, heel_mm: float, held: bool) -> "CubicSpline":
    """No moment at the first rod; at the heel no displacement, and no slope or no moment."""
    from scipy.interpolate import CubicSpline

    y = np.asarray(y, dtype=float)
    at_heel = np.zeros_like(y[:1])
    none = np.zeros_like(y[0])
    ends = ((2, none), (1 if held else 2, none))
    return CubicSpline(np.append(x, heel_mm), np.concatenate((y, at_heel)), bc_type=ends)


def _along(curve: "CubicSpline", x: Floats) -> Floats:
    """The curve at x, carried on straight from the first rod to the toe."""
    first = curve.x[0]
    short = np.minimum(x - first, 0.0)  # negative towards the toe
    lies: Floats = curve(np.maximum(x, first)) + np.multiply.outer(short, curve.c[2, 0])
    return lies
