"""Every spare against every place, by distinct facts and not by rows.

A rule looks at a small part of the rod and a small part of the place. Rods alike in that part
share a row and places a column of that rule's own small matrix, each cell of which is judged
once; the small matrices are then spread over the whole railway and the worst of them taken.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from assets.engineering.suitability.answers import BY_SEVERITY, Assessment, Outcome

from ..facts import PositionFacts, StretcherFacts
from . import turning
from .rules import RULES, TURNING, Rule, assess

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Part = TypeVar("Part", bound=Hashable)  # what a rule looks at of a thing
Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Table:
    """Outcomes of all pairs; the arrays are uint8, one row per rod and one column per place.

    ``severity`` is that of the outcome (0 suits ... 3 does not suit), the others count the rules
    that found a misfit, work to do, or something unknown. Findings are worked out when asked for.
    """

    stretchers: Sequence[StretcherFacts]
    positions: Sequence[PositionFacts]
    severity: "NDArray[np.uint8]"
    misfits: "NDArray[np.uint8]"
    work: "NDArray[np.uint8]"
    unknown: "NDArray[np.uint8]"

    def outcome(self, row: int, column: int) -> Outcome:
        return BY_SEVERITY[int(self.severity[row, column])]

    def key(self, row: int, column: int) -> tuple[int, int, int, int]:
        """The same key as ``Assessment.key``: sorts best first."""
        return (
            int(self.severity[row, column]),
            int(self.misfits[row, column]),
            int(self.work[row, column]),
            int(self.unknown[row, column]),
        )

    def assessment(self, row: int, column: int) -> Assessment:
        return assess(self.stretchers[row], self.positions[column])

    @property
    def order(self) -> "NDArray[np.uint32]":
        """One number per pair (uint32) that sorts like the key: the lower the better."""
        import numpy as np

        number = np.zeros(self.severity.shape, np.uint32)
        for array in (self.severity, self.misfits, self.work, self.unknown):
            number = number * 256 + array
        return number

    def best_spares(self, column: int) -> list[int]:
        """Rows for one place, best first."""
        rows: list[int] = self.order[:, column].argsort(kind="stable").tolist()
        return rows

    def best_positions(self, row: int) -> list[int]:
        """Columns for one rod, best first."""
        columns: list[int] = self.order[row].argsort(kind="stable").tolist()
        return columns


def assess_table(stretchers: Sequence[StretcherFacts], positions: Sequence[PositionFacts]) -> Table:
    """The outcomes of all pairs, in about five bytes a pair at the most."""
    import numpy as np

    shape = len(stretchers), len(positions)
    severity, misfits, work, unknown = (np.zeros(shape, np.uint8) for _ in range(4))
    counted = ((misfits, Outcome.DOES_NOT_SUIT), (work, Outcome.SUITS_AFTER_WORK))

    def count(found: "NDArray[np.uint8]") -> None:
        np.maximum(severity, found, out=severity)
        for array, outcome in (*counted, (unknown, Outcome.CANNOT_SAY)):
            np.add(array, found == outcome.severity, out=array)

    turned_round = [rod.turned for rod in stretchers]
    turn = _turn(stretchers, positions)
    spoiled = np.zeros(shape, bool)  # turning puts something else wrong
    for rule in RULES:
        if rule is TURNING:
            continue
        places = _distinct(rule.position_part, positions)
        found = _spread(rule, stretchers, places)
        if rule.sided:
            other = _spread(rule, turned_round, places, turned=True)
            worse = (other > found) & (other != Outcome.CANNOT_SAY.severity)
            spoiled |= turn & worse
            np.copyto(found, other, where=turn)
        count(found)
    count(_turning(stretchers, turn, spoiled))
    return Table(stretchers, positions, severity, misfits, work, unknown)


def _turn(
    stretchers: Sequence[StretcherFacts], positions: Sequence[PositionFacts]
) -> "NDArray[np.bool_]":
    """Which rods would go in end for end, and where."""
    import numpy as np

    rods, row = _distinct(turning.lie, stretchers)
    places, column = _distinct(turning.around, positions)
    cells = [turning.wants_turning(rod, place) for rod in rods for place in places]
    return np.array(cells, bool).reshape(len(rods), len(places))[np.ix_(row, column)]


def _turning(
    stretchers: Sequence[StretcherFacts],
    turn: "NDArray[np.bool_]",
    spoiled: "NDArray[np.bool_]",
) -> "NDArray[np.uint8]":
    """The outcomes of the rule of turning, which rests on all the others."""
    import numpy as np

    can = [turning.BY_CAN_BE_TURNED[rod.can_be_turned].severity for rod in stretchers]
    found = turn * np.array(can, np.uint8)[:, None]
    found[spoiled] = Outcome.DOES_NOT_SUIT.severity
    return found


Distinct = tuple[dict[Hashable, Thing], list[int]]


def _spread(
    rule: Rule,
    stretchers: Sequence[StretcherFacts],
    distinct_places: Distinct[PositionFacts],
    turned: bool = False,
) -> "NDArray[np.uint8]":
    """One rule's outcomes over all pairs, each distinct pair of parts judged once."""
    import numpy as np

    rods, row = _distinct(rule.stretcher_part, stretchers)
    places, column = distinct_places
    if rule.outcomes:
        small = rule.outcomes(list(rods), list(places))
    else:
        judge, outcome = rule.cells(turned)
        if outcome:
            cells = [outcome(rod, place).severity for rod in rods for place in places]
        else:
            cells = [judge(r, p)[0].severity for r in rods.values() for p in places.values()]
        small = np.array(cells, np.uint8).reshape(len(rods), len(places))
    return small[np.ix_(row, column)]


def _distinct(
    part: Callable[[Thing], Part], things: Sequence[Thing]
) -> tuple[dict[Part, Thing], list[int]]:
    """One example for each distinct part, and for each thing the number of its part."""
    examples: dict[Part, Thing] = {}
    numbers: dict[Part, int] = {}
    code = []
    for thing in things:
        key = part(thing)
        examples.setdefault(key, thing)
        code.append(numbers.setdefault(key, len(numbers)))
    return examples, code
