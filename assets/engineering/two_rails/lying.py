"""Where both switch rails lie with the points over on one side, and what each rod carries.

x runs from the toe (0) to the heel. The open rail is displaced by y, the closed one by u from its
home, both positive away from the stock rail. Both are one beam whose free shape is the closed
shape. A rod that is set to d makes y + u = d - c r at its place, r the force in it and c its
softness; the closed rail is held at its homes and elsewhere rests against the stock rail, over
the planing, or against studs. Lengths in mm; forces for each N·mm² of the rail's stiffness.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from assets.engineering.cannot_say import CannotSay, known
from assets.engineering.shape import Floats, Shape, gap_behind, on_switch

from .contact import pushes

NEGLECTED = (
    "friction on the slide chairs, which tells where the lock alone holds the switch rail",
    "a bent switch rail",
    "the give of the stock rail",
    "stretchers that carry four rails, as in slips",
)
_PIECES = 60  # of the switch between which the closed rail may touch
_BEFORE_HOME_MM = 100.0
_CLEAR_OF_HOME_MM = 60.0
_LEAST_APART_MM = 3.0  # nearer than this, two places of contact are one
_SAME_PLACE_MM = 1.0
_WORST_CONDITION = 1e13  # beyond it no figure of the solution means anything


@dataclass(frozen=True)
class TwoRails:
    """The geometry of one set of points, solved for any setting of its rods; build with ``of``.

    The flexibilities are those of a rail held at the heel, in parts of its length; a pivoted
    heel adds one rotation a rail and asks that no moment is left there.
    """

    heel_mm: float
    held: bool
    rods_mm: Floats  # (n,) from the toe
    homes_mm: Floats  # (h,) where the closed rail is held
    contacts_mm: Floats  # (k,) where it may touch
    gaps_mm: Floats  # (k,) how far it is from what it may touch there
    softness: Floats  # (n,) of each rod, as a ratio to the length cubed

    @classmethod
    def of(
        cls,
        shape: Shape,
        held: bool,
        rods_mm: ArrayLike,
        homes_mm: ArrayLike,
        studs_mm: Sequence[float] = (),
        softness_mm3: ArrayLike = 0.0,
    ) -> "TwoRails":
        """Rods and homes from the toe; ``softness_mm3`` is E·Iyy of the rail over the rod's
        stiffness (0: rigid), one for each rod or one for all.

        CannotSay where no place is known at which the closed rail is held, where there is no
        rod, or where a place is at or beyond the heel or written twice.
        """
        heel = shape.heel_mm
        rods = _placed(rods_mm, heel, "stretcher")
        homes = _placed(homes_mm, heel, "place at which the closed switch rail is held")
        if not len(rods):
            raise CannotSay("no stretcher is given: the switch rail is held by at least one")
        if not len(homes):
            raise CannotSay(
                "where the closed switch rail is held is not known: record the lock and which "
                "stretchers are driven"
            )
        softness = np.broadcast_to(np.asarray(softness_mm3, dtype=float), rods.shape)
        for one in softness:
            known(one, "the softness of a stretcher")
        contacts, gaps = _contacts(shape, rods, homes, studs_mm)
        return cls(heel, held, rods, homes, contacts, gaps, softness / heel**3)

    def set_to(self, lengths_mm: ArrayLike, homes_mm: ArrayLike = 0.0) -> "Lying":
        """How both rails lie with the rods set to ``lengths_mm`` (n,): the opening of both
        rails together that each would make if it were rigid. ``homes_mm``: the closed rail off
        its home at each place where it is held, or one for all.
        """
        set_to = np.asarray(lengths_mm, dtype=float)
        at_home = np.broadcast_to(np.asarray(homes_mm, dtype=float), self.homes_mm.shape)
        known_side = np.concatenate((set_to, at_home, np.zeros(self._turns)))
        forces, pushed = self._solve(known_side)
        return Lying(self, set_to, forces, pushed)

    def read_as(self, displaced_mm: ArrayLike, homes_mm: ArrayLike = 0.0) -> "Lying":
        """How both rails lie where the open one was read to be displaced by so much at each rod
        (n,), with the lengths to which the rods must be set for that.

        Where the open rail lies depends neither on studs nor on how soft the rods are.
        """
        displaced = np.asarray(displaced_mm, dtype=float)
        at_home = np.broadcast_to(np.asarray(homes_mm, dtype=float), self.homes_mm.shape)
        carried = self._open_rail @ np.append(displaced, np.zeros(self._turns // 2))
        rods, turned = carried[: self._n], carried[self._n :]
        closed = self._closed_alone(rods, at_home)
        lying = Lying(self, np.zeros(self._n), *self._joined(rods, turned, *closed))
        lengths = displaced + lying.closed_by(self._closed_at_rods) + self.softness * rods
        return Lying(self, lengths, lying.forces, lying.pushed)

    @property
    def _n(self) -> int:
        return len(self.rods_mm)

    @property
    def _turns(self) -> int:
        """How many rotations at the heel are unknown."""
        return 0 if self.held else 2

    def bending(self, x_mm: ArrayLike, at_mm: Floats) -> Floats:
        """Displacement at each x (k,) for a unit force at each place (n,): shape (k, n)."""
        one = self._from_heel(x_mm)[:, np.newaxis]
        other = self._from_heel(at_mm)[np.newaxis, :]
        near, far = np.minimum(one, other), np.maximum(one, other)
        found: Floats = near**2 * (3 * far - near) / 6
        return found

    def _from_heel(self, x_mm: ArrayLike) -> Floats:
        """Distance from the heel in parts of the length; also what a turn at the heel moves."""
        return np.atleast_1d(1 - on_switch(x_mm, self.heel_mm) / self.heel_mm)

    @cached_property
    def open_moves(self) -> Floats:
        """Displacement of the open rail at the rods, as sums of the forces and turns."""
        return self.opened(self.rods_mm)

    def opened(self, x_mm: ArrayLike) -> Floats:
        """Displacement of the open rail at each x (k,), as sums of the forces and turns."""
        bent = self.bending(x_mm, self.rods_mm)
        parts = [bent, np.zeros((len(bent), len(self.homes_mm)))]
        if not self.held:
            parts += [self._from_heel(x_mm)[:, np.newaxis], np.zeros((len(bent), 1))]
        return np.hstack(parts)

    def closed_moves(self, x_mm: ArrayLike) -> Floats:
        """Displacement of the closed rail at each x (k,), as sums of forces, turns and pushes."""
        parts = [self.bending(x_mm, at) for at in (self.rods_mm, self.homes_mm)]
        if not self.held:
            arms = self._from_heel(x_mm)[:, np.newaxis]
            parts += [np.zeros_like(arms), arms]
        return np.hstack([*parts, self.bending(x_mm, self.contacts_mm)])

    @cached_property
    def _closed_at_rods(self) -> Floats:
        return self.closed_moves(self.rods_mm)

    @cached_property
    def _open_rail(self) -> Floats:
        rods = self._from_heel(self.rods_mm)
        return _inverse(_bordered(self.bending(self.rods_mm, self.rods_mm), rods, not self.held))

    @cached_property
    def _inverse(self) -> Floats:
        """Forces at rods and homes, and turns of both rails, from what is known of each."""
        rods, homes = self.rods_mm, self.homes_mm
        own = self.bending(rods, rods)
        flexible = np.block(
            [
                [2 * own + np.diag(self.softness), self.bending(rods, homes)],
                [self.bending(homes, rods), self.bending(homes, homes)],
            ]
        )
        if self.held:
            return _inverse(flexible)
        arms = np.zeros((len(flexible), 2))
        arms[: self._n] = self._from_heel(rods)[:, np.newaxis]
        arms[self._n :, 1] = self._from_heel(homes)
        return _inverse(np.block([[flexible, arms], [arms.T, np.zeros((2, 2))]]))

    @cached_property
    def _reach(self) -> Floats:
        """How each push at a contact enters what is known, and each unknown moves a contact."""
        return self.closed_moves(self.contacts_mm)[:, : len(self._inverse)]

    @cached_property
    def _between(self) -> Floats:
        return self.bending(self.contacts_mm, self.contacts_mm)

    @cached_property
    def _yielding(self) -> Floats:
        """How a push at one contact moves the rail at another, rods and homes in place."""
        return _even(self._between - self._reach @ self._inverse @ self._reach.T)

    def _solve(self, known_side: Floats) -> tuple[Floats, Floats]:
        free = self.gaps_mm + self._reach @ (self._inverse @ known_side)
        pushed = pushes(self._yielding, free)
        return self._inverse @ (known_side - self._reach.T @ pushed), pushed

    @cached_property
    def _closed_rail(self) -> tuple[Floats, Floats, Floats]:
        """Of the closed rail alone: the inverse, the reach of contacts and their yielding."""
        homes = self._from_heel(self.homes_mm)
        flexible = self.bending(self.homes_mm, self.homes_mm)
        inverse = _inverse(_bordered(flexible, homes, not self.held))
        reach = self.bending(self.contacts_mm, self.homes_mm)
        if not self.held:
            reach = np.hstack((reach, self._from_heel(self.contacts_mm)[:, np.newaxis]))
        return inverse, reach, _even(self._between - reach @ inverse @ reach.T)

    @cached_property
    def _pulls(self) -> tuple[Floats, Floats]:
        """How far the force of each rod moves the closed rail at homes and at contacts."""
        rods = self.rods_mm
        return self.bending(self.homes_mm, rods), self.bending(self.contacts_mm, rods)

    def _closed_alone(self, rods: Floats, at_home: Floats) -> tuple[Floats, Floats]:
        """Forces at homes (and its turn) and pushes, where the rods pull with these forces."""
        inverse, reach, yielding = self._closed_rail
        to_homes, to_contacts = self._pulls
        known_side = at_home - to_homes @ rods
        if not self.held:
            known_side = np.append(known_side, -self._from_heel(self.rods_mm) @ rods)
        pulled = to_contacts @ rods
        pushed = pushes(yielding, self.gaps_mm + pulled + reach @ (inverse @ known_side))
        return inverse @ (known_side - reach.T @ pushed), pushed

    def _joined(
        self, rods: Floats, turned: Floats, closed: Floats, pushed: Floats
    ) -> tuple[Floats, Floats]:
        """Forces in the order of the two rails solved together."""
        homes = len(self.homes_mm)
        return np.concatenate((rods, closed[:homes], turned, closed[homes:])), pushed


@dataclass(frozen=True)
class Lying:
    """Both rails as they lie with one side closed."""

    rails: TwoRails
    lengths_mm: Floats  # (n,) to which the rods are set
    forces: Floats  # at rods, at homes (a ratio to stiffness); at pivoted heels, both turns
    pushed: Floats  # (k,) at each contact, the same ratio

    @property
    def rod_forces_per_stiffness(self) -> Floats:
        """Force in each rod (mm⁻²) for each N·mm², positive where it opens the open rail."""
        return self.forces[: len(self.rails.rods_mm)] / self.rails.heel_mm**3

    @property
    def touching_mm(self) -> tuple[float, ...]:
        """Where the closed rail touches, from the toe."""
        return tuple(self.rails.contacts_mm[self.pushed > 0].tolist())

    @cached_property
    def open_mm(self) -> Floats:
        """Displacement of the open rail (mm) at each rod (n,)."""
        return self.rails.open_moves @ self.forces

    def open_at(self, x_mm: ArrayLike) -> Floats:
        """Displacement of the open rail (mm) at each x (k,)."""
        return self.rails.opened(x_mm) @ self.forces

    def closed_at(self, x_mm: ArrayLike) -> Floats:
        """Displacement of the closed rail from its home (mm) at each x (k,)."""
        return self.closed_by(self.rails.closed_moves(x_mm))

    def closed_by(self, moves: Floats) -> Floats:
        """The same at the places for which ``closed_moves`` of the rails gave ``moves``."""
        return np.asarray(moves @ np.concatenate((self.forces, self.pushed)))

    def effect_of_lengths(self, closed: Floats) -> "Effects":
        """What a mm more in each rod's length alone does, as long as the contacts are these;
        ``closed`` as ``closed_moves`` of the rails gives it for the places asked for."""
        rails = self.rails
        touching = self.pushed > 0
        known_side = np.eye(len(self.forces))[:, : len(rails.rods_mm)]
        free = rails._reach[touching] @ (rails._inverse @ known_side)
        more = np.zeros((len(self.pushed), len(rails.rods_mm)))
        if touching.any():
            more[touching] = np.linalg.solve(rails._yielding[np.ix_(touching, touching)], -free)
        forces = rails._inverse @ (known_side - rails._reach.T @ more)
        return Effects(
            rails.open_moves @ forces,
            closed @ np.concatenate((forces, more)),
            forces[: len(rails.rods_mm)] / rails.heel_mm**3,
        )


@dataclass(frozen=True)
class Effects:
    """For a mm more in each rod's length (n,), the others kept."""

    open_mm: Floats  # (n, n) displacement of the open rail at each rod
    closed_mm: Floats  # (k, n) displacement of the closed rail at the places asked for
    rod_forces_per_stiffness: Floats  # (n, n) the same ratio as of the rails as they lie


