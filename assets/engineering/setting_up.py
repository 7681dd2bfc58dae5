"""The setting-up sheet: in which order to set the rods of a set of points, and to what.

Lock stretcher, then back, then front, then those in the middle (common practice, no source).
Lengths in mm.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from assets.engineering.switch_inputs import Rod, SwitchLimits

from .blade import Blade, influence
from .cannot_say import CannotSay, known
from .open_switch import Least, OpenSwitch
from .separation import separation_mm
from .shape import Shape, gap_behind, head_width

_UNMOVED = 1e-9  # mm per mm: the back rod does nothing here


@dataclass(frozen=True, slots=True)
class Step:
    """One rod to be set."""

    number: int  # 1 is done first
    order: int
    name: str
    distance_mm: float
    opening_mm: float  # free wheel clearance to be had at the rod, on either lie
    separation_mm: float | None  # over the backs, closed side home; None: gauge not known


@dataclass(frozen=True, slots=True)
class Sheet:
    """The steps in order, and what they should give on either lie."""

    steps: tuple[Step, ...]
    opening_mm: float  # at the toe
    least_fwc: Least


def sheet(
    shape: Shape,
    held: bool,
    rods: Sequence[Rod],
    limits: SwitchLimits,
    gauge_mm: Mapping[int, float],
) -> Sheet:
    """The sheet for points whose rods (in place, from the toe) can all be set.

    The first rod gives the nominal opening at the toe. The back one is left where the blade
    lies anyway, or opened just so far that the clearance limit is met everywhere. The others
    then hold the blade where it lies, with no force. ``gauge_mm`` by order of the rod, where
    known. CannotSay where a limit is not set, or no setting of the back rod meets it.
    """
    blade = _set_blade(shape, held, rods, limits)
    switch = OpenSwitch(shape, blade)
    steps = tuple(
        _step(number, rod, switch, gauge_mm.get(rod.order))
        for number, rod in enumerate(setting_order(rods), start=1)
    )
    return Sheet(steps, switch.opening_mm, switch.least_fwc)


def setting_order(rods: Sequence[Rod]) -> list[Rod]:
    """Rods given from the toe: the first (the lock), the last (the back), then the others."""
    first, *others = rods
    return [first, *others[-1:], *others[:-1]]


def _set_blade(shape: Shape, held: bool, rods: Sequence[Rod], limits: SwitchLimits) -> Blade:
    nominal = known(limits.opening_nominal_mm, "the railway's nominal switch opening", above=True)
    least = known(limits.fwc_least_mm, "the railway's minimum free wheel clearance")
    toe = nominal - float(gap_behind(shape, 0.0))
    first = rods[0].x_mm
    alone = Blade.through(
        [first], [toe / influence([first], shape.heel_mm, held, 0.0)[0]], shape.heel_mm, held
    )
    if len(rods) == 1:
        return alone
    back = rods[-1].x_mm
    at_back = max(float(alone.at(back)), _needed_at_back(shape, alone, back, least))
    at_toe = influence([first, back], shape.heel_mm, held, 0.0)
    at_first = (toe - at_toe[1] * at_back) / at_toe[0]
    return Blade.through([first, back], [at_first, at_back], shape.heel_mm, held)


def _needed_at_back(shape: Shape, alone: Blade, back: float, least: float) -> float:
    """Displacement at the back rod that just meets ``least`` everywhere, the toe kept."""
    (first,) = alone.positions_mm
    places = OpenSwitch(shape, alone).places_mm
    effect = influence([first, back], alone.heel_mm, alone.held, np.append(0.0, places))
    at_toe, along = effect[0], effect[1:]
    per_mm = along[:, 1] - along[:, 0] * at_toe[1] / at_toe[0]
    without = gap_behind(shape, places) + along[:, 0] * alone.toe_mm / at_toe[0]
    short = least - without
    helped = per_mm > _UNMOVED
    beyond_help = ~helped & (short > 1e-6)
    if beyond_help.any():
        x = places[int(np.argmax(np.where(beyond_help, short, -np.inf)))]
        raise CannotSay(
            f"no setting of the stretchers gives {least:g} mm of free wheel clearance at {x:.0f} "
            "mm from the toe with the nominal opening: check the shape, the heel and the limits"
        )
    return float(np.max(short[helped] / per_mm[helped]))


def _step(number: int, rod: Rod, switch: OpenSwitch, gauge_mm: float | None) -> Step:
    clearance = float(switch.fwc(rod.x_mm))
    separation = None
    if gauge_mm is not None:
        head = float(head_width(switch.shape, rod.x_mm))
        separation = separation_mm(gauge_mm, head, 0.0, clearance)
    return Step(number, rod.order, rod.name, rod.x_mm, clearance, separation)
