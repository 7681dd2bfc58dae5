"""Which rods to turn: what must be done, and apart from it what may be.

*Must* answers a limit that is broken or too close to call, and aims at that limit and two σ more.
*May* lets a rod that forces the open rail ease it, and brings nothing nearer to its limit than
that. Both hold on both lies, for rigid and soft goosenecks, with and without studs that nobody has
looked for; both were solved in full. Lengths in mm, forces in N.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from assets.engineering.adjustment import (
    Move,
    bounds,
    end_of,
    move,
    step_mm,
    whole_steps,
)
from assets.engineering.assumed import NOTHING_CONFIRMED, Assumed
from assets.engineering.blade import influence
from assets.engineering.cannot_say import known
from assets.engineering.open_switch import Least
from assets.engineering.setting_up import setting_order
from assets.engineering.shape import Floats
from assets.engineering.switch_inputs import SwitchFacts, SwitchLimits
from assets.engineering.words import Lie

from .cases import Cases, Outcome
from .certainty import GUARD
from .programme import Bounds, Ease, Programme, Turned, wanted_displacements

SPARE_SIGMAS = 2.0  # what advice aims at beyond a limit
_EASE_COST = 3.0  # a mm of forcing is worth so many of turning, not more
_BETWEEN_MM = 0.01  # what clearance may lose between the places that are judged
_TURNED_MM = 0.01


@dataclass(frozen=True, slots=True)
class Limits:
    """The railway's limits, that of the rods among them; None: none set."""

    switch: SwitchLimits
    rod_force_most_n: float | None = None
    assumed: Assumed = NOTHING_CONFIRMED

    @classmethod
    def of(cls, points: SwitchFacts) -> "Limits":
        assumed = points.assumed
        return cls(points.limits, assumed.rod_force_n, assumed)


class Range(NamedTuple):
    """The least and the most of a figure over all that is not known."""

    least: float  # in the unit of what it is a range of
    most: float  # in the unit of what it is a range of


@dataclass(frozen=True)
class End:
    """What one lie comes to, over all that is not known of studs and goosenecks."""

    lie: Lie
    least_fwc: Least  # in the worst case
    least_fwc_mm: Range
    opening_mm: Range
    closed_most_mm: float  # of the closed rail off its home over the planing
    force_most_n: float | None  # in any rod; None: the stiffness of the rail is not known


@dataclass(frozen=True)
class Turns:
    """Rods to turn, in the order in which they are set, and what that comes to."""

    moves: tuple[Move, ...]
    ends: tuple[End, ...]
    reached: bool = True
    reason: str = ""  # why it cannot be reached
    by_halves: bool = False  # the closed rail touches elsewhere on the way

    @property
    def text(self) -> str:
        told = "; ".join(one.text for one in self.moves)
        told = f"{told[:1].upper()}{told[1:]}." if told else "Nothing to adjust."
        if not self.reached:
            nearest = f" The nearest: {told}" if self.moves else ""
            return f"Cannot be reached: {self.reason}.{nearest}"
        if self.by_halves:
            told += " Turn half, measure, then turn the rest."
        return told


@dataclass(frozen=True)
class Advice:
    """What must be turned, what may be, or what to measure again before anything is."""

    must: Turns | None = None  # None: nothing must be
    may: Turns | None = None  # None: not asked for, or nothing forces the rail
    measure_again: tuple[str, ...] = ()

    @property
    def turns(self) -> Turns | None:
        """What is told to be turned, if anything is."""
        return self.must or self.may

    @property
    def text(self) -> str:
        """What to do, in words."""
        if self.measure_again:
            return " ".join(self.measure_again)
        if self.must is not None:
            return self.must.text
        if self.may is not None:
            return f"Nothing needs adjusting. To ease the switch rail: {self.may.text}"
        return "Nothing to adjust."


