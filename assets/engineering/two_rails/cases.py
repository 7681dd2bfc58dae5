"""What a turn of the rods comes to, on both lies, whatever is not known of studs and goosenecks.

A gooseneck is there to give, by how much is seldom known, and so are studs behind the planing: each
unknown is solved both ways. Lengths in mm, forces in N; a change is positive where a rod is
lengthened, which closes the switch.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from assets.engineering.blade import Blade, influence_at
from assets.engineering.cannot_say import CannotSay, known
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import Floats, Shape, gap_behind
from assets.engineering.switch_inputs import Rod
from assets.engineering.words import Lie

from .lying import Lying, TwoRails, every_stud

_PLACES = 40  # at which clearance is judged, besides rods and the end of the planing
_PLANING_PLACES = 10


@dataclass(frozen=True)
class Read:
    """One lie as it was read."""

    displaced_mm: Floats  # (n,) the open rail at each rod
    sigma_mm: Floats  # (k,) of clearance at each place of the cases
    opening_sigma_mm: float = 0.0
    homes_mm: Floats | float = 0.0  # the closed rail at each place where it is held


def geometries(
    shape: Shape,
    held: bool,
    rods: Sequence[Rod],
    homes_mm: Sequence[float],
    studs_mm: Sequence[float] | None,
    goosenecks: Collection[int],
    stiffness_n_mm2: float | None,
    soft_n_mm: float,
) -> tuple[TwoRails, ...]:
    """The two rails in each way that they may be: the first has rigid rods and no more studs than
    are known. ``studs_mm`` None: not known. ``goosenecks`` by order of the rod.

    CannotSay where a rod may give and the stiffness of the rail (E·Iyy) is not known.
    """
    places = [rod.x_mm for rod in rods]
    ways = ((), every_stud(shape)) if studs_mm is None else (tuple(studs_mm),)
    give = [rod.order in goosenecks for rod in rods]
    softness = [np.zeros(len(rods))]
    if any(give):
        if stiffness_n_mm2 is None:
            raise CannotSay(
                "the lateral stiffness of the rail is not known, so nobody can say what a "
                "gooseneck gives: check which rail section it is"
            )
        least = known(soft_n_mm, "the least stiffness of a gooseneck", above=True)
        softness.append(np.where(give, stiffness_n_mm2 / least, 0.0))
    return tuple(
        TwoRails.of(shape, held, places, homes_mm, studs, soft)
        for soft in softness
        for studs in ways
    )


@dataclass(frozen=True)
class Outcome:
    """One lie in one of the ways it may be, after a change."""

    lie: Lie
    lying: Lying
    fwc_mm: Floats  # (k,) at the places of the cases
    opening_mm: float
    closed_mm: Floats  # (p,) the closed rail off its home over the planing
    forces_n: Floats  # (n,) in the rods; nan where the rail's stiffness is not known


@dataclass(frozen=True)
class Changes:
    """What a mm more in each rod (n,) does to the figures of an outcome."""

    open_mm: Floats  # (n, n) the open rail at the rods
    fwc_mm: Floats  # (k, n)
    opening_mm: Floats  # (n,)
    closed_mm: Floats  # (p, n)
    forces_n: Floats  # (n, n)


@dataclass(frozen=True)
class Cases:
    """One set of points, read on both lies, in every way that it may be."""

    shape: Shape
    rods: tuple[Rod, ...]
    ways: tuple[TwoRails, ...]
    lies: Mapping[Lie, Read]
    stiffness_n_mm2: float | None = None

    @cached_property
    def places_mm(self) -> Floats:
        return judged_places(self.shape, self.rods)

    @cached_property
    def planing_mm(self) -> Floats:
        end = self.shape.where(self.shape.head_mm)
        return np.linspace(0.0, self.shape.heel_mm if end is None else end, _PLANING_PLACES)

    @cached_property
    def along(self) -> Floats:
        """Displacement at each place (k, n) for a mm at each rod."""
        rails = self.ways[0]
        rods, places = tuple(rails.rods_mm.tolist()), tuple(self.places_mm.tolist())
        return influence_at(rods, rails.heel_mm, rails.held, places)

    @cached_property
    def gaps_mm(self) -> Floats:
        return gap_behind(self.shape, self.places_mm)

    @cached_property
    def _over_planing(self) -> tuple[Floats, ...]:
        """How the closed rail moves over the planing, in each way."""
        return tuple(rails.closed_moves(self.planing_mm) for rails in self.ways)

    @cached_property
    def fwc_read_mm(self) -> Floats:
        """Clearance on each lie as it was read (lies, k): the same in every way."""
        displaced = np.array([read.displaced_mm for read in self.lies.values()])
        return np.asarray(self.gaps_mm + displaced @ self.along.T)

    @cached_property
    def as_read(self) -> tuple[tuple[Lie, Lying], ...]:
        """Each lie in each way, with the lengths that its readings ask of the rods."""
        return tuple(
            (lie, rails.read_as(read.displaced_mm, read.homes_mm))
            for rails in self.ways
            for lie, read in self.lies.items()
        )

    @cached_property
    def now(self) -> tuple[Outcome, ...]:
        return tuple(self._outcome(lie, lying) for lie, lying in self.as_read)

    def after(self, changes_mm: Floats) -> tuple[Outcome, ...]:
        """Every outcome of lengthening the rods by so much (n,)."""
        return tuple(
            self._outcome(
                lie,
                lying.rails.set_to(lying.lengths_mm - changes_mm, self.lies[lie].homes_mm),
            )
            for lie, lying in self.as_read
        )

    def open_switch(self, outcome: Outcome) -> OpenSwitch:
        """The open switch of an outcome, for what is wanted between the places."""
        rails = outcome.lying.rails
        blade = Blade.through(rails.rods_mm, outcome.lying.open_mm, rails.heel_mm, rails.held)
        return OpenSwitch(self.shape, blade)

    def changes(self, outcome: Outcome) -> Changes:
        """What a mm more in each rod does, as long as the contacts stay the same."""
        effects = outcome.lying.effect_of_lengths(self._closed(outcome.lying))
        fwc = -self.along @ effects.open_mm
        stiffness = self.stiffness_n_mm2 or np.nan
        return Changes(
            -effects.open_mm,
            fwc,
            fwc[0],
            -effects.closed_mm,
            -effects.rod_forces_per_stiffness * stiffness,
        )

    def _closed(self, lying: Lying) -> Floats:
        at = next(at for at, rails in enumerate(self.ways) if rails is lying.rails)
        return self._over_planing[at]

    def _outcome(self, lie: Lie, lying: Lying) -> Outcome:
        fwc = self.gaps_mm + self.along @ lying.open_mm
        return Outcome(
            lie,
            lying,
            fwc,
            float(fwc[0]),
            lying.closed_by(self._closed(lying)),
            lying.rod_forces_per_stiffness * (self.stiffness_n_mm2 or np.nan),
        )


def judged_places(shape: Shape, rods: Sequence[Rod]) -> Floats:
    """Where clearance is judged: the toe first, even places, rods, the end of the planing."""
    end = shape.where(shape.head_mm)
    even = np.linspace(0.0, shape.heel_mm, _PLACES + 1)[:-1]
    return np.unique([*even, *(rod.x_mm for rod in rods), *([] if end is None else [end])])
