"""What the plan's piece of a page shows: the drawing, and the same in words."""

from assets.engineering.continuity import Continuity, continuity
from assets.engineering.facts import PointsFacts
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.words import Lie, Side
from assets.models import Points
from assets.switch_facts import shape_of

from .geometry import Plan, draw
from .layout import lay_out
from .notes import Note
from .words import insulation_words, lie_words, points_words, rod_words

NEAR_MM = 500.0  # a note this near to a rod stands in the rod's row

LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)


def lie_from(text: str | None, points: Points) -> Lie:
    """The lie asked for; without one the normal lie, and failing that the left closed."""
    for value in (text, points.normal_lie):
        if value in LIES:
            return Lie(value)
    return Lie.LEFT_CLOSED


def plan_context(
    points: Points,
    lie: Lie,
    facts: PointsFacts,
    circuit: Continuity | None = None,
    *,
    opening: OpenSwitch | None = None,
    notes: tuple[Note, ...] = (),
) -> dict:
    """All that ``_plan.html`` shows of points read ``with_places()``; it needs the points too.

    ``facts`` may put other rods in than those fitted, with what the ``circuit`` comes to.
    ``opening`` is the open switch as last read, ``notes`` what is written at its places.
    """
    known = shape_of(points)
    plan = draw(
        facts,
        lie=lie,
        hand=Side(points.hand),
        shape=opening.shape if opening else known.shape,
        shape_missing=known.missing,
        heel=points.heel_kind,
        heel_mm=points.length_mm,
        opening=opening,
        notes=notes,
    )
    return {
        "plan": plan,
        "drawing": lay_out(plan),
        "of_the_points": points_words(facts),
        "lies": [(one.value, lie_words(one), _usual(one, points), one == lie) for one in LIES],
        "rows": _rows(plan),
        "unplaced": [note for note in plan.notes if _row_of(note, plan) is None],
        "circuit": circuit or continuity(facts),
    }


def _usual(lie: Lie, points) -> str:
    if points.normal_lie == Lie.UNKNOWN:
        return ""
    return "normal" if lie == points.normal_lie else "reverse"


def _rows(plan: Plan) -> list[dict]:
    """The table beside the drawing: one row per place, with the notes nearest to it."""
    rows = {}
    for rod in plan.rods:
        place, facts = rod.place, rod.place.stretcher
        rows[place.order] = {
            "rod": rod,
            "place": place,
            "stretcher": facts,
            "insulation": insulation_words(facts.insulation_side) if facts else "",
            "also": ", ".join(rod_words(place)),
            "notes": [],
        }
    for note in plan.notes:
        order = _row_of(note, plan)
        if order is not None:
            rows[order]["notes"].append(note)
    return list(rows.values())


def _row_of(note: Note, plan: Plan) -> int | None:
    """The order of the place a note belongs to: the nearest rod, if one is near."""
    if note.order is not None:
        return note.order
    if note.x_mm is None:
        return None
    near = [rod for rod in plan.rods if abs(rod.x_mm - note.x_mm) <= NEAR_MM]
    return min(near, key=lambda rod: abs(rod.x_mm - note.x_mm)).place.order if near else None