def every_stud(shape: Shape) -> tuple[float, ...]:
    """Studs wherever there can be any: the other end of what is not known about them."""
    end = _planing_end(shape)
    return tuple(x for x in _even_places(shape) if end is not None and x > end)


def _even_places(shape: Shape) -> list[float]:
    return [shape.heel_mm * piece / _PIECES for piece in range(_PIECES)]


def _planing_end(shape: Shape) -> float | None:
    return shape.where(shape.head_mm)


def _contacts(
    shape: Shape, rods: Floats, homes: Floats, studs_mm: Sequence[float]
) -> tuple[Floats, Floats]:
    """Places where the closed rail may touch, and the gap it has there at home."""
    end = _planing_end(shape)
    special = [*studs_mm, *rods.tolist(), *(homes - _BEFORE_HOME_MM).tolist()]
    special += [] if end is None else [end]
    # A stud or a rod before its even neighbour, where the two are too near to tell apart.
    asked = np.array([*special, *_even_places(shape)])
    asked = asked[(asked >= 0) & (asked <= shape.heel_mm - _LEAST_APART_MM)]
    free = np.abs(asked[:, np.newaxis] - homes).min(axis=1) >= _CLEAR_OF_HOME_MM
    asked = asked[free]
    near = np.abs(asked[:, np.newaxis] - asked) < _LEAST_APART_MM
    contacts = np.sort(asked[~np.tril(near, -1).any(axis=1)])
    gaps = gap_behind(shape, contacts) if len(contacts) else np.zeros(0)
    for stud in studs_mm:
        gaps = np.where(np.abs(contacts - stud) < _LEAST_APART_MM, 0.0, gaps)
    return contacts, gaps


