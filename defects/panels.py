"""What the register's pages show of defects: see assets.panels."""

from datetime import date

from django.db.models import Q
from django.utils import timezone

from assets.engineering.words import Side
from assets.models.fittings import PART_FIELDS, link_field
from assets.models.parts import Part
from assets.panels import Mark, Panel, once
from assets.plan.notes import Note
from defects.models import Defect
from defects.words import State, TemporaryMeasure, Urgency

PAST_SHOWN = 8


def of_points(points, request) -> Panel:
    """Open defects, measures that stand, and what was closed lately."""
    here = _defects_of(points)
    return _panel(here, {"points": points}, _marks(here, timezone.localdate()))


def of_part(part, request) -> Panel:
    here = Defect.objects.filter(**{link_field(part): part}).with_links().most_urgent_first()
    return _panel(list(here), {"show_points": True}, [])


def _defects_of(points) -> list[Defect]:
    """All that were ever raised of these points, the most urgent first; one query a page."""
    here = Defect.objects.filter(points=points).with_links().select_related("reading")
    return once(points, "defects", lambda: list(here.most_urgent_first()))


def _panel(here: list[Defect], context: dict, marks: list[Mark]) -> Panel:
    past = sorted((d for d in here if not d.is_open), key=lambda d: d.number, reverse=True)
    context = {
        **context,
        "open": [defect for defect in here if defect.is_open],
        "past": past[:PAST_SHOWN],
        "measures": sorted(filter(_has_measure, here), key=lambda d: d.number),
        "repeats": sum(bool(d.repeat_of_id) for d in here if d.state != State.IN_ERROR),
        "today": timezone.localdate(),
    }
    return Panel("Defects", "defects/_panel.html", context, anchor="defects", marks=marks)


def marks(points_ids: list[int]) -> dict[int, list[Mark]]:
    """ "2 open defects", "1 overdue" and each measure that stands; one query."""
    rows = Defect.objects.filter(points__in=points_ids)
    rows = (rows.open() | rows.with_measure()).only(
        "points", "state", "due_on", "temporary_measure"
    )
    by_points: dict[int, list[Defect]] = {}
    for defect in rows.order_by("pk"):
        by_points.setdefault(defect.points_id, []).append(defect)
    today = timezone.localdate()
    return {points: _marks(here, today) for points, here in by_points.items()}


def _marks(here: list[Defect], today: date) -> list[Mark]:
    open_now = [defect for defect in here if defect.is_open]
    overdue = sum(bool(defect.due_on and defect.due_on < today) for defect in open_now)
    found = []
    if open_now:
        words = f"{len(open_now)} open defect{'s' if len(open_now) > 1 else ''}"
        found.append(Mark(words, "planned"))
    if overdue:
        found.append(Mark(f"{overdue} overdue", "overdue"))
    measures = sorted(filter(_has_measure, here), key=lambda defect: defect.pk)
    return found + [Mark(d.get_temporary_measure_display(), "alert") for d in measures]


def _has_measure(defect: Defect) -> bool:
    return defect.temporary_measure != TemporaryMeasure.NONE


def of_parts(parts: list) -> dict[Part, tuple[str, ...]]:
    """A sentence for each open defect of each of these parts, whatever their kind; one query."""
    asked = {(link_field(part), part.pk): part for part in parts}
    about = Q()
    for field in PART_FIELDS:
        about |= Q(**{f"{field}__in": [pk for kind, pk in asked if kind == field]})
    found: dict[Part, tuple[str, ...]] = {}
    open_now = Defect.objects.open().filter(about).order_by("number", "pk")
    for defect in open_now.only(*PART_FIELDS, "number", "title"):
        field = defect.part_field
        part = asked[field, getattr(defect, f"{field}_id")]
        sentence = f"Defect {defect.number}: {defect.title}."
        found[part] = (*found.get(part, ()), sentence)
    return found


def on_plan(points, lie) -> list[Note]:
    """A numbered mark for each open defect, whichever way the points lie; one query a page."""
    open_now = [defect for defect in _defects_of(points) if defect.is_open]
    return [
        Note(
            _from_the_toe(defect),
            _side(defect),
            defect.title,
            "planned" if defect.urgency == Urgency.WHEN_THERE else defect.urgency,
            number=defect.number,
            url=defect.get_absolute_url(),
        )
        for defect in sorted(open_now, key=lambda defect: defect.number)
    ]


def _from_the_toe(defect: Defect) -> float | None:
    """Where to draw it (mm); None where the place is not known, or is the whole points."""
    if defect.position is not None:
        return defect.position.distance_mm
    if defect.reading is not None:
        return defect.reading.at_mm or 0.0  # a reading at no place is taken at the toe
    return None


def _side(defect: Defect) -> Side:
    side = defect.reading.side if defect.reading is not None else ""
    return Side(side) if side else Side.UNKNOWN
