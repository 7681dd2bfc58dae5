"""What a department has to do, along the line."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from assets.days import minute
from assets.departments import Department
from assets.models import Location
from defects.closing import evidence
from defects.models import Defect, Event
from defects.models.defects import DefectQuerySet
from defects.words import Move, State
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Limit
from inspections.verdicts.limits import LimitBook
from inspections.words import QuantityCode


@dataclass(frozen=True)
class Job:
    """One defect as something to do; ``limit`` is in words, "" where nothing is measured.

    ``returned`` is the return by which it came back, where nobody has taken it on since.
    """

    defect: Defect
    task: str
    limit: str
    returned: Event | None = None

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
    """These defects (in walking order) as things to do, by location; two queries more."""
    book = LimitBook.of(Limit.objects.all(), at)
    defects = list(defects)
    returned = _returned(defects)
    jobs = [_job(defect, book, returned.get(defect.pk)) for defect in defects]
    return [
        Place(location, tuple(there))
        for location, there in groupby(jobs, key=lambda job: job.defect.points.location)
    ]


NO_PROOF = "Check; only the responsible engineer can close it, with a written reason"


def _returned(defects: list[Defect]) -> dict[int, Event]:
    """The return of each defect that came back and has not been moved on since; one query."""
    raised = [defect.pk for defect in defects if defect.state == State.RAISED]
    moved = Event.objects.filter(defect__in=raised, move__in=(Move.HAND_OVER, Move.RETURN))
    last = {event.defect_id: event for event in moved.order_by("pk")}
    return {defect: event for defect, event in last.items() if event.move == Move.RETURN}


def _job(defect: Defect, book: LimitBook, returned: Event | None) -> Job:
    if defect.state == State.WORK_DONE:
        proven = evidence.proofs_of(defect)
        task = f"Check: {evidence.what_is_needed(defect)}" if proven else NO_PROOF
    elif defect.state == State.ACCEPTED:
        task = "Repair (accepted)"
    else:
        task = "Examine, then accept or return"
    if returned is not None:
        task = f"Returned by {returned.by}, {minute(returned.at)}. {returned.sentence}\n{task}"
    return Job(defect, task, _limit_words(defect, book), returned)


def _limit_words(defect: Defect, book: LimitBook) -> str:
    quantity = next((proof.quantity for proof in evidence.proofs_of(defect)), "")
    if not quantity:
        return ""
    bound = book.for_points(defect.points).of(quantity).mildest
    words = QUANTITIES[QuantityCode(quantity)]
    if bound is None:
        return "no limit set"
    unsure = "" if bound.confirmed else " (limit not confirmed)"
    return f"{words.limit_words(bound.minimum, bound.maximum)}{unsure}"
