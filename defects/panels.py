"""What the register's pages show of defects: see assets.panels."""

from django.db.models import Q
from django.utils import timezone

from assets.engineering.words import Side
from assets.models.fittings import PART_FIELDS, link_field
from assets.models.parts import Part
from assets.panels import Mark, Panel
from assets.plan.notes import Note
from defects.models import Defect
from defects.words import OPEN_STATES, TemporaryMeasure, Urgency

PAST_SHOWN = 8


def of_points(points, request) -> Panel:
    """Open defects, measures that stand, and what was closed lately; three queries."""
    here = Defect.objects.filter(points=points).with_links()
    return _panel(here, {"points": points})


def of_part(part, request) -> Panel:
    here = Defect.objects.filter(**{link_field(part): part}).with_links()
    return _panel(here, {"show_points": True})


def _panel(here, context: dict) -> Panel:
    open_now = list(here.open().most_urgent_first())
    past = here.exclude(state__in=OPEN_STATES).order_by("-number", "-pk")
    context = {
        **context,
        "open": open_now,
        "past": past[:PAST_SHOWN],
        "measures": here.with_measure().order_by("number", "pk"),
        "repeats": here.standing().filter(repeat_of__isnull=False).count(),
        "today": timezone.localdate(),
    }
    return Panel("Defects", "defects/_panel.html", context, anchor="defects")


def marks(points_ids: list[int]) -> dict[int, list[Mark]]:
    """ "2 open defects", "1 overdue" and each measure that stands; one query."""
    today = timezone.localdate()
    found: dict[int, list[Mark]] = {}
    counts: dict[int, list[int]] = {}
    rows = Defect.objects.filter(points__in=points_ids)
    rows = rows.open() | rows.with_measure()
    for defect in rows.only("points", "state", "due_on", "temporary_measure").order_by("pk"):
        count = counts.setdefault(defect.points_id, [0, 0])
        count[0] += defect.is_open
        count[1] += bool(defect.is_open and defect.due_on and defect.due_on < today)
        if defect.temporary_measure != TemporaryMeasure.NONE:
            words = defect.get_temporary_measure_display()
            found.setdefault(defect.points_id, []).append(Mark(words, "alert"))
    for points, (open_now, overdue) in counts.items():
        if overdue:
            found.setdefault(points, []).insert(0, Mark(f"{overdue} overdue", "overdue"))
        if open_now:
            words = f"{open_now} open defect{'s' if open_now > 1 else ''}"
            found.setdefault(points, []).insert(0, Mark(words, "planned"))
    return found


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
    """A numbered mark for each open defect, whichever way the points lie; one query."""
    here = Defect.objects.open().filter(points=points).select_related("position", "reading")
    return [
        Note(
            _from_the_toe(defect),
            _side(defect),
            defect.title,
            "planned" if defect.urgency == Urgency.WHEN_THERE else defect.urgency,
            number=defect.number,
            url=defect.get_absolute_url(),
        )
        for defect in here.order_by("number", "pk")
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
