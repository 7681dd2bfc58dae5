"""When each set of points is to be inspected next.

Visits after work or after fitting a part look at what was done, not at the whole: they do not put
the next inspection off, and neither does one that answered too little of what the form asks
(``Inspection.partial``, decided when it is recorded). A due date that falls in a closed season
moves to the day before first use.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.db.models import Q
from django.utils import timezone

from assets.engineering.words import ServiceState
from assets.models import Points
from inspections.models import Season

DEFAULT_INTERVAL_DAYS = 90  # the railway's usual interval: common practice, no source


@dataclass(frozen=True)
class Due:
    """The next inspection of one set of points, as it stands on the day ``on``."""

    points: Points
    on: date
    due_on: date
    last: date | None = None  # None: never inspected
    moved: bool = False  # to the day before first use, out of a closed season
    owed: int = 0  # readings to be taken again since the last change, as last worked out

    @property
    def is_overdue(self) -> bool:
        return self.due_on < self.on

    @property
    def days_left(self) -> int:
        """Days until it is due; below 0 it is overdue."""
        return (self.due_on - self.on).days

    @property
    def words(self) -> str:
        """ "overdue by 3 days", "due in 12 days", "due before first use" ..."""
        if self.last is None:
            return "never inspected"
        if self.is_overdue:
            return f"overdue by {_days(-self.days_left)}"
        when = "today" if self.days_left == 0 else f"in {_days(self.days_left)}"
        return f"due before first use, {when}" if self.moved else f"due {when}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def due_date(last: date, interval_days: int, seasons: Iterable[Season]) -> tuple[date, bool]:
    """When the next inspection is due after one on ``last``, and whether a closed season moved it.

    A day that lies in no season, with a season still to come, is in a closed season.
    """
    due = last + timedelta(days=interval_days)
    seasons = list(seasons)
    if any(season.first_use <= due <= season.last_use for season in seasons):
        return due, False
    coming = [season.first_use for season in seasons if season.first_use > due]
    return (min(coming) - timedelta(days=1), True) if coming else (due, False)


@dataclass(frozen=True)
class Coming:
    """The next inspection of points known by their id only: many of them cost little."""

    points: int
    due_on: date
    last: date | None
    moved: bool


def due_list(
    at: date, within_days: int | None = None, among: Iterable[int] | None = None
) -> list[Due]:
    """The next inspection of all points in use, the soonest first; two queries.

    Points never inspected are due on the day itself. ``within_days`` leaves out what is due later;
    ``among`` (ids) leaves out all other points.
    """
    points = _in_use(at, within_days, among).select_related("location", "outlook")
    given = {row.pk: row for row in points}
    rows = [(row.pk, row.inspection_interval_days, _inspected_at(row)) for row in given.values()]
    return [
        Due(given[row.points], at, row.due_on, row.last, row.moved)
        for row in _coming(rows, at, within_days)
    ]


def coming(at: date, within_days: int | None = None) -> list[Coming]:
    """As ``due_list``, without reading the points themselves; two queries."""
    rows = _in_use(at, within_days).values_list(
        "pk", "inspection_interval_days", "outlook__inspected_at"
    )
    return _coming(rows, at, within_days)


def with_points(rows: Iterable[Coming], at: date) -> list[Due]:
    """The same with the points and their locations, in the same order; one query."""
    rows = list(rows)
    points = Points.objects.select_related("location", "outlook")
    points = points.in_bulk([row.points for row in rows])
    return [
        Due(points[row.points], at, row.due_on, row.last, row.moved, _owed(points[row.points]))
        for row in rows
    ]


def due_of(points: Points, at: date) -> Due | None:
    """The next inspection of one set of points; None for points that are out of use or lifted."""
    return next(iter(due_list(at, among=[points.pk])), None)


def _in_use(at: date, within_days: int | None, among: Iterable[int] | None = None):
    points = Points.objects.filter(service_state=ServiceState.IN_USE.value)
    if among is not None:
        points = points.filter(pk__in=among)
    if within_days is not None:
        points = points.filter(_may_be_due_by(at + timedelta(days=within_days)))
    return points.in_walking_order()


def _may_be_due_by(day: date) -> Q:
    """All that is due by a day and some that is not: a closed season only moves a date later."""
    usual = day - timedelta(days=DEFAULT_INTERVAL_DAYS)
    after = timezone.make_aware(datetime.combine(usual + timedelta(days=1), time()))
    return (
        Q(outlook__inspected_at__isnull=True)
        | Q(outlook__inspected_at__lt=after)
        | Q(inspection_interval_days__isnull=False)
    )


def _inspected_at(points: Points) -> datetime | None:
    """When they were last inspected as a whole; points never visited have no outlook."""
    return points.outlook.inspected_at if hasattr(points, "outlook") else None


def _owed(points: Points) -> int:
    return points.outlook.owed if hasattr(points, "outlook") else 0


def _coming(
    rows: Iterable[tuple[int, int | None, datetime | None]], at: date, within_days: int | None
) -> list[Coming]:
    """From id, interval and last inspection of points to what is due, the soonest first."""
    seasons = list(Season.objects.all())
    zone = timezone.get_current_timezone()
    found = [
        _coming_of(pk, interval, inspected and inspected.astimezone(zone).date(), at, seasons)
        for pk, interval, inspected in rows
    ]
    if within_days is not None:
        found = [row for row in found if (row.due_on - at).days <= within_days]
    return sorted(found, key=lambda row: row.due_on)


def _coming_of(
    points: int, interval: int | None, last: date | None, at: date, seasons: list[Season]
) -> Coming:
    if last is None:
        return Coming(points, at, None, False)
    due_on, moved = due_date(last, interval or DEFAULT_INTERVAL_DAYS, seasons)
    return Coming(points, due_on, last, moved)
