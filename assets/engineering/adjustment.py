"""The least turning of rods that puts a set of points right on both lies.

A rod sets the same opening on both lies: lengthened by d, it closes both by d. Which changes
meet every limit is a linear programme, since the blade is linear in what its rods do.
Lengths in mm; a change is positive where the rod is lengthened.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum, auto
from math import ceil, floor, inf

import numpy as np

from assets.engineering.switch_inputs import Rod, SwitchLimits

from .blade import influence, shear_influence
from .cannot_say import CannotSay, known
from .facts import Interval
from .nuts import Turning, flat_mm, turning
from .open_switch import Least, OpenSwitch
from .readings import ABSURD_FORCE_N
from .setting_up import setting_order
from .shape import Floats
from .words import Adjustability, Lie

MOST_SHIMS_MM = 12.0  # at both shoes together; common practice, no source
SHIM_STEP_MM = 1.0  # common practice, no source
UNFORCED_WITHIN_MM = 2.0  # a middle rod as near as this to where the blade lies is left alone
_RULE_MM = 0.1  # how finely a rod of unknown thread is set
_HOME_MM = 1.0  # how far past its closed place a blade may be reckoned to go
_RESOLUTION_MM = 0.01  # spare kept for what lies between the places that are judged
_SHORTFALL_COST = 1e4  # a mm short of a limit is worth any turning of rods
_SET_FIRST_COST = 10
_BINDS = 1e-7


@dataclass(frozen=True, slots=True)
class Move:
    """One rod to be altered."""

    order: int
    name: str
    change_mm: float  # positive: lengthen
    turning: Turning | None  # of the nut; None for a fixed rod or a thread not known
    fixed: bool = False

    @property
    def text(self) -> str:
        verb = "lengthen" if self.change_mm > 0 else "shorten"
        told = f"{verb} the {self.name} by {abs(self.change_mm):.1f} mm"
        if self.turning is not None:
            about = "" if self.turning.exact else "about "
            return f"{told}: {about}{self.turning} of the nut"
        if self.fixed:
            do = "add" if self.change_mm > 0 else "take out"
            return f"{told}: {do} {abs(self.change_mm):g} mm of shims"
        return f"{told}: its thread pitch is not known, measure the length for one turn"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one lie comes to when the moves are made, worked out through the blade again."""

    lie: Lie
    opening_mm: float
    least_fwc: Least


@dataclass(frozen=True, slots=True)
class Advice:
    """What to alter. Where ``reached`` is false the moves come as near as can be."""

    reached: bool
    moves: tuple[Move, ...]  # none: nothing to alter, or nothing that helps
    outcomes: tuple[Outcome, ...]
    binding: tuple[str, ...] = ()  # the limits that stand in the way of less, or of better
    still_forced: tuple[str, ...] = ()  # middle rods that go on bending the blade
    reason: str = ""  # why it cannot be reached

    @property
    def text(self) -> str:
        """What to alter, in words."""
        moves = "; ".join(move.text for move in self.moves)
        if not self.reached:
            nearest = [f"The nearest: {moves}."] if moves else []
            return " ".join([f"Cannot be reached: {self.reason}.", *nearest, *self.still_forced])
        told = f"{moves[:1].upper()}{moves[1:]}." if moves else "Nothing to adjust."
        return " ".join([told, *self.still_forced])


class _Kind(Enum):
    LIMIT = auto()  # of the railway
    EASE = auto()  # of the blade: let go where the limits need it
    NATURE = auto()  # never let go


@dataclass(frozen=True)
class _Needs:
    """Requirements of one kind: rows · changes <= room (mm), each with a name for people."""

    rows: Floats  # (k, rods)
    room: Floats  # (k,)
    name: Callable[[int], str]
    kind: _Kind = _Kind.LIMIT

    def met_by(self, changes: Floats) -> bool:
        return bool((self.rows @ changes <= self.room + _BINDS).all())


def advise(
    lies: Mapping[Lie, OpenSwitch],
    rods: Sequence[Rod],
    limits: SwitchLimits,
    separations_mm: Mapping[int, float],
    stiffness_n_mm2: Interval | None = None,
) -> Advice:
    """The smallest changes that bring FWC and opening within limits and ease the middle rods.

    ``lies`` holds both lies; their blades carry each of ``rods``, from the toe.
    ``separations_mm``, by order, is what each rod holds now, where known: with its range of
    length it bounds the change. Changes are whole flats where the thread is known, whole mm of
    shims for a fixed rod. With the stiffness known, no rod is asked for an absurd force.
    CannotSay where a lie or the FWC limit is missing.
    """
    if len(lies) < 2:
        raise CannotSay("readings on both lies: a stretcher sets the same opening on both")
    known(limits.fwc_least_mm, "the railway's minimum free wheel clearance")
    problem = _Problem(lies, tuple(rods), limits, separations_mm, stiffness_n_mm2)
    if problem.met_by(np.zeros(len(rods))):
        return problem.advice(np.zeros(len(rods)), reached=True)
    for unforced in (True, False):
        solved = problem.solve(unforced)
        if solved is not None:
            changes, binding = solved
            return problem.advice(changes, reached=True, binding=binding)
    changes, binding = problem.nearest()
    return problem.advice(changes, reached=False, binding=binding)


