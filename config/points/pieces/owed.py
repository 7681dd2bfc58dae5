"""What is to be measured again since the last change, first on the points page."""

from config.points.pieces.panel import Mark, Panel
from config.points.reader import Known
from inspections.models import Outlook


def of_points(known: Known) -> Panel | None:
    """What is owed, place by place; None where nothing is."""
    owing = known.owing
    if not owing.owed:
        return None
    marks = [_mark(len(owing.owed))]
    return Panel("Measure again", "points/_owed.html", {"owing": owing}, anchor="owed", marks=marks)


def marks(points_ids: list[int]) -> dict[int, list[Mark]]:
    """The same in short, as last worked out; one query."""
    rows = Outlook.objects.filter(points__in=points_ids, owed__gt=0)
    return {row.points_id: [_mark(row.owed)] for row in rows}


def _mark(count: int) -> Mark:
    return Mark(f"{count} reading{'s' * (count > 1)} owed after work", "planned")
