"""When each set of points is to be inspected next.

Visits after work or after fitting a part look at what was done, not at the whole: they do not put
the next inspection off. A due date that falls in a closed season moves to the day before first use.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from assets.engineering.words import ServiceState
from assets.models import Points
from inspections.models import Inspection, Season
from inspections.words import Reason

DEFAULT_INTERVAL_DAYS = 90  # the railway's usual interval: common practice, no source
WHOLE_VISITS = (Reason.ROUTINE.value, Reason.BEFORE_USE.value, Reason.JOINT_VISIT.value)


@dataclass(frozen=True)
class Due:
    """The next inspection of one set of points, as it stands on the day ``on``."""

    points: Points
    on: date
    due_on: date
    last: date | None = None  # None: never inspected
    moved: bool = False  # to the day before first use, out of a closed season

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


def due_list(at: date, within_days: int | None = None) -> list[Due]:
    """The next inspection of all points in use, the soonest first; two queries.

    Points never inspected are due on the day itself. ``within_days`` leaves out what is due later.
    """
    points = Points.objects.filter(service_state=ServiceState.IN_USE.value)
    rows = _due(points.select_related("location").in_walking_order(), at)
    rows = [row for row in rows if within_days is None or row.days_left <= within_days]
    return sorted(rows, key=lambda row: row.due_on)


def due_of(points: Points, at: date) -> Due | None:
    """The next inspection of one set of points; None for points that are out of use or lifted."""
    wanted = Points.objects.filter(pk=points.pk, service_state=ServiceState.IN_USE.value)
    return next(iter(_due(wanted, at)), None)


def _due(points, at: date) -> list[Due]:
    visits = Inspection.objects.filter(points=OuterRef("pk"), reason__in=WHOLE_VISITS)
    seasons = list(Season.objects.all())
    rows = points.annotate(last_visit=Subquery(visits.latest_first().values("at")[:1]))
    return [_due_of(row, at, seasons) for row in rows]


def _due_of(points: Points, at: date, seasons: list[Season]) -> Due:
    if points.last_visit is None:
        return Due(points, at, due_on=at)
    last = timezone.localdate(points.last_visit)
    interval = points.inspection_interval_days or DEFAULT_INTERVAL_DAYS
    due_on, moved = due_date(last, interval, seasons)
    return Due(points, at, due_on=due_on, last=last, moved=moved)
