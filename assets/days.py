"""How a day is written on every page: 4 May 2026, in the railway's own time."""

from datetime import date, datetime

from django.utils import dateformat, timezone


def day(at: date) -> str:
    """A date, or the local day of a moment: 4 May 2026."""
    return dateformat.format(_local(at), "j M Y")


def minute(at: datetime) -> str:
    """A moment to the minute: 4 May 2026 13:00."""
    return dateformat.format(_local(at), "j M Y H:i")


def _local(at: date) -> date:
    return timezone.localtime(at) if isinstance(at, datetime) and timezone.is_aware(at) else at
