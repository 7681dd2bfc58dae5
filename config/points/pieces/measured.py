"""What pages show of visits: last readings, the next inspection, marks in lists."""

from django.db.models import Count, Q
from django.utils import timezone

from assets.models import Stretcher
from assets.models.parts import Part
from config.points.pieces.panel import Mark, Panel
from config.points.reader import Known
from inspections.catalogue.spots import from_the_toe, looks_from_the_toe
from inspections.models import Examination, Reading
from inspections.upcoming.due import Due, due_list, due_of
from inspections.words import Look, Verdict

SHOWN_OF_A_ROD = 30
IMMEDIATE = Q(verdict=Verdict.IMMEDIATE.value)


def of_points(known: Known) -> Panel:
    """Last readings by place with their verdicts, the last visit and the next one due."""
    points = known.points
    readings = sorted(known.readings.values(), key=from_the_toe)
    looks = sorted(known.looks.values(), key=looks_from_the_toe)
    wrong_looks = [look for look in looks if look.found == Look.DEFECTIVE]
    due = due_of(points, timezone.localdate())
    out = sum(Verdict(reading.verdict).is_out for reading in readings)
    immediate = sum(reading.verdict == Verdict.IMMEDIATE for reading in readings)
    return Panel(
        "Measured and examined",
        "points/_measured.html",
        {
            "points": points,
            "readings": readings,
            "wrong_readings": [r for r in readings if Verdict(r.verdict).is_past],
            "wrong_looks": wrong_looks,
            "last_visit": next(iter(known.visits), None),
            "due": due,
        },
        anchor="measured",
        marks=[*_marks(out, immediate, len(wrong_looks)), *_due_marks(due)],
    )


def of_part(part: Part) -> Panel | None:
    """What was measured and found of a rod, wherever it was."""
    if not isinstance(part, Stretcher):
        return None
    links = ("inspection__points__location", "position", "limit", "instrument")
    readings = part.readings.standing().select_related(*links).order_by("-inspection__at", "-pk")
    looks = part.examinations.standing().out()
    return Panel(
        "Measured and examined on this stretcher",
        "points/_measured_of_part.html",
        {
            "readings": readings[:SHOWN_OF_A_ROD],
            "shown": SHOWN_OF_A_ROD,
            "looks": looks.select_related("inspection__points__location", "position").order_by(
                "-inspection__at", "-pk"
            )[:SHOWN_OF_A_ROD],
        },
        anchor="measured",
    )


def marks(points_ids: list[int]) -> dict[int, list[Mark]]:
    """Readings out, things defective and inspections overdue, in a word each; four queries."""
    here = {"inspection__points__in": points_ids}
    out = _counts(Reading.objects.filter(**here).latest().out(), immediate=IMMEDIATE)
    defective = _counts(Examination.objects.filter(**here).latest().out())
    found = {
        pk: _marks(*out.get(pk, (0, 0)), *defective.get(pk, (0,)))
        for pk in points_ids
        if pk in out or pk in defective
    }
    for row in due_list(timezone.localdate(), within_days=-1, among=points_ids):
        found.setdefault(row.points.pk, []).extend(_due_marks(row))
    return found


def _marks(out: int, immediate: int, defective: int = 0) -> list[Mark]:
    """``out`` counts the readings for immediate action too."""
    found = []
    if immediate:
        words = f"{immediate} reading{'s' * (immediate > 1)} for immediate action"
        found.append(Mark(words, "immediate"))
    if out > immediate:
        others = out - immediate
        found.append(Mark(f"{others} reading{'s' * (others > 1)} out of limits", "intervention"))
    if defective:
        words = f"{defective} thing{'s' * (defective > 1)} found defective"
        found.append(Mark(words, "defective"))
    return found


def _due_marks(due: Due | None) -> list[Mark]:
    overdue = due is not None and due.is_overdue
    return [Mark(f"inspection {due.words}", "overdue")] if overdue else []


def _counts(entries, **among) -> dict[int, tuple[int, ...]]:
    """By points: how many entries, and how many of them each condition holds for; one query."""
    counts = {name: Count("pk", filter=condition) for name, condition in among.items()}
    counted = entries.order_by().values_list("inspection__points")
    return {pk: tuple(ns) for pk, *ns in counted.annotate(n=Count("pk"), **counts)}
