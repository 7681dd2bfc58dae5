"""The plan of a set of points in the register."""

from assets import panels
from assets.engineering.facts import PointsFacts
from assets.engineering.words import Lie, Side
from assets.switch_facts import shape_of

from .geometry import Plan, draw


def lie_from(text: str | None, points) -> Lie:
    """The lie asked for; without one the normal lie, and failing that the left closed."""
    for value in (text, points.normal_lie):
        if value in (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED):
            return Lie(value)
    return Lie.LEFT_CLOSED


def plan_of(points, facts: PointsFacts, lie: Lie, *, as_read: bool) -> Plan:
    """The plan of points read ``with_places()``; ``facts`` may put other rods in.

    ``as_read`` draws the readings and defects that the apps have, and the opening from them.
    """
    known = shape_of(points)
    opening = panels.open_switch(points, lie) if as_read else None
    return draw(
        facts,
        lie=lie,
        hand=Side(points.hand),
        shape=opening.shape if opening else known.shape,
        shape_missing=known.missing,
        heel=points.heel_kind,
        heel_mm=points.length_mm,
        opening=opening,
        notes=tuple(panels.notes_on_plan(points, lie)) if as_read else (),
    )
