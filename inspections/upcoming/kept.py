"""Keeping up what lies ahead: the places whose readings may reach a limit, the soonest first.

Following every reading of a large railway takes seconds, so it is done once for each change and
kept. The database counts the changes; what it counted since is followed here, so many sets of
points at a time, and whoever asks is told how many are left for the next look.
"""

from collections.abc import Iterable
from contextlib import contextmanager
from datetime import date, timedelta

from django.db import OperationalError, connection, transaction
from django.db.models import QuerySet

from assets.engineering.words import ServiceState
from assets.models import Points
from inspections.catalogue.where import Where
from inspections.models import Limit, Outlook, Reaching
from inspections.upcoming.history import YEARS, Followed, Place, followed

MOST_AT_ONCE = 250  # sets of points followed at one look: half a second
SHORT_WAIT_MS = 200  # for the database, where it can be done the next time as well


def keep_up(at: date, most: int = MOST_AT_ONCE) -> int:
    """Follows what has changed, if not too much; how many sets of points are left for next time.

    One query where nothing has changed. Where the database is busy all are left.
    """
    stale = Outlook.objects.stale(at)
    points = list(stale.values_list("points", flat=True)[: most + 1])
    if not points:
        return 0
    try:
        with short_wait():
            _follow(points[:most], at)
    except OperationalError:
        pass  # somebody else is writing for long: this can wait, the page cannot
    return stale.count()


def reaching(at: date, within_days: int) -> QuerySet[Reaching]:
    """Places of points in use that may reach a limit within some days, the soonest first.

    Those already past a limit and still moving away stay until something is done.

    As last kept up: call ``keep_up`` first.
    """
    return Reaching.objects.filter(
        soonest__lte=at + timedelta(days=within_days),
        points__service_state=ServiceState.IN_USE.value,
    ).select_related("points__location", "position")


def trends_of(places: Iterable[Reaching], at: date) -> list[Followed]:
    """These places with their trends, in the same order; five queries."""
    places = list(places)
    rows = followed(Points.objects.filter(pk__in={place.points_id for place in places}), at)
    by_place = {row.place: row for row in rows}
    keys = [
        Place(row.quantity, Where(row.points_id, row.position_id, side=row.side, lie=row.lie))
        for row in places
    ]
    return [by_place[key] for key in keys if key in by_place]


def reaching_limit(at: date, within_days: int = 90) -> list[Followed]:
    """All that may reach a limit within some days, kept up first."""
    keep_up(at)
    return trends_of(reaching(at, within_days), at)


def _follow(points: list[int], at: date) -> None:
    with transaction.atomic():
        # Those that somebody else is writing to stay as they are, and stale.
        locked = Outlook.objects.stale(at).filter(points__in=points).order_by("points")
        rows = list(locked.select_for_update(of=("self",), skip_locked=True))
        chosen = [row.points_id for row in rows]
        found = followed(Points.objects.filter(pk__in=chosen), at)
        Reaching.objects.filter(points__in=chosen).delete()
        Reaching.objects.bulk_create(
            _reaching(row) for row in found if row.trend.reach or row.trend.passed
        )
        ends = _ends(found)
        next_limits = next_limits_on(at)
        for row in rows:
            row.followed, row.good_from = row.changes, at
            row.good_until = min(filter(None, (ends.get(row.points_id), next_limits)), default=None)
        Outlook.objects.bulk_update(rows, ["followed", "good_from", "good_until"], batch_size=100)


def _reaching(row: Followed) -> Reaching:
    place, trend = row.place, row.trend
    last = trend.last_piece[-1]
    return Reaching(
        points=row.points,
        quantity=place.quantity,
        position=row.position,
        side=place.where.side,
        lie=place.where.lie,
        value=last.value,
        soonest=last.on if trend.passed else trend.reach.soonest,
        passed=trend.passed is not None,
    )


def _ends(found: Iterable[Followed]) -> dict[int, date]:
    """By points, the day on which the oldest reading that counts becomes too old to."""
    ends: dict[int, date] = {}
    for row in found:
        if row.trend.last_piece:
            last = row.trend.last_piece[0].on + timedelta(days=365 * YEARS)
            ends[row.points.pk] = min(last, ends.get(row.points.pk, last))
    return ends


def next_limits_on(at: date) -> date | None:
    """The last day before a limit that is entered already comes into force."""
    coming = Limit.objects.filter(effective_from__gt=at).order_by("effective_from", "pk").first()
    return coming.effective_from - timedelta(days=1) if coming else None


@contextmanager
def short_wait():
    """SQLite waits its turn to write for seconds; here it is not worth that."""
    if connection.vendor != "sqlite":
        yield
        return
    with connection.cursor() as cursor:
        [usual] = cursor.execute("PRAGMA busy_timeout").fetchone()
        cursor.execute(f"PRAGMA busy_timeout = {SHORT_WAIT_MS}")
        try:
            yield
        finally:
            cursor.execute(f"PRAGMA busy_timeout = {usual}")
