"""The least turning of rods for which every limit holds in every case.

Clearance is a sum of what the open rail does at the rods, but what a turn does there depends on
what the closed rail touches. So the search betters the turns by linear programmes, each within a
distance in which it was found to be true, and every answer is solved again in full before it is
given. Lengths in mm.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from assets.engineering.shape import Floats

from .cases import Cases, Outcome

MEETS_MM = 1e-6
_SHORT_COST = 1e3  # a mm short of a limit is worth any turning
_FIRST_STEP_MM = 6.0
_LAST_STEP_MM = 0.05
_ROUNDS = 10
_BETTER = 1e-3
_FAR_MM = 15.0  # what is further from its limit than this is not asked about in one step


@dataclass(frozen=True)
class Bounds:
    """What must hold; of closed rail and forces, for each outcome in the order of the cases."""

    fwc_least_mm: Floats  # (lies, k) at each place
    opening_least_mm: Floats  # (lies,)
    opening_most_mm: Floats  # (lies,)
    closed_most_mm: Floats  # (outcomes, p) of the closed rail off its home over the planing
    force_most_n: Floats  # (outcomes, n); infinite where none is asked for


@dataclass(frozen=True)
class Ease:
    """What is wanted of the open rail besides: rows · displacement at the rods within a room of
    what is aimed at, as nearly as the limits allow."""

    rows: Floats  # (e, n) a ratio
    aimed_mm: Floats  # (e,)
    room_mm: float
    cost: float  # a ratio: of what is beyond the room to turning

    def beyond_mm(self, displaced_mm: Floats) -> float:
        off = np.abs(self.rows @ displaced_mm - self.aimed_mm)
        return float(np.maximum(off - self.room_mm, 0.0).sum())


@dataclass(frozen=True)
class Programme:
    """The limits on one set of points and the turns that its rods can take."""

    cases: Cases
    bounds: Bounds
    least_mm: Floats  # (n,) the furthest each rod can be shortened, not above 0
    most_mm: Floats  # (n,) the furthest each can be lengthened
    steps_mm: Floats  # (n,) the least turn of each
    newtons_a_mm: float = 1_000.0  # of force over its limit that count as much as a mm
    ease: Ease | None = None

    def at(self, changes_mm: Floats) -> "Turned":
        return Turned(self, changes_mm, self.cases.after(changes_mm))

    def search(self, start_mm: Floats, spare: bool = True) -> "Turned":
        """The least turns near ``start_mm``; with ``spare``, such that whole flats will do.

        A step is kept only where the full solution is the better for it.
        """
        now = self.at(np.clip(start_mm, self.least_mm, self.most_mm))
        reach = _FIRST_STEP_MM
        for _ in range(_ROUNDS):
            tried = self.at(self._step(now, reach, spare))
            moved = float(np.abs(tried.changes_mm - now.changes_mm).max())
            if tried.merit(spare) < now.merit(spare) - _BETTER:
                now = tried
                reach = max(reach, 2 * moved)
            else:
                reach = min(reach, moved) / 4
            if min(moved, reach) < _LAST_STEP_MM:
                break
        return now

    def whole(self, found: "Turned") -> "Turned":
        """The nearest turns in whole flats, bettered flat by flat until the limits hold."""
        low, high = np.ceil(self.least_mm / self.steps_mm), np.floor(self.most_mm / self.steps_mm)
        flats = np.clip(np.round(found.changes_mm / self.steps_mm), low, high)
        now = self.at(flats * self.steps_mm)
        one = np.eye(len(flats))
        while now.short_mm:
            near = [np.clip(flats + more, low, high) for more in (*one, *-one)]
            best = min((self.at(turn * self.steps_mm) for turn in near), key=_shortest)
            if best.short_mm >= now.short_mm - _BETTER:
                break
            now, flats = best, np.round(best.changes_mm / self.steps_mm)
        return now

    def rooms(self, at: int, outcome: Outcome) -> list[tuple[str, Floats]]:
        """What is left to each limit (mm), with the figure it bounds (a minus: from above)."""
        lie = list(self.cases.lies).index(outcome.lie)
        bounds = self.bounds
        force = (bounds.force_most_n[at] - outcome.forces_n) / self.newtons_a_mm
        other = (bounds.force_most_n[at] + outcome.forces_n) / self.newtons_a_mm
        return [
            ("fwc", outcome.fwc_mm - bounds.fwc_least_mm[lie]),
            ("opening", np.array([outcome.opening_mm - bounds.opening_least_mm[lie]])),
            ("-opening", np.array([bounds.opening_most_mm[lie] - outcome.opening_mm])),
            ("-closed", bounds.closed_most_mm[at] - outcome.closed_mm),
            ("-force", np.where(np.isnan(force), np.inf, force)),
            ("force", np.where(np.isnan(other), np.inf, other)),
        ]

    def _step(self, now: "Turned", reach: float, spare: bool) -> Floats:
        """The best turns within ``reach`` of those now, if nothing touched otherwise."""
        from scipy.optimize import linprog

        count = len(now.changes_mm)
        rows, rooms = now.limits
        if spare:
            rooms = rooms - self.spare(rows)
        easing, aimed = now.easing
        # Variables: lengthening, shortening of each rod; short of the worst limit; beyond ease.
        none = np.zeros((len(rows), len(easing) // 2))
        wanted = np.hstack((rows, -rows, -np.ones((len(rows), 1)), none))
        eased = np.tile(-np.eye(len(easing) // 2), (2, 1))
        also = np.hstack((easing, -easing, np.zeros((len(easing), 1)), eased))
        kept = np.zeros((count, 1 + len(easing) // 2))
        inside = np.hstack((np.eye(count), -np.eye(count), kept))
        changes = now.changes_mm
        result = linprog(
            np.concatenate(
                (
                    np.ones(2 * count),
                    [_SHORT_COST],
                    np.full(len(easing) // 2, self.ease.cost if self.ease else 0.0),
                )
            ),
            A_ub=np.concatenate((wanted, also, inside, -inside)),
            b_ub=np.concatenate(
                (rooms + rows @ changes, aimed + easing @ changes, changes + reach, reach - changes)
            ),
            bounds=[
                *((0, high) for high in self.most_mm),
                *((0, -low) for low in self.least_mm),
                *((0, None) for _ in range(1 + len(easing) // 2)),
            ],
            method="highs",
        )
        if not result.success:
            return changes
        return np.asarray(result.x[:count] - result.x[count : 2 * count])

    def spare(self, rows: Floats) -> Floats:
        """What rounding to whole flats may take."""
        return np.asarray(np.abs(rows) @ self.steps_mm / 2)


@dataclass(frozen=True)
class Turned:
    """Turns, solved in every case."""

    programme: Programme
    changes_mm: Floats  # (n,) positive: lengthen
    outcomes: tuple[Outcome, ...]

    @cached_property
    def short_mm(self) -> float:
        """By how much the worst limit is missed; 0 where all hold."""
        worst = min(
            float(room.min(initial=0.0))
            for at, outcome in enumerate(self.outcomes)
            for _, room in self.programme.rooms(at, outcome)
        )
        return -worst if worst < -MEETS_MM else 0.0

    @property
    def missed(self) -> tuple[str, int]:
        """Which figure misses its limit furthest, and in which outcome."""
        rooms = [
            (float(room.min(initial=np.inf)), name.lstrip("-"), at)
            for at, outcome in enumerate(self.outcomes)
            for name, room in self.programme.rooms(at, outcome)
        ]
        _, name, at = min(rooms)
        return name, at

    @cached_property
    def limits(self) -> tuple[Floats, Floats]:
        """rows · (step of the rods) <= room, near these turns."""
        cases = self.programme.cases
        rows, rooms = [], []
        for at, outcome in enumerate(self.outcomes):
            changes = cases.changes(outcome)
            effects = {
                "fwc": changes.fwc_mm,
                "opening": changes.opening_mm[np.newaxis, :],
                "closed": changes.closed_mm,
                "force": changes.forces_n / self.programme.newtons_a_mm,
            }
            for name, room in self.programme.rooms(at, outcome):
                effect = effects[name.lstrip("-")]
                near = room < _FAR_MM
                rows.append((effect if name.startswith("-") else -effect)[near])
                rooms.append(room[near])
        return np.concatenate(rows), np.concatenate(rooms)

    @cached_property
    def easing(self) -> tuple[Floats, Floats]:
        """The same for what is wanted besides: first not above, then not below what is aimed at."""
        ease, cases = self.programme.ease, self.programme.cases
        if ease is None:
            return np.zeros((0, len(self.changes_mm))), np.zeros(0)
        lying = self.outcomes[0].lying
        effects = cases.changes(self.outcomes[0]).open_mm
        off = ease.rows @ lying.open_mm - ease.aimed_mm
        rows = ease.rows @ effects
        return np.concatenate((rows, -rows)), np.concatenate(
            (ease.room_mm - off, ease.room_mm + off)
        )

    def merit(self, spare: bool) -> float:
        """What these turns cost, with all that they leave undone."""
        short = self.short_mm
        if spare:
            rows, rooms = self.limits
            short = max(0.0, -float((rooms - self.programme.spare(rows)).min(initial=0.0)))
        turned = float(np.abs(self.changes_mm).sum())
        ease = self.programme.ease
        if ease is not None:
            lying = self.outcomes[0].lying
            turned += ease.cost * ease.beyond_mm(lying.open_mm)
        return turned + _SHORT_COST * short


def _shortest(turned: Turned) -> float:
    return turned.short_mm


def wanted_displacements(
    along: Floats, rooms: Floats, opening_least: float, opening_most: float
) -> Floats | None:
    """The least alteration of the open rail at the rods (n,) that gives it what it lacks.

    ``along`` (k, n) · alteration must be at least -``rooms`` (k,), and at the toe, its first row,
    between the other two. None: no displacement at the rods does.
    """
    from scipy.optimize import linprog

    count = along.shape[1]
    rows = np.concatenate((-along, -along[:1], along[:1]))
    room = np.concatenate((rooms, [-opening_least, opening_most]))
    finite = np.isfinite(room)
    result = linprog(
        np.ones(2 * count),
        A_ub=np.hstack((rows, -rows))[finite],
        b_ub=room[finite],
        method="highs",
    )
    if not result.success:
        return None
    return np.asarray(result.x[:count] - result.x[count:])