class _Problem:
    """The requirements on one set of points, and the linear programme over its rods."""

    def __init__(
        self,
        lies: Mapping[Lie, OpenSwitch],
        rods: tuple[Rod, ...],
        limits: SwitchLimits,
        separations_mm: Mapping[int, float],
        stiffness_n_mm2: Interval | None,
    ) -> None:
        self.lies, self.rods, self.limits = lies, rods, limits
        any_lie = next(iter(lies.values()))
        blade = any_lie.blade
        self.places = any_lie.places_mm
        self.steps = np.array([step_mm(rod) for rod in rods])
        self.range_of = {
            rod.order: whole_steps(bounds(rod, separations_mm.get(rod.order)), step)
            for rod, step in zip(rods, self.steps, strict=True)
        }
        # First and last rod are set first and the others follow: altered only where they must be.
        self.costs = np.array(
            [_SET_FIRST_COST if rod in (rods[0], rods[-1]) else 1 for rod in rods]
        )
        positions, heel, held = blade.positions_mm, blade.heel_mm, blade.held
        self.along = influence(positions, heel, held, self.places)
        self.at_toe = influence(positions, heel, held, 0.0)
        self.departures = self._departures()
        self.needs = [
            self._clearances(),
            *self._openings(),
            *self._unforced(),
            self._stock_rail(),
            *self._forces(stiffness_n_mm2),
        ]

    def _clearances(self) -> _Needs:
        """FWC at every place, on the lie where it is the less."""
        lies, least = list(self.lies), self.limits.fwc_least_mm
        by_lie = np.array([switch.fwc_mm for switch in self.lies.values()])
        worse = by_lie.argmin(axis=0)

        def name(i: int) -> str:
            return (
                f"free wheel clearance at {self.places[i]:.0f} mm from the toe with "
                f"{lies[worse[i]].label}, at least {least:g} mm"
            )

        return _Needs(self.along, by_lie.min(axis=0) - least, name)

    def _openings(self) -> list[_Needs]:
        least, most = self.limits.opening_min_mm, self.limits.opening_max_mm
        lies = list(self.lies)
        opening = np.array([switch.opening_mm for switch in self.lies.values()])
        rows = np.tile(self.at_toe, (len(lies), 1))
        found = []
        if least is not None:
            name = _opening_name(lies, f"at least {least:g} mm")
            found.append(_Needs(rows, opening - least, name))
        if most is not None:
            name = _opening_name(lies, f"at most {most:g} mm")
            found.append(_Needs(-rows, most - opening, name))
        return found

    def _unforced(self) -> list[_Needs]:
        """Each middle rod near where first and last leave the blade, evenly over the two lies.

        The lies' difference is play and cannot be turned away, so their mean is eased. A rod
        that cannot be altered is not eased by altering the others to suit it.
        """
        rods, rows, mean = self.departures
        free = [i for i, rod in enumerate(rods) if self.range_of[rod.order] != (0.0, 0.0)]
        if not free:
            return []
        rods, rows, mean = [rods[i] for i in free], rows[free], mean[free]

        def name(i: int) -> str:
            return f"the {rods[i].name} not forcing the switch rail"

        return [
            _Needs(rows, UNFORCED_WITHIN_MM + mean, name, _Kind.EASE),
            _Needs(-rows, UNFORCED_WITHIN_MM - mean, name, _Kind.EASE),
        ]

    def _stock_rail(self) -> _Needs:
        """No place of the blade pushed beyond its closed place, or further than it is now."""
        displaced = [switch.blade.at(self.places) for switch in self.lies.values()]
        room = np.maximum(np.min(displaced, axis=0), 0.0) + _HOME_MM

        def name(i: int) -> str:
            return (
                f"the stock rail, which the switch rail would meet {self.places[i]:.0f} mm from "
                "the toe"
            )

        return _Needs(self.along, room, name, _Kind.NATURE)

    def _forces(self, stiffness: Interval | None) -> list[_Needs]:
        """No rod asked for an absurd force, or for more than it has now; in mm at that rod."""
        if stiffness is None or stiffness.least is None:
            return []
        blade = next(iter(self.lies.values())).blade
        shear = shear_influence(blade.positions_mm, blade.heel_mm, blade.held)
        per_mm = np.abs(shear).max(axis=1)
        if not per_mm.all():
            return []  # a loose heel and one rod: no force at all
        rows = shear / per_mm[:, np.newaxis]
        displaced = [switch.blade.displacements_mm for switch in self.lies.values()]
        now = rows @ np.transpose(displaced)  # (rods, lies)
        most = np.maximum(ABSURD_FORCE_N / stiffness.least / per_mm, np.abs(now).max(axis=1))
        most += np.abs(rows) @ self.steps / 2 + 2 * _RESOLUTION_MM

        def name(i: int) -> str:
            return f"the force at the {self.rods[i].name}, at most {ABSURD_FORCE_N / 1000:g} kN"

        return [
            _Needs(-rows, most - now.max(axis=1), name, _Kind.NATURE),
            _Needs(rows, most + now.min(axis=1), name, _Kind.NATURE),
        ]

    def _departures(self) -> tuple[list[Rod], Floats, Floats]:
        """The middle rods that drive nothing; how changes lessen the departure of each from
        where first and last rod leave the blade, (k, rods); and it now, the mean of the lies.
        """
        blade = next(iter(self.lies.values())).blade
        x = np.array(blade.positions_mm)
        middle = [i for i in range(1, len(x) - 1) if not self.rods[i].driven]
        if not middle:
            return [], np.empty((0, len(x))), np.empty(0)
        two = influence(x[[0, -1]], blade.heel_mm, blade.held, x[middle])
        rows = np.eye(len(x))[middle]
        rows[:, [0, -1]] -= two
        displaced = [switch.blade.displacements_mm for switch in self.lies.values()]
        return [self.rods[i] for i in middle], rows, rows @ np.mean(displaced, axis=0)

    def met_by(self, changes: Floats) -> bool:
        return all(needs.met_by(changes) for needs in self.needs)

    def solve(self, unforced: bool) -> tuple[Floats, tuple[str, ...]] | None:
        """The least total change meeting the limits (and easing middle rods); None: there is none.

        First with enough spare that whole flats and shims still meet the limits, then, where
        the limits leave no room for that, to the tenth of a millimetre.
        """
        needs = [block for block in self.needs if unforced or block.kind is not _Kind.EASE]
        for steps in (self.steps, np.minimum(self.steps, _RULE_MM)):
            found = self._programme(needs, steps, elastic=False)
            if found is not None:
                changes, binding = found
                return np.round(changes / steps) * steps, binding
        return None

    def nearest(self) -> tuple[Floats, tuple[str, ...]]:
        """The changes that leave the least shortfall at the worst limit."""
        needs = [block for block in self.needs if block.kind is not _Kind.EASE]
        found = self._programme(needs, self.steps, elastic=True)
        assert found is not None  # altering nothing keeps all that is never let go
        changes, binding = found
        return np.round(changes / self.steps) * self.steps, binding

    def _programme(
        self, needs: Sequence[_Needs], steps: Floats, elastic: bool
    ) -> tuple[Floats, tuple[str, ...]] | None:
        """Changes and the binding requirements; variables: lengthening, shortening, shortfall."""
        from scipy.optimize import linprog

        count = len(self.rods)
        rows = np.concatenate([block.rows for block in needs])
        room = np.concatenate([block.room for block in needs])
        gives = np.concatenate([np.full(len(n.room), n.kind is _Kind.LIMIT) for n in needs])
        if not elastic:
            room = room - np.abs(rows) @ steps / 2 - _RESOLUTION_MM
        result = linprog(
            np.concatenate((self.costs, self.costs, [_SHORTFALL_COST])),
            A_ub=np.hstack((rows, -rows, -gives[:, np.newaxis].astype(float))),
            b_ub=room,
            bounds=[
                *((0, max(high, 0)) for _, high in self.range_of.values()),
                *((0, max(-low, 0)) for low, _ in self.range_of.values()),
                (0, None if elastic else 0),
            ],
            method="highs",
        )
        if not result.success:
            return None
        changes = result.x[:count] - result.x[count : 2 * count]
        binding = _binding(needs, result.ineqlin.marginals)
        return changes, (*binding, *self._ends_reached(result.upper.marginals))

    def _ends_reached(self, prices: Floats) -> list[str]:
        """The rods that cannot be altered further the way that would help."""
        count = len(self.rods)
        found = []
        for rod, longer, shorter in zip(self.rods, prices, prices[count : 2 * count], strict=False):
            way = "lengthened" if abs(longer) > _BINDS else "shortened"
            if max(abs(longer), abs(shorter)) > _BINDS:
                found.append(_end_of(rod, way))
        return found

    def advice(self, changes: Floats, reached: bool, binding: tuple[str, ...] = ()) -> Advice:
        """What these changes come to, the moves in the order in which rods are set."""
        outcomes = tuple(self._outcome(lie, changes) for lie in self.lies)
        by_rod = dict(zip(self.rods, changes.tolist(), strict=True))
        moves = tuple(
            move(rod, by_rod[rod])
            for rod in setting_order(self.rods)
            if abs(by_rod[rod]) > _RESOLUTION_MM
        )
        reason = "" if reached else _reason(outcomes, binding)
        return Advice(reached, moves, outcomes, binding, self._still_forced(changes), reason)

    def _outcome(self, lie: Lie, changes: Floats) -> Outcome:
        switch = self.lies[lie]
        blade = switch.blade.moved(np.array(switch.blade.displacements_mm) - changes)
        moved = OpenSwitch(switch.shape, blade)
        return Outcome(lie, moved.opening_mm, moved.least_fwc)

    def _still_forced(self, changes: Floats) -> tuple[str, ...]:
        rods, rows, mean = self.departures
        left = mean - rows @ changes
        return tuple(
            f"The {rod.name} holds the switch rail {abs(mm):.1f} mm "
            f"{'further open' if mm > 0 else 'less open'} than it would lie."
            for rod, mm in zip(rods, left, strict=True)
            if abs(mm) > UNFORCED_WITHIN_MM + _RESOLUTION_MM
        )


