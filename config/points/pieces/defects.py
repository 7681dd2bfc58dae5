"""What pages about points, a part or a list show of defects."""

from datetime import date

from django.utils import timezone

from assets.models.fittings import link_field
from assets.models.parts import Part
from config.points.pieces.panel import Mark, Panel
from config.points.reader import Known
from defects.models import Defect
from defects.words import State, TemporaryMeasure

PAST_SHOWN = 8


def of_points(known: Known) -> Panel:
    """Open defects, measures in force, and what was closed recently."""
    here, points = known.defects, known.points
    return _panel(here, {"points": points}, _marks(here, timezone.localdate()))


def of_part(part: Part) -> Panel:
    """Every defect of a part, wherever it was; one query."""
    here = Defect.objects.filter(**{link_field(part): part}).with_links().most_urgent_first()
    return _panel(list(here), {"show_points": True}, [])


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
    return Panel("Defects", "points/_defects.html", context, anchor="defects", marks=marks)


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
