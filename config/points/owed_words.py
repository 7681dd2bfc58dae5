"""What is owed in words, place by place: "free wheel clearance, both lies"."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from assets.days import day
from assets.engineering.words import Lie
from assets.models import Points
from inspections.upcoming.owed import Owed
from inspections.words import QuantityCode


@dataclass(frozen=True)
class Place:
    """What is owed at one place of the points, the toe first."""

    name: str
    owed: list[str]


def by_place(points: Points, owed: Iterable[Owed]) -> list[Place]:
    """Readings of one quantity on both lies or sides are one line."""
    names = {position.pk: position.name for position in points.positions.all()}
    names[None] = "toe"
    lines: dict[int | None, list[str]] = {}
    for (place, _, _), alike in groupby(owed, key=_kind):
        lines.setdefault(place, []).append(_line(list(alike)))
    return [Place(names[place], said) for place, said in lines.items()]


def _kind(one: Owed) -> tuple:
    return (one.asked.place, one.asked.quantity, one.again)


def _line(alike: list[Owed]) -> str:
    first = alike[0]
    words = QuantityCode(first.asked.quantity).label
    if first.again:
        words += " again"
    sides = [one.asked.side for one in alike if one.asked.side]
    lies = [one.asked.lie for one in alike if one.asked.lie]
    where = " and ".join(sides) if sides else "both lies" if len(lies) > 1 else ""
    if len(lies) == 1:
        where = Lie(lies[0]).label
    words = f"{words}, {where}" if where else words
    if first.again:
        words += f", after the first traffic, by {day(first.by)}"
    elif first.asked.quantity == QuantityCode.TORQUE:
        words += "; and again after the first traffic"
    return words if first.asked.certain else f"{words} (if track-circuited: not recorded)"