def _opening_name(lies: Sequence[Lie], limit: str) -> Callable[[int], str]:
    return lambda i: f"switch opening with {lies[i].label}, {limit}"


def _binding(needs: Sequence[_Needs], prices: Floats) -> tuple[str, ...]:
    """The names of the requirements that have a price: without them less would do."""
    names: list[str] = []
    start = 0
    for block in needs:
        priced = np.flatnonzero(np.abs(prices[start : start + len(block.room)]) > _BINDS)
        names += [block.name(int(i)) for i in priced]
        start += len(block.room)
    return tuple(dict.fromkeys(names))


def _reason(outcomes: Sequence[Outcome], binding: Sequence[str]) -> str:
    worst = min(outcomes, key=lambda outcome: outcome.least_fwc.mm)
    at_best = (
        f"free wheel clearance comes to {worst.least_fwc.mm:.2f} mm at best, at "
        f"{worst.least_fwc.at_mm:.0f} mm from the toe with {worst.lie.label} and "
        f"{worst.opening_mm:.1f} mm of opening"
    )
    return f"{at_best}; in the way: {'; '.join(binding)}" if binding else at_best


def step_mm(rod: Rod) -> float:
    """The least change (mm) that can be made to this rod: one flat, one shim, or by rule."""
    if rod.adjustability == Adjustability.FIXED:
        return SHIM_STEP_MM
    if rod.thread_pitch_mm is not None:
        return flat_mm(
            known(rod.thread_pitch_mm, f"the thread pitch of the {rod.name}", above=True)
        )
    return _RULE_MM