def advise(
    cases: Cases,
    limits: Limits,
    separations_mm: Mapping[int, float],
    doubts: Sequence[str] = (),
    ask_may: bool = False,
) -> Advice:
    """What to turn. ``separations_mm``, by order, is what each rod holds now, where known.

    ``doubts`` are the sentences that say why the readings are in doubt: with any of them there is
    no advice but to measure again. CannotSay where the clearance limit is not set.
    """
    known(limits.switch.fwc_least_mm, "the railway's minimum free wheel clearance")
    if doubts:
        return Advice(measure_again=tuple(doubts))
    if _must_turn(cases, limits):
        return Advice(must=_must(cases, limits, separations_mm))
    return Advice(may=_may(cases, limits, separations_mm) if ask_may else None)


def _must_turn(cases: Cases, limits: Limits) -> bool:
    """Whether a limit is broken or too close to call on either lie, as read."""
    guarded = _open_bounds(cases, limits, GUARD)
    toe = cases.fwc_read_mm[:, 0]
    return bool(
        (cases.fwc_read_mm < guarded[0]).any()
        or (toe < guarded[1]).any()
        or (toe > guarded[2]).any()
    )


def _must(cases: Cases, limits: Limits, separations_mm: Mapping[int, float]) -> Turns:
    programme = _programme(cases, limits, separations_mm)
    aimed = programme.bounds
    rooms = cases.fwc_read_mm - aimed.fwc_least_mm
    toe = cases.fwc_read_mm[:, 0]
    altered = wanted_displacements(
        cases.along,
        rooms.min(axis=0),
        float((aimed.opening_least_mm - toe).max()),
        float((aimed.opening_most_mm - toe).min()),
    )
    if altered is None:
        nearest = programme.search(np.zeros(len(cases.rods)), spare=False)
        return _turns(
            cases,
            limits,
            programme.whole(nearest),
            "no setting of the stretchers gives both "
            "free wheel clearance and switch opening with enough to spare",
        )
    found = programme.whole(programme.search(_start(cases, altered)))
    if found.short_mm:
        again = programme.whole(programme.search(found.changes_mm, spare=False))
        found = min(found, again, key=lambda one: one.short_mm)
    return _turns(cases, limits, found)


def _may(cases: Cases, limits: Limits, separations_mm: Mapping[int, float]) -> Turns | None:
    ease = _ease(cases, limits.assumed.unforced_within_mm)
    if ease is None:
        return None
    programme = _programme(cases, limits, separations_mm, ease)
    start = programme.at(np.zeros(len(cases.rods)))
    found = programme.whole(programme.search(start.changes_mm))
    if found.short_mm or found.merit(spare=False) >= start.merit(spare=False):
        return None
    return _turns(cases, limits, found)


def _programme(
    cases: Cases,
    limits: Limits,
    separations_mm: Mapping[int, float],
    ease: Ease | None = None,
) -> Programme:
    steps = np.array([step_mm(rod) for rod in cases.rods])
    shims = limits.assumed.shim_most_mm
    ends = [
        whole_steps(bounds(rod, separations_mm.get(rod.order), shims), step)
        for rod, step in zip(cases.rods, steps, strict=True)
    ]
    low, high = np.array(ends, dtype=float).T
    aimed = _bounds(cases, limits)
    return Programme(cases, aimed, np.minimum(low, 0.0), np.maximum(high, 0.0), steps, ease=ease)


def _open_bounds(cases: Cases, limits: Limits, sigmas: float) -> tuple[Floats, Floats, Floats]:
    """The least clearance, least and most opening on each lie, drawn in by so many σ."""
    switch = limits.switch
    reads = list(cases.lies.values())
    least = known(switch.fwc_least_mm, "the railway's minimum free wheel clearance")
    toe = sigmas * np.array([read.opening_sigma_mm for read in reads])
    low = -np.inf if switch.opening_min_mm is None else switch.opening_min_mm
    high = np.inf if switch.opening_max_mm is None else switch.opening_max_mm
    return least + sigmas * np.array([read.sigma_mm for read in reads]), low + toe, high - toe


def _bounds(cases: Cases, limits: Limits) -> Bounds:
    """The limits with what advice aims at beyond them. What is beyond a limit of the closed rail
    or of a rod already must not get worse."""
    least, low, high = _open_bounds(cases, limits, SPARE_SIGMAS)
    most = limits.switch.residual_most_mm
    residual = np.inf if most is None else most
    force = np.inf if limits.rod_force_most_n is None else limits.rod_force_most_n
    forces = np.abs([one.forces_n for one in cases.now])
    return Bounds(
        least + _BETWEEN_MM,
        low,
        high,
        np.maximum(residual, np.array([one.closed_mm for one in cases.now])),
        np.where(np.isnan(forces), np.inf, np.maximum(force, forces)),
    )


