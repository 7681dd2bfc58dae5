"""The best use of the store: which spare goes where, so that most places are filled.

First as many places as possible get a rod that suits, or suits after work. Then as many as
possible of the rest get one of which something must first be looked at. Of all ways to do that,
the one with the least work is taken. It is an assignment problem, solved exactly.

Each pair is judged with the rods that are fitted now. Rods put into the same points in one go
also meet each other (insulation sides, generations), so every set of points is judged
again with all its new rods in, and where that comes out otherwise it is said.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .facts import PointsFacts, PositionFacts, StretcherFacts
from .suitability import Assessment, Outcome, Table, assess, assess_table
from .words import Vocabulary

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_EFFORT = 500  # above the effort of any one pair: some twenty rules, each of weight 20


class Confidence(Vocabulary):
    """How far the rules answer for an assignment."""

    SURE = "sure", "suits, or suits after the work named"
    LOOK = "look", "may suit: go and check first"


@dataclass(frozen=True)
class Assigned:
    """A spare given to a place; numbers into the lists that were handed in."""

    spare: int
    place: int
    alone: Assessment  # with the rods fitted now
    together: Assessment  # with all the spares given to these points put in

    @property
    def confidence(self) -> Confidence:
        look = self.alone.outcome is Outcome.CANNOT_SAY
        return Confidence.LOOK if look else Confidence.SURE

    @property
    def differs(self) -> bool:
        """Whether the joint check comes out otherwise than the rod by itself."""
        return self.alone.outcome is not self.together.outcome

    @property
    def rules_that_differ(self) -> tuple[str, ...]:
        pairs = zip(self.alone.answers, self.together.answers, strict=True)
        return tuple(a.rule for a, b in pairs if a.outcome is not b.outcome)


@dataclass(frozen=True)
class Left:
    """A place that gets no spare, and why."""

    place: int
    could_take: tuple[int, ...]  # spares that would do here but are of more use elsewhere
    nearest: int | None  # the spare that comes nearest, where none would do
    assessment: Assessment | None  # of the nearest


@dataclass(frozen=True)
class BestUse:
    assigned: tuple[Assigned, ...]  # in the order of the places
    left: tuple[Left, ...]
    unused: tuple[int, ...]  # spares


def best_use(spares: Sequence[StretcherFacts], places: Sequence[PositionFacts]) -> BestUse:
    """Gives spares to places (those to be filled). No spare is given twice, no place two."""
    if not spares or not places:
        return BestUse((), tuple(Left(n, (), None, None) for n in range(len(places))), ())
    table = assess_table(spares, places)
    gain = gains(table)
    pairs = _solve(gain)
    together = _with_all(spares, places, pairs)
    assigned = tuple(
        Assigned(
            spare,
            place,
            table.assessment(spare, place),
            assess(spares[spare], _position(together, places[place])),
        )
        for place, spare in sorted((place, spare) for spare, place in pairs)
    )
    filled, used = {a.place for a in assigned}, {a.spare for a in assigned}
    left = tuple(_left(table, gain, n) for n in range(len(places)) if n not in filled)
    return BestUse(assigned, left, tuple(n for n in range(len(spares)) if n not in used))


def gains(table: Table) -> "NDArray[np.float64]":
    """What each pair is worth (float64, exact): 0 where the rod does not suit.

    One rod more that is sure outweighs any number that must be looked at, and one more of those
    outweighs any effort.
    """
    import numpy as np

    effort = table.work.astype(np.float64) * 20 + table.unknown
    step = (min(table.severity.shape) + 1) * MOST_EFFORT
    worth = {Outcome.SUITS: step**2, Outcome.SUITS_AFTER_WORK: step**2, Outcome.CANNOT_SAY: step}
    gain = np.zeros(table.severity.shape)
    for outcome, value in worth.items():
        here = table.severity == outcome.severity
        gain[here] = value - effort[here]
    return gain


def _solve(gain: "NDArray[np.float64]") -> list[tuple[int, int]]:
    from scipy.optimize import linear_sum_assignment

    rows, columns = linear_sum_assignment(gain, maximize=True)
    pairs = zip(rows.tolist(), columns.tolist(), strict=True)
    return [(row, column) for row, column in pairs if gain[row, column] > 0]


def _with_all(
    spares: Sequence[StretcherFacts],
    places: Sequence[PositionFacts],
    pairs: list[tuple[int, int]],
) -> dict[object, PointsFacts]:
    """Each set of points with all the spares given to it put in."""
    points: dict[object, PointsFacts] = {}
    for spare, place in pairs:
        where = places[place]
        before = points.get(_identity(where.points), where.points)
        points[_identity(where.points)] = before.with_rod(where.order, spares[spare])
    return points


def _position(together: dict[object, PointsFacts], place: PositionFacts) -> PositionFacts:
    return PositionFacts(together[_identity(place.points)], place.order)


def _identity(points: PointsFacts) -> object:
    """Points are told apart by key: two sets alike in every fact are still two."""
    return points.key or id(points)


def _left(table: Table, gain: "NDArray[np.float64]", place: int) -> Left:
    able = gain[:, place].nonzero()[0].tolist()
    if able:
        best = sorted(able, key=lambda spare: -gain[spare, place])
        return Left(place, tuple(best), None, None)
    nearest = table.best_spares(place)[0]
    return Left(place, (), nearest, table.assessment(nearest, place))
