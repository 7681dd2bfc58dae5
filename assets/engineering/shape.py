"""The shape of a closed switch rail: how far its running edge stands off the stock rail's.

All lengths in mm. x runs from the toe (0) to the heel. Every shape has

* ``offset(x_mm)``: running edge to running edge at x; numbers or arrays in, the same out;
* ``where(offset_mm)``: the x at which that offset is reached, None if the heel comes first;
* ``head_mm``: full width of the head; ``heel_mm``: toe to heel.

Curves are true circles, not parabolas: over a long switch the parabola is some tenths of a
millimetre short. A distance off the switch, or not a number, raises CannotSay.
"""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from math import atan, cos, sin, sqrt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .cannot_say import CannotSay, known
from .words import ShapeKind

if TYPE_CHECKING:
    from scipy.interpolate import PchipInterpolator

Floats = NDArray[np.float64]

FEELER_MM = 0.05  # less than this between two rails no gauge tells from nothing
_SLACK_MM = 1e-6  # rounding of distances given as fractions of the length


@dataclass(frozen=True)
class Straight:
    """A straight switch: the offset grows evenly to the heel divergence.

    ``toe_mm`` is the thickness of the toe where it is not planed to nothing.
    """

    divergence_mm: float
    head_mm: float
    heel_mm: float
    toe_mm: float = 0.0

    def __post_init__(self) -> None:
        _check_sizes(self)
        known(self.toe_mm, "the thickness of the toe")
        known(self.divergence_mm, "the heel divergence", least=self.toe_mm, above=True)

    @property
    def _rise(self) -> float:
        return (self.divergence_mm - self.toe_mm) / self.heel_mm

    def offset(self, x_mm: ArrayLike) -> Floats:
        return self.toe_mm + on_switch(x_mm, self.heel_mm) * self._rise

    def where(self, offset_mm: float) -> float | None:
        return _before_heel((offset_mm - self.toe_mm) / self._rise, self.heel_mm)


@dataclass(frozen=True)
class SemiCurved:
    """Straight at 1 in ``slope`` over the planing (measured along the rail), then a circle."""

    slope: float  # 1 in n
    planing_mm: float
    radius_mm: float
    head_mm: float
    heel_mm: float

    def __post_init__(self) -> None:
        _check_sizes(self)
        known(self.slope, "the slope of the planing (1 in n)", above=True)
        known(self.planing_mm, "the planing length", above=True)
        if self._arc.straight_mm > self.heel_mm:
            raise CannotSay(
                f"the planing ({self.planing_mm:g} mm) is longer than the switch "
                f"({self.heel_mm:g} mm): check both"
            )
        self._arc.check(self.heel_mm)

    @cached_property
    def _arc(self) -> "_StraightThenArc":
        angle = atan(1 / self.slope)
        return _StraightThenArc(sin(angle), self.planing_mm * cos(angle), self.radius_mm)

    def offset(self, x_mm: ArrayLike) -> Floats:
        return self._arc.offset(on_switch(x_mm, self.heel_mm))

    def where(self, offset_mm: float) -> float | None:
        return _before_heel(self._arc.where(offset_mm), self.heel_mm)


@dataclass(frozen=True)
class Curved:
    """A circle from the toe, tangent to the stock rail or entered at 1 in ``slope``."""

    radius_mm: float
    head_mm: float
    heel_mm: float
    slope: float | None = None  # 1 in n

    def __post_init__(self) -> None:
        _check_sizes(self)
        if self.slope is not None:
            known(self.slope, "the slope at the toe (1 in n)", above=True)
        self._arc.check(self.heel_mm)

    @cached_property
    def _arc(self) -> "_StraightThenArc":
        return _StraightThenArc(
            sin(atan(1 / self.slope)) if self.slope else 0.0, 0.0, self.radius_mm
        )

    def offset(self, x_mm: ArrayLike) -> Floats:
        return self._arc.offset(on_switch(x_mm, self.heel_mm))

    def where(self, offset_mm: float) -> float | None:
        return _before_heel(self._arc.where(offset_mm), self.heel_mm)


@dataclass(frozen=True)
class Measured:
    """A switch whose drawing is lost: offsets measured on the closed switch rail.

    Between them the offset is interpolated monotonically (PCHIP), so that no false hollow or
    hump is made up. The toe itself is on the running edge: (0, 0) is added where it was not
    measured. The last offset must be at the heel or beyond it.
    """

    distances_mm: tuple[float, ...]
    offsets_mm: tuple[float, ...]
    head_mm: float
    heel_mm: float

    def __post_init__(self) -> None:
        _check_sizes(self)
        if len(self.distances_mm) != len(self.offsets_mm) or not self.distances_mm:
            raise CannotSay("measure the offset of the closed switch rail at several distances")
        for x, c in zip(self.distances_mm, self.offsets_mm, strict=True):
            known(x, "the distance of an offset from the toe")
            known(c, f"the offset at {x:g} mm")
        points = self._points
        for (x, c), (next_x, next_c) in itertools.pairwise(points):
            if x == next_x:
                raise CannotSay(f"two offsets are given at {x:g} mm from the toe: measure again")
            if next_c < c:
                raise CannotSay(
                    f"the offset falls from {c:g} mm at {x:g} mm to {next_c:g} mm at "
                    f"{next_x:g} mm from the toe: measure both again"
                )
        if points[-1][0] < self.heel_mm - _SLACK_MM:
            raise CannotSay(
                f"the last offset is at {points[-1][0]:g} mm: measure one at the heel, "
                f"{self.heel_mm:g} mm from the toe"
            )

    @property
    def _points(self) -> list[tuple[float, float]]:
        """Distance and offset, from the toe."""
        points = sorted(zip(self.distances_mm, self.offsets_mm, strict=True))
        return points if points[0][0] == 0 else [(0.0, 0.0), *points]

    @cached_property
    def _curve(self) -> "PchipInterpolator":
        from scipy.interpolate import PchipInterpolator

        return PchipInterpolator(*zip(*self._points, strict=True))

    def offset(self, x_mm: ArrayLike) -> Floats:
        offset: Floats = self._curve(on_switch(x_mm, self.heel_mm))
        return offset

    def where(self, offset_mm: float) -> float | None:
        places = [x for x in self._curve.solve(offset_mm, extrapolate=False) if x == x]
        return _before_heel(min(places, default=None), self.heel_mm)