def _start(cases: Cases, altered: Floats) -> Floats:
    """The turns that alter the open rail so, the mean over the lies and all ways it may be."""
    changes = []
    for lie, lying in cases.as_read:
        read = cases.lies[lie]
        wanted = lying.rails.read_as(read.displaced_mm + altered, read.homes_mm)
        changes.append(lying.lengths_mm - wanted.lengths_mm)
    return np.asarray(np.mean(changes, axis=0))


def _ease(cases: Cases, within_mm: float) -> Ease | None:
    """Each middle rod that drives nothing, brought to where first and last leave the rail; one as
    near as ``within_mm`` is left alone."""
    rails = cases.ways[0]
    middle = [at for at in range(1, len(cases.rods) - 1) if not cases.rods[at].driven]
    if not middle:
        return None
    x = rails.rods_mm
    rows = np.eye(len(x))[middle]
    rows[:, [0, -1]] -= influence(x[[0, -1]], rails.heel_mm, rails.held, x[middle])
    # The first lie stands for both: what the lies differ by cannot be turned away.
    displaced = [read.displaced_mm for read in cases.lies.values()]
    half = rows @ (displaced[0] - np.mean(displaced, axis=0))
    ease = Ease(rows, half, within_mm, _EASE_COST)
    return ease if ease.beyond_mm(displaced[0]) else None


def _turns(cases: Cases, limits: Limits, found: Turned, impossible: str = "") -> Turns:
    by_rod = dict(zip(cases.rods, found.changes_mm.tolist(), strict=True))
    moves = tuple(
        move(rod, by_rod[rod]) for rod in setting_order(cases.rods) if abs(by_rod[rod]) > _TURNED_MM
    )
    ends = tuple(_end(cases, lie, found.outcomes) for lie in cases.lies)
    reached = not impossible and not found.short_mm
    reason = "" if reached else impossible or _in_the_way(found, limits)
    return Turns(moves, ends, reached, reason, bool(moves) and _contact_changes(cases, found))


def _in_the_way(found: Turned, limits: Limits) -> str:
    name, at = found.missed
    figure = {
        "fwc": "free wheel clearance",
        "opening": "the switch opening",
        "closed": "the residual opening over the planing",
        "force": "the force in a stretcher",
    }[name]
    limit = f" of {limits.assumed.told('rod_force_n')}" if name == "force" else ""
    told = (
        f"{figure} with {found.outcomes[at].lie.label} would not be within its limit{limit} with "
        "enough to spare"
    )
    ends = [
        end_of(rod, "lengthened" if change >= most - step / 2 and most else "shortened")
        for rod, change, least, most, step in zip(
            found.programme.cases.rods,
            found.changes_mm,
            found.programme.least_mm,
            found.programme.most_mm,
            found.programme.steps_mm,
            strict=True,
        )
        if change >= most - step / 2 or change <= least + step / 2
    ]
    return "; ".join([told, *([f"in the way: {', '.join(ends)}"] if ends else [])])


def _end(cases: Cases, lie: Lie, outcomes: Sequence[Outcome]) -> End:
    here = [one for one in outcomes if one.lie == lie]
    least = [cases.open_switch(one).least_fwc for one in here]
    worst = min(least, key=lambda one: one.mm)
    openings = [one.opening_mm for one in here]
    force = float(max(np.abs(one.forces_n).max() for one in here))
    return End(
        lie,
        worst,
        Range(worst.mm, max(one.mm for one in least)),
        Range(min(openings), max(openings)),
        float(max(one.closed_mm.max() for one in here)),
        None if np.isnan(force) else force,
    )


def _contact_changes(cases: Cases, found: Turned) -> bool:
    """Whether the closed rail comes to touch, or to be clear, anywhere between."""
    return any(
        before.lying.touching_mm != after.lying.touching_mm
        for before, after in zip(cases.now, found.outcomes, strict=True)
    )
