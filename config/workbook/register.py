"""The whole register as one workbook: the sheets of all apps, taken away and loaded."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from typing import Any, BinaryIO

from django.utils import timezone

from assets.kinds import BY_FIELD, KINDS
from assets.models import Matching
from assets.sheets import register
from assets.sheets.loading import EVERYTHING, Choice, Loading, Progress, load_steps
from assets.workbook.columns import Sheet
from assets.workbook.opening import Book
from assets.workbook.planning import Plan
from assets.workbook.reading import Reading, read_book
from assets.workbook.refusals import WorkbookRefused
from assets.workbook.writing import Table, write_book
from config.access import Need, may
from config.suiting.judging import judge
from defects.sheets import department_lists
from defects.sheets.defects import RECORDS
from defects.sheets.routes import ROUTES
from inspections.sheets import limits as visits
from inspections.sheets import to_fill_in

GROUPS = (*register.SHEETS, *visits.SHEETS, ROUTES, RECORDS)
BOUND = tuple(one for group in GROUPS for one in group.sheets)
SHEETS: tuple[Sheet, ...] = tuple(one.sheet for one in BOUND)
# Sheets of workbooks of their own, which are loaded the same way.
LISTS: tuple[Sheet, ...] = tuple(one.sheet for one in department_lists.LISTS)

# What it takes to change rows of a sheet; the same as for the page that changes them.
NEEDS: dict[str, Need] = {
    "Locations": Need.REGISTER,
    "Rail sections": Need.LIMITS,
    "Switch designs": Need.LIMITS,
    "Wheel standards": Need.LIMITS,
    "Figures": Need.LIMITS,
    "Points": Need.REGISTER,
    "Places": Need.REGISTER,
    "Offsets": Need.REGISTER,
    **{kind.sheet: Need.REGISTER for kind in KINDS},
    "Fittings": Need.FIT,
    "Limits": Need.LIMITS,
    "Instruments": Need.INSPECT,
    "Instrument checks": Need.INSPECT,
    "Seasons": Need.LIMITS,
    "Routes": Need.LIMITS,
    "Visits": Need.INSPECT,
    "Readings": Need.INSPECT,
    "Examinations": Need.INSPECT,
    "Defects": Need.DEFECTS,
    "Not raised": Need.DEFECTS,
    **{sheet.name: Need.DEFECTS for sheet in LISTS},
}

TITLE = "Toe to Heel: the register"
ABOUT = (
    "The register of points, parts, visits and defects as it was when this workbook was written.",
    (
        "Photographs are not in it, nor who has an account, nor the history of changes: the "
        "program's own copies keep those. What was done to each defect is in it for reading only, "
        "so a whole register is moved to another machine as a copy, not as a workbook. Which "
        "stretcher a reading was of, if another is "
        "recorded, is asked again when the workbook is loaded into another register."
    ),
)


def save(
    target: str | BinaryIO,
    choice: Choice = EVERYTHING,
    progress: Callable[[str, int], None] | None = None,
) -> dict[str, int]:
    """Writes the register, or a choice of it, to a path or binary file; rows by sheet.

    A choice of parts has their own sheet and their fittings only.
    """
    exported_at = timezone.now()
    wanted = BOUND
    if choice.parts is not None:
        own = BY_FIELD[choice.part_field].sheet
        wanted = tuple(one for one in BOUND if one.sheet.name in (own, register.FITTINGS.name))
    tables = [Table(one.sheet, (values for _, values in one.held(choice))) for one in wanted]
    return write_book(target, tables, exported_at, TITLE, ABOUT, progress)


def understand(book: Book, matching: Matching | None = None) -> Reading:
    """What a book gives: a register's workbook, a department's list, visit sheets, or a
    spreadsheet by its matching.

    A spreadsheet that is not the register's is read by a matching that fits it wholly, if there is
    one. Raises WorkbookRefused.
    """
    if matching is not None:
        return read_book(book, SHEETS, [matching.as_layout()])
    if to_fill_in.is_one(book):
        return to_fill_in.read(book)
    try:
        return read_book(book, (*SHEETS, *LISTS))
    except WorkbookRefused:
        fitting = _fitting_matching(book)
        if fitting is None:
            raise
        reading = understand(book, fitting)
        reading.book_notes.append(
            f'Read with the matching "{fitting}", because the headings are the same.'
        )
        return reading


def _fitting_matching(book: Book) -> Matching | None:
    for matching in Matching.objects.order_by("name"):
        with suppress(WorkbookRefused):
            reading = read_book(book, SHEETS, [matching.as_layout()])
            if not any(sheet.refusals for sheet in reading.sheets):
                return matching
    return None


def steps(reading: Reading, account, keep: Callable[[Plan], bool]) -> Iterator[Progress]:
    """Loads what a book gives, as far as the account may; the plan is the return value.

    ``account`` None is whoever looks after the program. ``keep`` decides on the finished plan.
    """
    loading = Loading(account, timezone.now(), judge, forbidden_to(account))
    return load_steps(reading, (*GROUPS, department_lists.ACTS), loading, keep)


def load(
    reading: Reading,
    account=None,
    keep: Callable[[Plan], bool] = lambda plan: True,
    progress: Callable[[Progress], Any] = lambda step: None,
) -> Plan:
    """Loads what a book gives and says what was done, or what is in the way of it."""
    work = steps(reading, account, keep)
    while True:
        try:
            progress(next(work))
        except StopIteration as done:
            return done.value


def forbidden_to(account) -> dict[str, str]:
    """Sheets whose rows this account may not change, each with the sentence that says so."""
    if account is None:
        return {}
    return {
        name: f"The sheet {name} is for {need.label}, which your post does not include."
        for name, need in NEEDS.items()
        if not may(account, need)
    }