def bounds(rod: Rod, separation_mm: float | None) -> tuple[float, float]:
    """The least and most change (mm) that this rod can take; infinite where nothing says.

    A fixed rod gives back what shims it has and takes no more than MOST_SHIMS_MM in all. A rod
    not known to be either, or a fixed one whose shims are not known, is not altered.
    """
    if rod.adjustability == Adjustability.FIXED and rod.shims_mm is not None:
        return -rod.shims_mm, max(MOST_SHIMS_MM - rod.shims_mm, 0.0)
    if rod.adjustability != Adjustability.ADJUSTABLE:
        return 0.0, 0.0
    low = high = None
    if separation_mm is not None:
        low = None if rod.length_min_mm is None else rod.length_min_mm - separation_mm
        high = None if rod.length_max_mm is None else rod.length_max_mm - separation_mm
    return min(0.0, -inf if low is None else low), max(0.0, inf if high is None else high)


def whole_steps(ends: tuple[float, float], step: float) -> tuple[float, float]:
    """The bounds drawn in to whole steps, so that rounding never leaves them."""
    low, high = ends
    return (
        low if low == -inf else ceil(low / step - 1e-9) * step,
        high if high == inf else floor(high / step + 1e-9) * step,
    )


def move(rod: Rod, change_mm: float) -> Move:
    """How this rod is altered by so much (mm, positive: longer): by its nut or by shims."""
    fixed = rod.adjustability == Adjustability.FIXED
    turned = None
    if not fixed and rod.thread_pitch_mm is not None:
        turned = turning(change_mm, rod.thread_pitch_mm)
    return Move(rod.order, rod.name, change_mm, turned, fixed)


def _end_of(rod: Rod, way: str) -> str:
    if rod.adjustability == Adjustability.UNKNOWN:
        return f"the {rod.name}, which is not known to be adjustable"
    if rod.adjustability == Adjustability.FIXED and rod.shims_mm is None:
        return f"the {rod.name}, whose shims are not known"
    return f"the {rod.name}, which cannot be {way} any further"
