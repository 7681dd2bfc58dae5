"""All readings of one lie together: where the open rail lies, what each rod holds, how sure.

Each reading is a sum of what is looked for - the displacement y of the open rail at the rods, the
departure u of the closed one from home, the gauge G at each place - so all are met as nearly as
their σ allows by least squares, and every figure that is a sum of the same carries its own σ.
What the readings do not determine is left out. Lengths in mm.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from assets.engineering.assumed import Assumed
from assets.engineering.blade import Blade, influence_at
from assets.engineering.cannot_say import CannotSay
from assets.engineering.open_switch import Least, OpenSwitch
from assets.engineering.readings import QUANTITIES, Taken
from assets.engineering.shape import Floats, Shape, gap_behind, head_width
from assets.engineering.switch_inputs import Rod

_DETERMINED = 1e-6  # a share of a figure that the readings leave open
_NOTHING = 1e-10
_ALIKE = 0.5  # σ: disagreements as near as this do not tell two readings apart
_FALSE_DOUBTS = 0.01  # of the sets of readings in which nothing is wrong


@dataclass(frozen=True, slots=True)
class Errors:
    """σ of one reading of each quantity (mm) where it has none of its own, and of what is assumed
    where none was taken."""

    opening_mm: float
    fwc_mm: float
    residual_mm: float
    fwp_mm: float
    gauge_mm: float
    home_mm: float  # of a closed rail at home whose residual opening is not read
    gauge_along_mm: float  # how far gauge wanders over a metre of the switch
    gauge_recorded_mm: float  # of the gauge recorded for the points

    @classmethod
    def of(cls, assumed: Assumed) -> "Errors":
        """Of readings by instruments of which nothing is recorded."""
        return cls(
            assumed.repeat_opening_mm,
            assumed.repeat_fwc_mm,
            assumed.repeat_residual_mm,
            assumed.repeat_fwp_mm,
            assumed.repeat_gauge_mm,
            assumed.home_mm,
            assumed.gauge_along_mm,
            assumed.gauge_recorded_mm,
        )


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure and its σ (mm)."""

    mm: float
    sigma_mm: float


@dataclass(frozen=True)
class Combined:
    """What the readings of one lie come to."""

    switch: OpenSwitch
    covariance: Floats  # (n, n) of displacements at the blade's rods, in the unit of them squared
    held: Mapping[int, Estimate]  # by order: what each rod holds, over the backs of both rails
    wheels: Mapping[float, Estimate]  # free wheel passage by place (mm)
    disagreement: float  # sum of squares of what is left over, each as a ratio to its σ
    spare: int  # how many readings there are more than needed
    doubted: tuple[str, ...]  # the readings that fit worst, where that is beyond chance

    def fwc_sigma(self, x_mm: ArrayLike) -> Floats:
        """σ of free wheel clearance at each x (k,)."""
        blade = self.switch.blade
        x = tuple(np.atleast_1d(x_mm).tolist())
        along = influence_at(blade.positions_mm, blade.heel_mm, blade.held, x)
        return np.asarray(np.sqrt(np.einsum("ki,ij,kj->k", along, self.covariance, along)))

    @cached_property
    def least_fwc(self) -> Least:
        return self.switch.least_fwc

    @cached_property
    def least_sigma_mm(self) -> float:
        """σ of the least clearance; its place shifts nothing, being where the curve is level."""
        return float(self.fwc_sigma(self.least_fwc.at_mm)[0])


def combined(
    shape: Shape,
    held: bool,
    rods: Sequence[Rod],
    readings: Taken,
    errors: Errors,
    homes_mm: Collection[float] = (),
) -> Combined:
    """The readings of one lie by least squares.

    ``rods`` in place, from the toe; ``homes_mm`` are the places of those at which the closed rail
    is held. A middle rod without a reading is taken as unforced. CannotSay says what to measure.
    """
    return _Sums(shape, held, rods, readings, errors, homes_mm).solved()


