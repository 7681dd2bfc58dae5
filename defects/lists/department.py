"""What a department has to do, along the line: as a page, on paper and as a workbook."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from io import BytesIO
from itertools import groupby

from assets.departments import Department
from assets.models import Location
from defects.closing import evidence
from defects.models import Defect
from defects.models.defects import DefectQuerySet
from defects.words import State
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Limit
from inspections.verdicts.limits import LimitBook
from inspections.words import QuantityCode


@dataclass(frozen=True)
class Job:
    """One defect as something to do; ``limit`` is in words, "" where nothing is measured."""

    defect: Defect
    task: str
    limit: str

    @property
    def place(self) -> str:
        return self.defect.position.name if self.defect.position else ""


@dataclass(frozen=True)
class Place:
    """A location with its jobs, in walking order."""

    location: Location
    jobs: tuple[Job, ...]


def held_by(department: Department) -> DefectQuerySet:
    """What the department holds, along the line."""
    return Defect.objects.owned_by(department).with_links().in_walking_order()


def jobs_of(defects: Iterable[Defect], at: date) -> list[Place]:
    """These defects (in walking order) as things to do, by location; one query more."""
    book = LimitBook.of(Limit.objects.all(), at)
    jobs = [_job(defect, book) for defect in defects]
    return [
        Place(location, tuple(there))
        for location, there in groupby(jobs, key=lambda job: job.defect.points.location)
    ]


NO_PROOF = "Check; only the responsible engineer can close it, with a written reason"


def _job(defect: Defect, book: LimitBook) -> Job:
    if defect.state == State.WORK_DONE:
        proven = evidence.proof_of(defect).is_known
        task = f"Check: {evidence.what_is_needed(defect)}" if proven else NO_PROOF
    elif defect.state == State.ACCEPTED:
        task = "Repair (accepted)"
    else:
        task = "Examine, then accept or return"
    return Job(defect, task, _limit_words(defect, book))


def _limit_words(defect: Defect, book: LimitBook) -> str:
    quantity = evidence.proof_of(defect).quantity
    if not quantity:
        return ""
    bound = book.for_points(defect.points).of(quantity).mildest
    words = QUANTITIES[QuantityCode(quantity)]
    if bound is None:
        return "no limit set"
    unsure = "" if bound.confirmed else " (limit not confirmed)"
    return f"{words.limit_words(bound.minimum, bound.maximum)}{unsure}"


HEADINGS = {
    "Location": 14,
    "Points": 10,
    "Place": 18,
    "Defect": 8,
    "What is wrong": 44,
    "To do": 30,
    "Usual remedy": 40,
    "Limit": 22,
    "Urgency": 12,
    "Due": 12,
    "Temporary measure": 20,
    "Done or returned, and why": 34,
    "Measured after": 16,
    "By": 14,
    "When": 14,
}
TO_FILL_IN = 4  # the last columns are left for writing


def workbook(department: Department, at: date) -> bytes:
    """The department's list as an .xlsx file, one row a defect, with columns to write in."""
    from openpyxl import Workbook
    from openpyxl.styles import Alignment, Font

    from assets.workbook.writing import put_text

    book = Workbook()
    sheet = book.active
    sheet.title = f"{department.label} list"
    places = jobs_of(held_by(department), at)
    rows = [_row(place.location, job) for place in places for job in place.jobs]
    for number, values in enumerate([list(HEADINGS), *rows], 1):
        for index, value in enumerate(values, 1):
            cell = sheet.cell(number, index)
            if isinstance(value, str):
                put_text(cell, value)
            else:
                cell.value = value
            if number > 1:
                cell.alignment = Alignment(wrap_text=True, vertical="top")
    for cell, width in zip(sheet[1], HEADINGS.values(), strict=True):
        cell.font = Font(bold=True)
        sheet.column_dimensions[cell.column_letter].width = width
    sheet.freeze_panes = "A2"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    file = BytesIO()
    book.save(file)
    return file.getvalue()


def _row(location: Location, job: Job) -> list:
    defect = job.defect
    measure = defect.get_temporary_measure_display() if defect.temporary_measure != "none" else ""
    return [
        location.name,
        defect.points.key,
        job.place,
        defect.number,
        defect.title,
        job.task,
        defect.remedy,
        job.limit,
        defect.get_urgency_display(),
        defect.due_on,
        measure,
        *[None] * TO_FILL_IN,
    ]
