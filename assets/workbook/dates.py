"""Dates as spreadsheets keep them and as people write them, the day first."""

import re
from datetime import date, datetime, time, timedelta

from .refusals import BadCell, CellRefused

_MONTH_NAMES = "jan feb mar apr may jun jul aug sep oct nov dec"
_MONTHS = {name: number for number, name in enumerate(_MONTH_NAMES.split(), 1)}
_MONTH = r"(?P<month>jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_YEAR = r"(?P<year>\d{4}|\d{2})"
_TIME = (
    r"(?:(?:t|,?\s+(?:at\s+)?)(?P<hour>\d{1,2}):(?P<minute>\d{2})"
    r"(?::(?P<second>\d{2})(?:\.(?P<fraction>\d{1,6}))?)?\s*(?P<half>am|pm)?)?"
)
_WEEKDAY = r"(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*,?\s+)?"
_PATTERNS = [
    re.compile(_WEEKDAY + pattern + _TIME)
    for pattern in (
        r"(?P<year>\d{4})[-/.](?P<month>\d{1,2})[-/.](?P<day>\d{1,2})",
        rf"(?P<day>\d{{1,2}})\s?[-/. ]\s?(?P<month>\d{{1,2}})\s?[-/. ]\s?{_YEAR}",
        rf"(?P<day>\d{{1,2}})(?:st|nd|rd|th)?(?:\s+of\s+|[-/. ]*){_MONTH}[-/., ]*{_YEAR}",
        rf"{_MONTH}\s*(?P<day>\d{{1,2}})(?:st|nd|rd|th)?[, ]+{_YEAR}",
    )
]
_LITERALS = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!(?:h+|m+|s+)\])[^\]]*\]', re.IGNORECASE)
_LONGEST = 60  # characters; no date is written longer
_HOW = 'Write it as day, month, year: "3 May 2021" or 03/05/2021.'

EPOCH_1900 = datetime(1899, 12, 30)  # noqa: DTZ001 - a workbook has no zones
EPOCH_1904 = datetime(1904, 1, 1)  # noqa: DTZ001
FIRST_SAFE_DAY = date(1900, 3, 1)  # the 1900 system counts a 29 February 1900 that never was


def shows_date(number_format: str) -> bool:
    """Whether a number format shows a date, a time or a duration (ECMA-376 part 1, 18.8.31)."""
    bare = _LITERALS.sub("", number_format).split(";")[0]
    return re.search(r"[dmyhs]", bare, re.IGNORECASE) is not None


def read_written(text: str) -> date | datetime:
    """The day, with the time where one is given, that a text means; day before month.

    Raises CellRefused with what would be understood. Two-figure years 69 to 99 are 1969 to 1999,
    00 to 68 are 2000 to 2068, as POSIX has it.
    """
    if len(text) > _LONGEST:
        raise CellRefused(f"This is not a date. {_HOW}")
    written = " ".join(text.split()).casefold()
    for pattern in _PATTERNS:
        found = pattern.fullmatch(written)
        if found:
            return _moment(found, text)
    raise CellRefused(f"This is not a date. {_HOW}")


def _moment(found: re.Match, text: str) -> date | datetime:
    month = found["month"]
    number = int(month) if month.isdigit() else _MONTHS[month[:3]]
    if number > 12:
        raise CellRefused(f"There is no month {number}: the day comes first. {_HOW}")
    try:
        day = date(_full_year(found["year"]), number, int(found["day"]))
        return day if found["hour"] is None else datetime.combine(day, _clock(found))
    except ValueError:
        raise CellRefused(f"There is no such day or time as {' '.join(text.split())}.") from None


def _full_year(year: str) -> int:
    number = int(year)
    if len(year) == 4:
        return number
    return number + (1900 if number >= 69 else 2000)


def _clock(found: re.Match) -> time:
    hour = int(found["hour"])
    if found["half"]:
        if not 1 <= hour <= 12:
            raise ValueError("no such hour")
        hour = hour % 12 + (12 if found["half"] == "pm" else 0)
    micro = int((found["fraction"] or "0").ljust(6, "0"))
    return time(hour, int(found["minute"]), int(found["second"] or 0), micro)


def from_serial(serial: float, epoch: datetime) -> datetime | time | BadCell:
    """The moment that a date cell's number stands for, to the millisecond.

    A number below 1 is a time of day alone. ``epoch`` is EPOCH_1900 or EPOCH_1904.
    """
    if 0 <= serial < 1:
        clock = EPOCH_1904 + timedelta(milliseconds=round(serial * 86_400_000))
        return clock.time()
    if epoch is EPOCH_1900 and serial < 61:
        if serial >= 60:
            return BadCell("29 Feb 1900", "There was no 29 February 1900. Type the correct date.")
        epoch += timedelta(days=1)
    try:
        if serial < 0:
            raise OverflowError
        days = int(serial)
        return epoch + timedelta(days=days, milliseconds=round((serial - days) * 86_400_000))
    except (OverflowError, ValueError):
        return BadCell(
            f"{serial:g}",
            "This cell is formatted as a date, but its number is not one. Type it again.",
        )
