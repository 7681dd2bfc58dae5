"""What each rod holds from visit to visit, and a step in it without work to explain it.

Visits are cut where work was recorded. In each piece every place between two visits is tried: what
was held before against what was held after, by the σ of both. Lengths in mm.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import accumulate

from .combining import Estimate

STEP_SIGMAS = 3.6  # 1 in 100 healthy sets of points with four rods goes beyond it by chance
MOST_VISITS = 12  # of a piece, the last ones: with more, chance alone goes further


@dataclass(frozen=True, slots=True)
class HeldThen:
    """What a rod held at one visit."""

    at: datetime
    held: Estimate


@dataclass(frozen=True, slots=True)
class Step:
    """A rod that holds something else since, though no work is recorded between."""

    order: int
    after: datetime  # the last visit before the step
    by: datetime  # the first visit after it
    change: Estimate

    def sentence(self, name: str) -> str:
        way = "longer" if self.change.mm > 0 else "shorter"
        return (
            f"The {name} holds {abs(self.change.mm):.1f} mm {way} since {self.by.day} "
            f"{self.by:%B %Y} than before, and no work is recorded: look for what moved."
        )


def unexplained_steps(
    history: Mapping[int, Sequence[HeldThen]], work: Sequence[datetime] = ()
) -> tuple[Step, ...]:
    """The clearest step of each rod (by its order) in each piece, where it is beyond chance.

    ``history`` in order of time; ``work`` is when work was done: a visit at that moment is after.
    """
    return tuple(
        step
        for order, visits in history.items()
        for piece in pieces(visits, work)
        if (step := _clearest(order, piece[-MOST_VISITS:])) is not None
    )


def pieces(visits: Sequence[HeldThen], work: Sequence[datetime]) -> Iterator[tuple[HeldThen, ...]]:
    """The visits between one work and the next."""
    piece: list[HeldThen] = []
    for visit in visits:
        if piece and any(piece[-1].at < when <= visit.at for when in work):
            yield tuple(piece)
            piece = []
        piece.append(visit)
    if piece:
        yield tuple(piece)


def _clearest(order: int, piece: Sequence[HeldThen]) -> Step | None:
    weights = [visit.held.sigma_mm**-2 for visit in piece]
    before = list(accumulate(weights))
    sums = list(accumulate(w * visit.held.mm for w, visit in zip(weights, piece, strict=True)))
    steps = []
    for cut in range(1, len(piece)):
        weight, rest = before[cut - 1], before[-1] - before[cut - 1]
        change = (sums[-1] - sums[cut - 1]) / rest - sums[cut - 1] / weight
        sigma = (1 / weight + 1 / rest) ** 0.5
        steps.append(Step(order, piece[cut - 1].at, piece[cut].at, Estimate(change, sigma)))
    clearest = max(steps, key=_sigmas, default=None)
    return clearest if clearest is not None and _sigmas(clearest) > STEP_SIGMAS else None


def _sigmas(step: Step) -> float:
    return abs(step.change.mm) / step.change.sigma_mm
