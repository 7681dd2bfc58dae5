"""Days and times of the demo railway, counted back from the day of loading."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.utils import timezone


@dataclass(frozen=True)
class Calendar:
    today: date

    def day(self, days_ago: int) -> date:
        """The day that many days ago; negative for a day to come."""
        return self.today - timedelta(days=days_ago)

    def moment(self, days_ago: int, hour: int = 10, minute: int = 0) -> datetime:
        """A time on that day, of the railway's own clock; never later than now."""
        local = datetime.combine(self.day(days_ago), time(hour, minute))
        return min(timezone.make_aware(local), timezone.now())


@dataclass(frozen=True)
class Happening:
    """Something done on the railway, that many days before the loading."""

    days_ago: int
    hour: int
    do: Callable[[], None]


def happen(happenings: list[Happening]) -> None:
    """Everything in the order in which it happened: what comes later must not be known before."""
    for happening in sorted(happenings, key=lambda h: (-h.days_ago, h.hour)):
        happening.do()
