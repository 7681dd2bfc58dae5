"""What visits add to the register's pages: last readings, the next inspection, marks in lists."""

from collections import defaultdict

from django.db.models import Count
from django.utils import timezone

from assets.models import Points, Stretcher
from assets.panels import Mark, Panel
from inspections.catalogue import from_the_toe, looks_from_the_toe
from inspections.due import due_list, due_of
from inspections.latest import last_examinations, last_readings
from inspections.models import Examination, Inspection, Reading
from inspections.words import Look, Verdict

SHOWN_OF_A_ROD = 30


def points_panel(points: Points, request) -> Panel:
    """Last readings by place with their verdicts, the last visit and the next one due."""
    readings = sorted(last_readings(points).values(), key=from_the_toe)
    looks = sorted(last_examinations(points).values(), key=looks_from_the_toe)
    return Panel(
        "Measured and seen",
        "inspections/_points_panel.html",
        {
            "points": points,
            "readings": readings,
            "wrong_readings": [r for r in readings if _is_wrong(r)],
            "wrong_looks": [look for look in looks if look.found == Look.DEFECTIVE],
            "last_visit": Inspection.objects.filter(points=points).latest_first().first(),
            "due": due_of(points, timezone.localdate()),
        },
        anchor="measured",
    )


def part_panel(part, request) -> Panel | None:
    """What was measured and found of a rod, wherever it was."""
    if not isinstance(part, Stretcher):
        return None
    links = ("inspection__points__location", "position", "limit", "instrument")
    readings = part.readings.standing().select_related(*links).order_by("-inspection__at", "-pk")
    looks = part.examinations.standing().defective()
    return Panel(
        "Measured and seen of this rod",
        "inspections/_part_panel.html",
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
    found: dict[int, list[Mark]] = defaultdict(list)
    here = {"inspection__points__in": points_ids}
    for pk, count in _counts(Reading.objects.filter(**here).latest().out()):
        found[pk].append(Mark(f"{count} reading{'s' * (count > 1)} out of limits", "intervention"))
    for pk, count in _counts(Examination.objects.filter(**here).latest().defective()):
        found[pk].append(Mark(f"{count} thing{'s' * (count > 1)} seen defective", "defective"))
    for row in due_list(timezone.localdate(), within_days=-1, among=points_ids):
        found[row.points.pk].append(Mark(f"inspection {row.words}", "overdue"))
    return found


def _counts(entries) -> list[tuple[int, int]]:
    counted = entries.order_by().values_list("inspection__points")
    return list(counted.annotate(n=Count("pk")))


def _is_wrong(reading: Reading) -> bool:
    verdict = Verdict(reading.verdict)
    return verdict.is_out or verdict == Verdict.ALERT