def _placed(places_mm: ArrayLike, heel_mm: float, what: str) -> Floats:
    places = np.atleast_1d(np.asarray(places_mm, dtype=float))
    for x in places:
        known(x, f"the distance of a {what} from the toe")
        if x > heel_mm - _SAME_PLACE_MM:
            raise CannotSay(
                f"a {what} at {x:g} mm is at or beyond the heel, which is {heel_mm:g} mm from "
                "the toe: measure both again"
            )
    if len(places) > 1 and np.diff(places).min() < _SAME_PLACE_MM:
        raise CannotSay(f"each {what} must be beyond the one before it: measure their distances")
    return places


def _bordered(flexible: Floats, arms: Floats, pivoted: bool) -> Floats:
    """The flexibility with the turn at a pivoted heel and the moment that it cannot bear."""
    if not pivoted:
        return flexible
    return np.block([[flexible, arms[:, np.newaxis]], [arms[np.newaxis, :], np.zeros((1, 1))]])


def _inverse(matrix: Floats) -> Floats:
    """The inverse, worked out with all diagonals alike: a rod near the heel hardly bends."""
    diagonal = np.diagonal(matrix)
    scale = 1 / np.sqrt(np.where(diagonal > 0, diagonal, 1.0))
    even = matrix * np.outer(scale, scale)
    try:
        inverse = np.linalg.inv(even)
    except np.linalg.LinAlgError:
        inverse = np.full_like(even, np.inf)
    if not np.linalg.norm(even, 1) * np.linalg.norm(inverse, 1) < _WORST_CONDITION:
        raise CannotSay("the stretchers do not hold the switch rail: measure their distances")
    return np.asarray(inverse * np.outer(scale, scale))


def _even(matrix: Floats) -> Floats:
    """The matrix as symmetric as it is."""
    return (matrix + matrix.T) / 2
