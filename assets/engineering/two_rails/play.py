"""Whether a rod has play: it should hold the same on either lie.

What the lies differ by is set against its own σ, so that healthy points show play as seldom with
rough readings as with fine ones. What readings could not have shown is said as well: joints with
slack in them lie one way on both lies wherever the rod is pulled the same way on both.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from statistics import NormalDist

import numpy as np

from assets.engineering.blade import own_stiffness
from assets.engineering.switch_inputs import Rod
from assets.engineering.words import Lie

from .certainty import GUARD
from .combining import Combined, Estimate

FALSE_ALARMS = 0.005  # of healthy sets of points, all their rods together


@dataclass(frozen=True, slots=True)
class Play:
    """One rod, read on both lies."""

    order: int
    name: str
    apart: Estimate  # what it holds with left closed, less what it holds with right closed
    shown: bool  # beyond what reading explains
    not_seen_mm: float | None  # slack up to this could be there unseen; None: of any size

    @property
    def finding(self) -> str:
        """What the disagreement means, where it is more than reading explains; else ""."""
        if not self.shown:
            return ""
        return (
            f"The {self.name} holds {abs(self.apart.mm):.1f} mm "
            f"{'more' if self.apart.mm > 0 else 'less'} with left closed than with right closed: "
            "play in its joints, a loose or cracked stretcher, or a misreading."
        )

    @property
    def unseen(self) -> str:
        """What slack these readings could not have shown, in words."""
        much = "any size" if self.not_seen_mm is None else f"less than {self.not_seen_mm:.1f} mm"
        return f"Slack of {much} at the {self.name} could not have shown in these readings."


def play(rods: Sequence[Rod], left: Combined, right: Combined) -> tuple[Play, ...]:
    """The play of each rod that was read on both lies, from the toe."""
    read = [rod for rod in rods if rod.order in left.held and rod.order in right.held]
    if not read:
        return ()
    beyond = NormalDist().inv_cdf(1 - FALSE_ALARMS / (2 * len(read)))
    forcing = [_forcing(one) for one in (left, right)]
    found = []
    for rod in read:
        one, other = left.held[rod.order], right.held[rod.order]
        apart = Estimate(one.mm - other.mm, hypot(one.sigma_mm, other.sigma_mm))
        surely = (beyond + GUARD) * apart.sigma_mm
        found.append(
            Play(
                rod.order,
                rod.name,
                apart,
                abs(apart.mm) > beyond * apart.sigma_mm,
                surely if _most_shown(rod, *forcing) >= surely else None,
            )
        )
    return tuple(found)


def _forcing(found: Combined) -> Mapping[float, float]:
    """How far each rod holds the open rail from where it would lie if let go, by place (mm)."""
    blade = found.switch.blade
    if len(blade.positions_mm) < 2:
        return {}
    stiff = own_stiffness(blade.positions_mm, blade.heel_mm, blade.held)
    forcing = np.array(blade.shear_per_stiffness) / stiff
    return dict(zip(blade.positions_mm, forcing.tolist(), strict=True))


def _most_shown(rod: Rod, left: Mapping[float, float], right: Mapping[float, float]) -> float:
    """The most of a slack (mm) that the lies can differ by at this rod.

    A drive pulls it one way and pushes it the other; any other rod is only as far to and fro as it
    forces the rail, and not at all where it is pulled the same way on both lies.
    """
    if rod.driven:
        return float("inf")
    one, other = left.get(rod.x_mm, 0.0), right.get(rod.x_mm, 0.0)
    return abs(one) + abs(other) if one * other < 0 else 0.0


def both_lies(held: Mapping[Lie, Estimate]) -> Estimate:
    """What a rod holds from all lies on which it was read, each counted by its σ."""
    weights = [one.sigma_mm**-2 for one in held.values()]
    mean = sum(w * one.mm for w, one in zip(weights, held.values(), strict=True)) / sum(weights)
    return Estimate(mean, sum(weights) ** -0.5)
