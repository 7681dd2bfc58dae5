"""From readings on one lie to the blade that they describe, and whether they can be true.

Lengths in mm, forces in N.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from assets.engineering.switch_inputs import LieReadings, Read, Rod

from .assumed import Assumed
from .blade import Blade, influence
from .cannot_say import CannotSay, known
from .facts import Interval
from .open_switch import OpenSwitch
from .shape import Floats, Shape, gap_behind
from .wheels import clearance_mm, passage_mm

_SAME_PLACE_MM = 1.0
QUANTITIES = {
    "fwc": "free wheel clearance",
    "residual": "residual opening",
    "fwp": "free wheel passage",
    "gauge": "track gauge",
    "closed_gap": "gap on the closed side",
}


@dataclass(frozen=True)
class Taken:
    """The readings of one lie by distance from the toe (mm), found possible."""

    opening_mm: float | None
    fwc: Mapping[float, float]
    residual: Mapping[float, float]
    fwp: Mapping[float, float]
    gauge: Mapping[float, float]
    gauge_recorded_mm: float | None = None
    closed_gap: Mapping[float, float] = field(default_factory=dict)  # behind the closed rail
    # σ of each reading (mm) by its quantity and place, where what it was taken with is known
    sigmas: Mapping[tuple[str, float], float] = field(default_factory=dict)

    def gauge_at(self, x_mm: float | Floats) -> Floats | None:
        """Gauge at x: between readings by the straight line, else as recorded; None: not known."""
        if not self.gauge:
            return (
                None
                if self.gauge_recorded_mm is None
                else np.full_like(x_mm, self.gauge_recorded_mm, float)
            )
        return _between(self.gauge, x_mm)

    def residual_at(self, x_mm: float | Floats) -> Floats | None:
        """Residual opening at x, between readings by the straight line; None: none was read."""
        return _between(self.residual, x_mm) if self.residual else None

    def clearances(self) -> dict[float, float]:
        """Free wheel clearance by place: as read, or worked out where the passage was read."""
        found = {}
        for x, passage in self.fwp.items():
            gauge, residual = self.gauge_at(x), self.residual_at(x)
            if gauge is not None and residual is not None:
                found[x] = known(
                    clearance_mm(float(gauge), float(residual), passage),
                    f"free wheel clearance at {x:.0f} mm, worked out from the passage,",
                )
        return found | dict(self.fwc)


def taken(readings: LieReadings, rods: Sequence[Rod], gauge_mm: float | None = None) -> Taken:
    """The readings put in their places; CannotSay names one that cannot be."""
    opening = readings.opening_mm
    if opening is not None:
        opening = known(opening, "the switch opening")
    if gauge_mm is not None:
        gauge_mm = known(gauge_mm, "the track gauge", above=True)
    placed = {
        name: _placed(getattr(readings, name), rods, words) for name, words in QUANTITIES.items()
    }
    sigmas = {
        (name, x): read.sigma_mm
        for name, reads in placed.items()
        for x, read in reads.items()
        if read.sigma_mm is not None
    }
    if readings.opening_sigma_mm is not None:
        sigmas["opening", 0.0] = readings.opening_sigma_mm
    by_name = {name: {x: read.mm for x, read in reads.items()} for name, reads in placed.items()}
    return Taken(opening, gauge_recorded_mm=gauge_mm, sigmas=sigmas, **by_name)


def rods_in_place(rods: Sequence[Rod], heel_mm: float) -> tuple[Rod, ...]:
    """The rods whose distance is known, from the toe; CannotSay where their places cannot be.

    A middle rod of unknown distance is left out; the first and the last must be known.
    """
    ordered = sorted(rods, key=lambda rod: rod.order)
    if not ordered:
        raise CannotSay("no stretcher is recorded on these points: record those that are there")
    for rod in (ordered[0], ordered[-1]):
        if rod.distance_mm is None:
            raise CannotSay(f"measure the distance of the {rod.name} from the toe")
    placed = tuple(rod for rod in ordered if rod.distance_mm is not None)
    for before, after in pairwise(placed):
        if after.x_mm - before.x_mm < _SAME_PLACE_MM:
            raise CannotSay(
                f"the {after.name} ({after.distance_mm:g} mm) is not beyond the {before.name} "
                f"({before.distance_mm:g} mm): measure both from the toe"
            )
    for rod in placed:
        if rod.x_mm > heel_mm - _SAME_PLACE_MM:
            raise CannotSay(
                f"the {rod.name} ({rod.distance_mm:g} mm) is at or beyond the heel "
                f"({heel_mm:g} mm): measure both from the toe"
            )
    return placed


@dataclass(frozen=True)
class ReadSwitch:
    """The open switch that the readings of one lie describe; its blade has every placed rod."""

    switch: OpenSwitch
    unread: tuple[Rod, ...] = ()  # middle rods, taken as holding the blade where it lies anyway


def open_switch(shape: Shape, held: bool, rods: Sequence[Rod], readings: Taken) -> ReadSwitch:
    """The open switch from FWC at the rods, or the opening at the toe for the first of them.

    ``rods`` as ``rods_in_place`` gives them. The first and the last rod must be read; a middle
    one that was not is taken as unforced, and named. CannotSay says what to measure.
    """
    clearances = readings.clearances()
    places = [rod.x_mm for rod in rods]
    read = [x for x in places if x in clearances]
    first, last = rods[0], rods[-1]
    if last.x_mm not in read and len(rods) > 1:
        raise CannotSay(f"measure free wheel clearance at the {last.name}")
    if first.x_mm not in read and readings.opening_mm is None:
        raise CannotSay(
            f"measure the switch opening at the toe, or free wheel clearance at the {first.name}"
        )
    displacements = {x: clearances[x] - float(gap_behind(shape, x)) for x in read}
    if first.x_mm not in read and readings.opening_mm is not None:
        toe = readings.opening_mm - float(gap_behind(shape, 0.0))
        displacements[first.x_mm] = _first_from_toe(
            first.x_mm, displacements, toe, shape.heel_mm, held
        )
    blade = Blade.through(list(displacements), list(displacements.values()), shape.heel_mm, held)
    unread = tuple(rod for rod in rods if rod.x_mm not in displacements)
    if unread:
        blade = Blade.through(places, blade.at(places), shape.heel_mm, held)
    return ReadSwitch(OpenSwitch(shape, blade), unread)


class Force(NamedTuple):
    """The force at one rod (N), positive opening: its bounds by those of the stiffness."""

    least: float
    most: float


def rod_forces(blade: Blade, stiffness: Interval | None) -> tuple[Force, ...] | None:
    """Force at each rod (N, positive opening), from the toe, as a range; None: not known."""
    if stiffness is None or stiffness.least is None or stiffness.most is None:
        return None
    ends = (stiffness.least, stiffness.most)
    jumps = blade.shear_per_stiffness
    return tuple(Force(*sorted(jump * end for end in ends)) for jump in jumps)


def disagreements(
    switch: OpenSwitch,
    rods: Sequence[Rod],
    readings: Taken,
    stiffness: Interval | None,
    assumed: Assumed,
) -> tuple[str, ...]:
    """One sentence for each thing in the readings that is hard to believe, with its figures."""
    within = assumed.readings_agree_mm
    return (
        *_opening(switch, readings, within),
        *_between_rods(switch, readings, within),
        *passages(readings, assumed),
        *_through_stock_rail(switch, within),
        *_absurd_force(switch.blade, rods, stiffness, assumed.absurd_force_n),
    )


def passages(readings: Taken, assumed: Assumed) -> Iterable[str]:
    """Where a passage that was read disagrees with gauge, residual opening and clearance."""
    for x, read in readings.fwp.items():
        gauge, residual, clearance = (
            readings.gauge_at(x),
            readings.residual_at(x),
            readings.fwc.get(x),
        )
        if gauge is None or residual is None or clearance is None:
            continue
        expected = passage_mm(float(gauge), float(residual), clearance)
        if abs(read - expected) > assumed.readings_agree_mm:
            yield (
                f"Free wheel passage at {x:.0f} mm from the toe was read as {read:g} mm, but "
                f"gauge {gauge:g} - residual opening {residual:g} - free wheel clearance "
                f"{clearance:g} makes {expected:g} mm: likely a misreading."
            )


def _placed(reads: Iterable[Read], rods: Sequence[Rod], quantity: str) -> dict[float, Read]:
    distances: dict[int | None, float | None] = {rod.order: rod.distance_mm for rod in rods}
    found: dict[float, Read] = {}
    for read in reads:
        x = distances.get(read.order) if read.at_mm is None else _at_rod(read.at_mm, distances)
        if x is None:
            continue  # its rod has no distance yet, which is said elsewhere
        known(x, f"the place of the {quantity}")
        if x in found:
            raise CannotSay(f"two readings of {quantity} at {x:.0f} mm: keep the correct one")
        known(read.mm, f"{quantity} at {x:.0f} mm from the toe")
        found[x] = read
    return found


def _at_rod(at_mm: float, distances: Mapping[int | None, float | None]) -> float:
    """The distance of the rod at this place, where there is one, else the place."""
    near = (x for x in distances.values() if x is not None and abs(x - at_mm) < _SAME_PLACE_MM)
    return next(near, at_mm)


def _between(readings: Mapping[float, float], x_mm: float | Floats) -> Floats:
    places = sorted(readings)
    return np.asarray(np.interp(x_mm, places, [readings[x] for x in places]))


def _first_from_toe(
    first_mm: float, others: Mapping[float, float], toe_mm: float, heel_mm: float, held: bool
) -> float:
    """Displacement at the first rod that brings the toe where it was read, others as they are."""
    places = [first_mm, *sorted(others)]
    at_toe = influence(places, heel_mm, held, 0.0)
    rest = sum(at_toe[1:] * [others[x] for x in places[1:]])
    return float((toe_mm - rest) / at_toe[0])


def _opening(switch: OpenSwitch, readings: Taken, within_mm: float) -> Iterable[str]:
    read, worked_out = readings.opening_mm, switch.opening_mm
    if read is not None and abs(read - worked_out) > within_mm:
        yield (
            f"The switch opening was read as {read:g} mm, but the clearances at the stretchers put "
            f"the toe at {worked_out:.1f} mm: one of them is likely a misreading."
        )


def _between_rods(switch: OpenSwitch, readings: Taken, within_mm: float) -> Iterable[str]:
    rods = switch.blade.positions_mm
    for x, read in readings.clearances().items():
        if x in rods or x > switch.shape.heel_mm:
            continue
        worked_out = float(switch.fwc(x))
        if abs(read - worked_out) > within_mm:
            yield (
                f"Free wheel clearance at {x:.0f} mm from the toe was read as {read:g} mm, but a "
                f"rail through the readings at the stretchers lies at {worked_out:.1f} mm: a "
                "misreading, or the rail is bent or its shape is not as recorded."
            )


def _through_stock_rail(switch: OpenSwitch, within_mm: float) -> Iterable[str]:
    displacement = switch.blade.at(switch.places_mm)
    furthest = int(np.argmin(displacement))
    if displacement[furthest] < -within_mm:
        yield (
            f"A rail through these readings would lie {-displacement[furthest]:.1f} mm beyond "
            f"its closed place at {switch.places_mm[furthest]:.0f} mm from the toe, which cannot "
            "be: likely a misreading, or the shape is not as recorded."
        )


def _absurd_force(
    blade: Blade, rods: Sequence[Rod], stiffness: Interval | None, absurd_n: float
) -> Iterable[str]:
    forces = rod_forces(blade, stiffness)
    if forces is None or len(rods) < 2:
        return
    least = [min(abs(force.least), abs(force.most)) for force in forces]
    worst = int(np.argmax(least))
    if least[worst] <= absurd_n:
        return
    here, without = blade.displacements_mm, [blade.let_go(i) for i in range(len(rods))]
    # The reading that fits least is the one whose rod, let go, gives back most of the bending.
    given_back = (np.array(here) - without) * blade.shear_per_stiffness
    odd = int(np.argmax(given_back))
    yield (
        f"The readings would need a force of at least {least[worst] / 1000:.0f} kN at the "
        f"{rods[worst].name}. The one at the {rods[odd].name} fits least: the switch rail is "
        f"{here[odd]:.1f} mm from its closed place there, and would lie at {without[odd]:.1f} mm "
        "if that stretcher let go. Likely a misreading, a loose stretcher, or a heel that is not "
        "where it is "
        "recorded."
    )
