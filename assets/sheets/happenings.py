"""Things that happened, done again in the order in which they happened.

A visit, what was raised from it and what closed that depend on what was known at the time, so rows
of several sheets are entered along one line of time.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import DataError, IntegrityError, transaction

from assets.sheets.writing import messages_of, refuse
from assets.workbook.planning import PlannedRow


@dataclass(frozen=True)
class Happening:
    """One thing to be entered; of two at the same moment the lower ``rank`` comes first.

    ``do`` raises ValidationError with what is wrong with its row.
    """

    at: datetime
    rank: int
    row: PlannedRow
    do: Callable[[], None]


def happen(happenings: Iterable[Happening]) -> Iterator[int]:
    """Does each in its turn, refusing the rows that cannot be; yields 1 for each."""
    for one in sorted(happenings, key=lambda h: (h.at, h.rank, h.row.number)):
        try:
            with transaction.atomic():
                one.do()
        except ValidationError as wrong:
            refuse(one.row, *messages_of(wrong))
        except (IntegrityError, DataError) as problem:
            one.row.refuse(str(problem).splitlines()[0])
        yield 1
