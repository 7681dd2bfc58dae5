"""What this program leaves in its workbooks to know them by when they come back.

Kept among the document's properties, and again on the explaining sheet because some spreadsheet
programs drop the former.
"""

from datetime import UTC, datetime
from itertools import islice

from .columns import fold
from .opening import Book

FORMAT = 1  # raised when workbooks written before would be misread
FORMAT_PROPERTY = "Register format"
EXPORTED_PROPERTY = "Exported at"
README_SHEET = "Read me"
LISTS_SHEET = "Lists"

_README_ROWS = 200  # looked at


def stamps_for(exported_at: datetime) -> list[tuple[str, str]]:
    """Names and texts to leave in a workbook; ValueError for a time without its zone."""
    if exported_at.tzinfo is None:
        raise ValueError("The time of export needs its time zone.")
    moment = exported_at.astimezone(UTC).isoformat(timespec="microseconds")
    return [(FORMAT_PROPERTY, str(FORMAT)), (EXPORTED_PROPERTY, moment)]


def read_stamps(book: Book) -> tuple[datetime | None, int]:
    """When this program wrote the workbook, and in which format; (None, 0) where it did not."""
    found = dict(book.properties)
    readme = next((name for name in book.sheet_names if fold(name) == fold(README_SHEET)), None)
    if EXPORTED_PROPERTY not in found and readme is not None:
        for _, cells in islice(book.rows(book.grid(readme)), _README_ROWS):
            if len(cells) > 1 and cells[0] in (EXPORTED_PROPERTY, FORMAT_PROPERTY):
                found.setdefault(cells[0], str(cells[1]))
    return _moment(found.get(EXPORTED_PROPERTY, "")), _version(found.get(FORMAT_PROPERTY, ""))


def _moment(text: str) -> datetime | None:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        return None
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _version(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 6 else 0
