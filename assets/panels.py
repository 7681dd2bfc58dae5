"""Where other apps add to the register's pages, so that the register need not know them.

An app hands in its panels when it starts; the page asks each for its template and context.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from assets.engineering.facts import PlaceNeeds

if TYPE_CHECKING:
    from assets.engineering.open_switch import OpenSwitch
    from assets.engineering.words import Lie
    from assets.plan.notes import Note


@dataclass(frozen=True)
class Mark:
    """A short word about a set of points, for lists: "2 open defects"."""

    words: str
    kind: str = ""  # a verdict's class in the stylesheet, for its colour and sign


@dataclass(frozen=True)
class Panel:
    """A piece of a page: a heading, a template fragment and what it needs.

    ``marks`` say the same in short at the top of the page, as in a list.
    """

    heading: str
    template: str
    context: dict[str, Any] = field(default_factory=dict)
    anchor: str = ""
    marks: list[Mark] = field(default_factory=list)


# Each takes (points, request) or (part, request) and gives a Panel, or None for nothing to show.
points_panels: list[Callable[..., Panel | None]] = []
part_panels: list[Callable[..., Panel | None]] = []
# Each takes (points ids) and gives {points id: marks}; one query or so each.
mark_sources: list[Callable[[list[int]], dict[int, list[Mark]]]] = []
# Each takes (points read with their places) and gives {position id: what is needed there}.
need_sources: list[Callable[[list], dict[int, PlaceNeeds]]] = []
# Each takes (points, lie) and gives the notes to be drawn on the plan: readings, defects.
plan_notes: list[Callable[..., "list[Note]"]] = []
# Each takes (points, lie) and gives the open switch as last read, or None.
open_switches: list[Callable[..., "OpenSwitch | None"]] = []
# Each takes (points read with their places) and gives {points id: what visits found of the track
# circuit}, with ``contacts`` and ``failed_insulations``.
circuit_sources: list[Callable[[list], dict[int, Any]]] = []
# Each takes (parts of any kind) and gives {part: sentences} of open defects, for suitability.
open_defect_sources: list[Callable[[list], dict[Any, tuple[str, ...]]]] = []


def once(points, what: str, make: Callable[[], Any]) -> Any:
    """What ``make`` gives, asked for once by all the pieces of one page.

    A view says that it makes such a page by giving the points a ``seen``; elsewhere it is made
    each time, for what is recorded may change between one call and the next.
    """
    seen = getattr(points, "seen", None)
    if seen is None:
        return make()
    if what not in seen:
        seen[what] = make()
    return seen[what]


def points_page(points, request) -> list[Panel]:
    """The panels of a set of points, in the order in which the apps handed them in."""
    return [panel for make in points_panels if (panel := make(points, request))]


def part_page(part, request) -> list[Panel]:
    """The panels of a part."""
    return [panel for make in part_panels if (panel := make(part, request))]


def points_marks(points_ids: list[int]) -> dict[int, list[Mark]]:
    """What the apps have to say of each set of points, in a line of a list."""
    found: dict[int, list[Mark]] = {}
    for source in mark_sources:
        for points, marks in source(points_ids).items():
            found.setdefault(points, []).extend(marks)
    return found


def place_needs(all_points: list) -> dict[int, PlaceNeeds]:
    """What the switch asks of a rod at each position of these points."""
    found: dict[int, PlaceNeeds] = {}
    for source in need_sources:
        found.update(source(all_points))
    return found


def notes_on_plan(points, lie: "Lie") -> "list[Note]":
    """What the apps have to say at places along these points on one lie."""
    return [note for source in plan_notes for note in source(points, lie)]


def circuit_findings(all_points: list) -> dict[int, Any]:
    """Metal found touching the rails and insulations found failed, by points."""
    found: dict[int, Any] = {}
    for source in circuit_sources:
        found.update(source(all_points))
    return found


def open_switch(points, lie: "Lie") -> "OpenSwitch | None":
    """The open switch as last read on this lie, from the first app that has it."""
    return next((read for source in open_switches if (read := source(points, lie))), None)


def open_defects(parts: list) -> dict[Any, tuple[str, ...]]:
    """One sentence per open defect of each part, whatever its kind; one query per source."""
    found: dict[Any, tuple[str, ...]] = {}
    for source in open_defect_sources:
        for part, sentences in source(parts).items():
            found[part] = found.get(part, ()) + sentences
    return found