@dataclass(frozen=True)
class _Row:
    """One reading as a sum of the unknowns."""

    name: str  # "": assumed, not read
    parts: Floats
    mm: float
    sigma_mm: float


class _Sums:
    """The unknowns: y at the rods that were read, then u and gauge at every place."""

    def __init__(
        self,
        shape: Shape,
        held: bool,
        rods: Sequence[Rod],
        readings: Taken,
        errors: Errors,
        homes_mm: Collection[float],
    ) -> None:
        self.shape, self.held, self.rods = shape, held, rods
        self.readings, self.errors, self.homes_mm = readings, errors, homes_mm
        self.knots = self._knots()
        heel = shape.heel_mm
        read = [*readings.residual, *readings.closed_gap, *readings.fwp, *readings.gauge]
        self.places = sorted({*(rod.x_mm for rod in rods), *(x for x in read if x <= heel)})
        self.size = len(self.knots) + 2 * len(self.places)
        along = tuple(sorted({0.0, *self.places, *(x for x in readings.fwc if x <= heel)}))
        moved = influence_at(tuple(self.knots), heel, held, along)
        self._open = dict(zip(along, moved, strict=True))
        self._gaps: dict[float, float] = dict(
            zip(along, gap_behind(shape, along).tolist(), strict=True)
        )

    def _knots(self) -> list[float]:
        """The rods where the open rail was read, which is enough to say where all of it lies."""
        readings = self.readings
        places = [rod.x_mm for rod in self.rods]
        told = [x for x in places if x in readings.fwc or self._passage_tells(x)]
        first, last = self.rods[0], self.rods[-1]
        if last.x_mm not in told and len(self.rods) > 1:
            raise CannotSay(f"measure free wheel clearance at the {last.name}")
        if first.x_mm not in told:
            if readings.opening_mm is None:
                raise CannotSay(
                    "measure the switch opening at the toe, or free wheel clearance at the "
                    f"{first.name}"
                )
            told.insert(0, first.x_mm)
        return told

    def _passage_tells(self, x: float) -> bool:
        readings = self.readings
        closed = x in readings.residual or x in readings.closed_gap or x in self.homes_mm
        return x in readings.fwp and closed and readings.gauge_at(x) is not None

    def open_rail(self, x: float) -> Floats:
        """Displacement of the open rail at x as a sum of the unknowns."""
        found = np.zeros(self.size)
        found[: len(self.knots)] = self._open[x]
        return found

    def closed_rail(self, x: float) -> Floats:
        return self._one(len(self.knots) + self.places.index(x))

    def gauge(self, x: float) -> Floats:
        return self._one(len(self.knots) + len(self.places) + self.places.index(x))

    def _one(self, at: int) -> Floats:
        found = np.zeros(self.size)
        found[at] = 1.0
        return found

    def passage(self, x: float) -> Floats:
        """Free wheel passage and the gap behind the closed rail's head, together."""
        return self.gauge(x) - self.closed_rail(x) - self.open_rail(x)

    def rows(self) -> list[_Row]:
        """What each reading says of the unknowns, and what is assumed where none was taken."""
        readings, errors = self.readings, self.errors
        rows = []
        if readings.opening_mm is not None:
            opening = readings.opening_mm - self._gap(0.0)
            sigma = readings.sigmas.get(("opening", 0.0), errors.opening_mm)
            rows.append(_Row("switch opening", self.open_rail(0.0), opening, sigma))
        # By quantity: what it is a sum of, how often the gap of the shape is in it, and its σ.
        told: tuple[tuple[str, Callable[[float], Floats], int, float], ...] = (
            ("fwc", self.open_rail, 1, errors.fwc_mm),
            ("residual", self.closed_rail, 0, errors.residual_mm),
            ("closed_gap", self.closed_rail, 1, errors.residual_mm),
            ("fwp", self.passage, -1, errors.fwp_mm),
            ("gauge", self.gauge, 0, errors.gauge_mm),
        )
        for quantity, parts, gaps, usual in told:
            for x, mm in getattr(readings, quantity).items():
                if x <= self.shape.heel_mm:
                    known_mm = mm - gaps * self._gap(x) if gaps else mm
                    sigma = readings.sigmas.get((quantity, x), usual)
                    name = f"{QUANTITIES[quantity]} at {x:.0f} mm"
                    rows.append(_Row(name, parts(x), known_mm, sigma))
        return [*rows, *self._assumed()]

    def _assumed(self) -> list[_Row]:
        """Gauge that changes little from place to place, and a closed rail that is at home."""
        readings, errors = self.readings, self.errors
        rows = []
        for x, after in pairwise(self.places):
            wander = errors.gauge_along_mm * ((after - x) / 1000) ** 0.5
            rows.append(_Row("", self.gauge(after) - self.gauge(x), 0.0, wander))
        if not readings.gauge and readings.gauge_recorded_mm is not None:
            recorded = readings.gauge_recorded_mm
            gauge = self.gauge(self.places[0])
            rows.append(_Row("", gauge, recorded, errors.gauge_recorded_mm))
        for x in self.homes_mm:
            if x in self.places and x not in readings.residual and x not in readings.closed_gap:
                rows.append(_Row("", self.closed_rail(x), 0.0, errors.home_mm))
        return rows

    def _gap(self, x: float) -> float:
        return self._gaps[x]

    def solved(self) -> Combined:
        rows = self.rows()
        sigmas = np.array([row.sigma_mm for row in rows])
        system = np.array([row.parts for row in rows]) / sigmas[:, np.newaxis]
        wanted = np.array([row.mm for row in rows]) / sigmas
        left, sizes, right = np.linalg.svd(system, full_matrices=False)
        seen = sizes > _NOTHING * sizes[0]
        left, right, sizes = left[:, seen], right[seen], sizes[seen]
        answer = right.T @ (left.T @ wanted / sizes)
        spread = right.T / sizes  # covariance: spread times itself, as far as is determined

        def estimate(parts: Floats, known_mm: float) -> Estimate | None:
            if np.abs(parts - right.T @ (right @ parts)).max() > _DETERMINED:
                return None
            return Estimate(float(parts @ answer) + known_mm, float(np.linalg.norm(parts @ spread)))

        held, wheels = {}, {}
        for rod in self.rods:
            head = float(head_width(self.shape, rod.x_mm))
            over_backs = estimate(self.passage(rod.x_mm), head - self._gap(rod.x_mm))
            if over_backs is not None:
                held[rod.order] = over_backs
        for x in self.places:
            passing = estimate(self.passage(x), -self._gap(x))
            if passing is not None:
                wheels[x] = passing
        knots = len(self.knots)
        blade = Blade.through(self.knots, answer[:knots], self.shape.heel_mm, self.held)
        over = wanted - system @ answer
        return Combined(
            OpenSwitch(self.shape, blade),
            spread[:knots] @ spread[:knots].T,
            held,
            wheels,
            float(over @ over),
            len(rows) - int(seen.sum()),
            _doubted(rows, over, left),
        )


def _doubted(rows: Sequence[_Row], over: Floats, left: Floats) -> tuple[str, ...]:
    """The readings that disagree most with all the others, by the σ of each disagreement.

    Where several disagree alike, as the four at one place do, nothing says which is wrong.
    """
    free = 1 - np.einsum("ij,ij->i", left, left)  # what of each reading the others can check
    checked = free > _DETERMINED
    if not checked.any():
        return ()
    by_chance = np.where(checked, np.abs(over) / np.sqrt(np.where(checked, free, 1.0)), 0.0)
    most = float(by_chance.max())
    if most <= NormalDist().inv_cdf(1 - _FALSE_DOUBTS / (2 * int(checked.sum()))):
        return ()
    alike = np.flatnonzero(by_chance > most - _ALIKE).tolist()
    return tuple(rows[at].name for at in alike if rows[at].name)
