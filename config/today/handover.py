"""The note that goes with points given back after work: what was done, measured, and remains.

It gathers what is recorded. It does not certify the points as fit for traffic, and says so.
"""

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q
from django.utils import timezone

from assets.models import Fitting, Points
from assets.register_facts import figures_in_force
from config.points.changes import Owing, owing_of
from defects import proposals
from defects.models import Defect, Event, Misfit
from defects.routing.words import finding_in_words
from defects.words import Move
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Examination, Inspection, Limit, Reading
from inspections.verdicts.stored import finding_of
from inspections.words import QuantityCode

_DONE = (Move.WORK_DONE.value, Move.CLOSE.value, Move.MEASURE.value, Move.RETURN.value)


@dataclass(frozen=True)
class Visit:
    """A visit with its standing readings and what was looked at."""

    inspection: Inspection
    readings: list[Reading]
    examinations: list[Examination]


@dataclass(frozen=True)
class HandoverNote:
    """All that is recorded of one set of points from one day to another, both counted."""

    points: Points
    since: date
    until: date
    work: list[Event]
    fittings: list[Fitting]
    visits: list[Visit]
    limits: list[tuple[Limit, str]]  # each limit that judged a reading, in words
    open_defects: list[Defect]
    measures: list[Defect]
    misfits: list[Misfit]  # what does not suit as it is fitted, or needs work
    undecided: list[str]  # found and not raised, added or dismissed
    owing: Owing  # to be measured since the last change, whenever that was

    @property
    def nothing_measured(self) -> bool:
        return not any(visit.readings or visit.examinations for visit in self.visits)


def note_of(points: Points, since: date, until: date) -> HandoverNote:
    """The note of points read ``with_places()``; some seventeen queries however much was done, more
    where a verdict is stale."""
    first, last = _start(since), _end(until)
    defects = Defect.objects.filter(points=points).with_links()
    visits = _visits(points, first, last)
    return HandoverNote(
        points=points,
        since=since,
        until=until,
        work=list(_work(points, first, last)),
        fittings=list(_fittings(points, since, until)),
        visits=visits,
        limits=_limits(visits),
        open_defects=list(defects.open().most_urgent_first()),
        measures=list(defects.with_measure().order_by("number", "pk")),
        misfits=_misfits(points),
        undecided=_undecided(points),
        owing=owing_of([points], figures_in_force())[points.pk],
    )


def _start(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, datetime.min.time()))


def _end(day: date) -> datetime:
    return timezone.make_aware(datetime.combine(day, datetime.max.time()))


def _work(points: Points, first: datetime, last: datetime):
    events = Event.objects.filter(defect__points=points, move__in=_DONE, at__range=(first, last))
    return events.select_related("defect").in_time()


def _fittings(points: Points, since: date, until: date):
    days = (since, until)
    return (
        Fitting.objects.filter(position__points=points)
        .filter(Q(fitted_on__range=days) | Q(taken_out_on__range=days))
        .select_related("stretcher", "machine", "lost_motion_fitting", "position__points__location")
        .order_by("fitted_on", "order_on_day", "pk")
    )


def _visits(points: Points, first: datetime, last: datetime) -> list[Visit]:
    inspections = Inspection.objects.filter(points=points, at__range=(first, last))
    inspections = list(inspections.order_by("at", "pk"))
    links = ("inspection__points__location", "position", "stretcher")
    scopes = ("limit__rail_section", "limit__design", "limit__points__location")
    readings = Reading.objects.standing().filter(inspection__in=inspections, value__isnull=False)
    looks = Examination.objects.standing().filter(inspection__in=inspections)
    by_visit: dict[int, tuple[list, list]] = {one.pk: ([], []) for one in inspections}
    for reading in readings.select_related(*links, *scopes).order_by("quantity", "pk"):
        reading.words = finding_in_words(finding_of(reading))
        by_visit[reading.inspection_id][0].append(reading)
    for look in looks.select_related(*links).order_by("item", "pk"):
        look.words = finding_in_words(finding_of(look))
        by_visit[look.inspection_id][1].append(look)
    return [Visit(one, *by_visit[one.pk]) for one in inspections]


def _limits(visits: list[Visit]) -> list[tuple[Limit, str]]:
    """Each limit that judged something, once, in the order of the quantities."""
    limits = {r.limit_id: r.limit for visit in visits for r in visit.readings if r.limit}
    return [
        (limit, QUANTITIES[QuantityCode(limit.quantity)].limit_words(limit.minimum, limit.maximum))
        for limit in sorted(limits.values(), key=lambda limit: (limit.quantity, limit.pk))
    ]


def _misfits(points: Points) -> list[Misfit]:
    """As everything is fitted today, whatever the days of the note."""
    from config.points.misfits import misfits_at  # draws the arithmetic in

    return misfits_at([points.pk], timezone.localdate())


def _undecided(points: Points) -> list[str]:
    return [finding_in_words(found) for found in proposals.undecided(inspection__points=points)]
