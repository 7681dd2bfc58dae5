"""What is to be measured again since the last change, first on the points page."""

from collections.abc import Iterable

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


def marks(rows: Iterable[Outlook]) -> dict[int, list[Mark]]:
    """The same in short, of what is kept; no query."""
    return {row.points_id: [_mark(row.owed)] for row in rows if row.owed}


def _mark(count: int) -> Mark:
    return Mark(f"{count} reading{'s' * (count > 1)} owed after work", "planned")
