"""Where something is to be measured again, kept up so that the home page need not work it out.

The database counts what changes it, as for trends (``inspections.upcoming.kept``).
"""

from collections.abc import Iterable
from datetime import date

from django.db import OperationalError, transaction
from django.db.models import Count, QuerySet, Window

from assets.models import Points
from assets.register_facts import figures_in_force
from config.points.changes import Owing, owing_of
from inspections.models import Outlook
from inspections.upcoming.kept import short_wait

MOST_AT_ONCE = 50  # sets of points worked out at one look: a third of a second


def keep_up(most: int = MOST_AT_ONCE) -> int:
    """Works out what is owed where something has changed, if not too much; how many sets are left.

    One query where nothing has changed. Where the database is busy all are left.
    """
    stale = Outlook.objects.owed_stale()
    points = list(stale.values_list("points", flat=True)[: most + 1])
    if not points:
        return 0
    try:
        with short_wait():
            _work_out(points[:most])
    except OperationalError:
        pass  # somebody else is writing for long: this can wait, the page cannot
    return stale.count()


def kept_for(points: Iterable[int]) -> list[Outlook]:
    """What lies ahead of these few points, worked out again where that has to be."""
    rows = Outlook.objects.filter(points__in=points)
    found = list(rows)
    behind = [row.points_id for row in found if row.owed_followed != row.changes]
    if not behind:
        return found
    try:
        with short_wait():
            _work_out(behind)
    except OperationalError:
        pass  # as above: then it stands as it was
    return list(rows.all())


def first_owing(shown: int) -> tuple[list[Outlook], int]:
    """The points that have waited longest, and how many more there are; one query.

    As last kept up: call ``keep_up`` first.
    """
    return _first(Outlook.objects.owing(), shown)


def first_owing_if_kept_up(at: date, shown: int) -> tuple[list[Outlook], int] | None:
    """The same, or None where anything that lies ahead has to be kept up first; one query."""
    first, more = _first(Outlook.objects.owing_or_stale(at), shown)
    return None if first and first[0].behind else (first, more)


def _first(rows: QuerySet[Outlook], shown: int) -> tuple[list[Outlook], int]:
    counted = rows.select_related("points__location").annotate(whole=Window(Count("pk")))
    first = list(counted[:shown])
    return first, max(0, first[0].whole - shown) if first else 0


def _work_out(points: list[int]) -> None:
    with transaction.atomic():
        # Those that somebody else is writing to stay as they are, and stale.
        locked = Outlook.objects.owed_stale().filter(points__in=points).order_by("points")
        rows = list(locked.select_for_update(of=("self",), skip_locked=True))
        chosen = Points.objects.with_places().filter(pk__in=[row.points_id for row in rows])
        found = owing_of(list(chosen), figures_in_force())
        for row in rows:
            _keep(row, found[row.points_id])
        fields = ["owed", "changed_on", "owed_by", "owed_followed"]
        Outlook.objects.bulk_update(rows, fields, batch_size=100)


def _keep(row: Outlook, owing: Owing) -> None:
    last = owing.last
    row.owed, row.owed_by, row.owed_followed = len(owing.owed), owing.by, row.changes
    row.changed_on = last and last.on