Shape = Straight | SemiCurved | Curved | Measured


@dataclass(frozen=True)
class _StraightThenArc:
    """A straight at a given angle to the stock rail, then a circle that turns away from it."""

    sine: float  # of the angle of the straight
    straight_mm: float  # its length along the stock rail
    radius_mm: float

    @property
    def _cosine(self) -> float:
        return sqrt(1 - self.sine**2)

    @property
    def _at_arc(self) -> float:
        return self.straight_mm * self.sine / self._cosine

    def check(self, heel_mm: float) -> None:
        radius = known(self.radius_mm, "the switch radius", above=True)
        if self.sine + (heel_mm - self.straight_mm) / radius >= 1:
            raise CannotSay(
                f"a curve of {radius:g} mm radius ends before the heel at {heel_mm:g} mm: "
                "check the radius"
            )

    def offset(self, x: Floats) -> Floats:
        """R(cos b - cos h), written as R(sin²h - sin²b)/(cos h + cos b) to keep its digits."""
        turn = np.maximum(x - self.straight_mm, 0.0) / self.radius_mm
        end_sine = self.sine + turn
        rise = turn * (end_sine + self.sine) / (np.sqrt(1 - end_sine**2) + self._cosine)
        straight = np.minimum(x, self.straight_mm) * (self.sine / self._cosine)
        return straight + self.radius_mm * rise

    def where(self, offset_mm: float) -> float | None:
        if offset_mm <= self._at_arc:
            return offset_mm * self._cosine / self.sine if offset_mm else 0.0
        end_cosine = self._cosine - (offset_mm - self._at_arc) / self.radius_mm
        if end_cosine < 0:
            return None
        return self.straight_mm + self.radius_mm * (sqrt(1 - end_cosine**2) - self.sine)


def drawn(
    kind: ShapeKind,
    head_mm: float | None,
    heel_mm: float | None,
    *,
    slope: float | None = None,
    planing_mm: float | None = None,
    radius_mm: float | None = None,
    divergence_mm: float | None = None,
    offsets: Iterable[tuple[float, float]] = (),
) -> Shape:
    """The shape that a record of a switch describes; ``offsets`` are (distance, offset) in mm.

    Raises CannotSay naming the fact that the record lacks.
    """
    head_mm = known(head_mm, "the width of the switch rail's head", above=True)
    heel_mm = known(heel_mm, "the distance from the toe to the heel", above=True)
    if kind == ShapeKind.STRAIGHT:
        return Straight(known(divergence_mm, "the heel divergence"), head_mm, heel_mm)
    if kind == ShapeKind.SEMI_CURVED:
        return SemiCurved(
            known(slope, "the slope of the planing (1 in n)"),
            known(planing_mm, "the planing length"),
            known(radius_mm, "the switch radius"),
            head_mm,
            heel_mm,
        )
    if kind == ShapeKind.CURVED:
        return Curved(known(radius_mm, "the switch radius"), head_mm, heel_mm, slope)
    table = sorted(offsets)
    if not table:
        raise CannotSay(
            "the shape of the switch is not known: find its design, or measure the offset of the "
            "closed switch rail from its stock rail at several distances from toe to heel"
        )
    return Measured(tuple(x for x, _ in table), tuple(c for _, c in table), head_mm, heel_mm)


def head_width(shape: Shape, x_mm: ArrayLike) -> Floats:
    """Width of the head at x (mm): over the planing the back lies on the stock rail."""
    return np.minimum(shape.offset(x_mm), shape.head_mm)


def gap_behind(shape: Shape, x_mm: ArrayLike) -> Floats:
    """Gap between the stock rail and the back of the *closed* switch rail at x (mm)."""
    return np.maximum(shape.offset(x_mm) - shape.head_mm, 0.0)


def expected_gap(shape: Shape, x_mm: float) -> float:
    """Gap (mm) behind the closed switch rail at one place: 0 over the planing, where it touches."""
    gap = float(gap_behind(shape, x_mm))
    return gap if gap > FEELER_MM else 0.0


def on_switch(x_mm: ArrayLike, heel_mm: float) -> Floats:
    """x as an array of numbers, all between toe and heel; else CannotSay."""
    x = np.asarray(x_mm, dtype=float)
    if x.size and not (x.min() >= -_SLACK_MM and x.max() <= heel_mm + _SLACK_MM):
        raise CannotSay(f"a distance from the toe must lie between 0 and {heel_mm:g} mm (the heel)")
    within: Floats = np.minimum(np.maximum(x, 0.0), heel_mm)
    return within


def _check_sizes(shape: Shape) -> None:
    known(shape.head_mm, "the width of the switch rail's head", above=True)
    known(shape.heel_mm, "the distance from the toe to the heel", above=True)


def _before_heel(x_mm: float | None, heel_mm: float) -> float | None:
    """The place where it is on the switch (a place at the heel may be rounded beyond it)."""
    if x_mm is None or not -_SLACK_MM <= x_mm <= heel_mm + _SLACK_MM:
        return None
    return float(min(max(x_mm, 0.0), heel_mm))
