"""What needs me today, by department."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby
from typing import Any

from django.db.models import Count, Q, QuerySet, Value, Window

from assets.departments import Department, Post, departments_of, posts_of
from assets.engineering.words import ServiceState
from assets.models import Points
from config.points import owed_kept
from defects import proposals
from defects.models import Defect, Judged, Misfit
from defects.routing.routing import routing_of, routing_table
from defects.routing.words import title_of
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import (
    Examination,
    Inspection,
    Limit,
    Outlook,
    Reaching,
    Reading,
    ToMeasure,
)
from inspections.upcoming import kept
from inspections.upcoming.due import Due, coming, with_points
from inspections.verdicts.finding import Finding
from inspections.verdicts.stored import finding_of
from inspections.words import QuantityCode

SHOWN = 8  # of a list whose rest is a step away; measures and points out of use show whole
DUE_WITHIN_DAYS = 21
REACHING_WITHIN_DAYS = 90
READ, SEEN = 0, 1  # what a find is: a reading out, or a thing seen defective


@dataclass(frozen=True)
class Queue:
    """The defects that wait for one department."""

    department: Department
    first: list[Defect]
    waiting: int
    overdue: int
    mine: bool

    @property
    def more(self) -> int:
        return self.waiting - len(self.first)


@dataclass(frozen=True)
class Finds:
    """What one visit found that nobody has raised or dismissed yet, in words."""

    visit: Inspection
    words: list[str]


@dataclass(frozen=True)
class Home:
    """All that the page shows; what does not concern the person is empty."""

    has_points: bool
    queues: list[Queue] = field(default_factory=list)
    finds: list[Finds] = field(default_factory=list)
    finds_more: int = 0
    owing: list[Outlook] = field(default_factory=list)  # the longest first
    owing_more: int = 0
    owing_not_followed: int = 0  # sets of points that changed, to be looked at the next time
    due: list[Due] = field(default_factory=list)
    due_more: int = 0
    reaching: list[Reaching] = field(default_factory=list)
    reaching_more: int = 0
    not_followed: int = 0  # sets of points that changed, to be looked at the next time
    to_measure: list[ToMeasure] = field(default_factory=list)  # the gravest of each set of points
    to_measure_more: int = 0
    not_calculated: int = 0  # sets of points that changed, to be calculated the next time
    misfits: list[Misfit] = field(default_factory=list)
    misfits_more: int = 0
    not_judged: int = 0  # sets of points that changed, to be judged the next time
    out_of_use: list[Points] = field(default_factory=list)
    measures: list[Defect] = field(default_factory=list)
    unconfirmed: list[tuple[Limit, str]] = field(default_factory=list)
    unconfirmed_more: int = 0


def home_of(user, today: date) -> Home:
    """The page of one person on one day; the number of queries does not grow with the register."""
    finds, finds_more = _finds()
    due = coming(today, within_days=DUE_WITHIN_DAYS)
    ahead = _ahead(today)
    reaching, reaching_more = _reaching(today)
    to_measure, to_measure_more = _to_measure(today)
    not_judged = _judge(today)
    misfits, misfits_more = _misfits()
    unconfirmed = _unconfirmed(today) if Post.ENGINEER in posts_of(user) else []
    home = Home(
        has_points=True,
        queues=_queues(user, today),
        finds=finds,
        finds_more=finds_more,
        **ahead,
        due=with_points(due[:SHOWN], today),
        due_more=max(0, len(due) - SHOWN),
        reaching=reaching,
        reaching_more=reaching_more,
        to_measure=to_measure,
        to_measure_more=to_measure_more,
        misfits=misfits,
        misfits_more=misfits_more,
        not_judged=not_judged,
        out_of_use=list(_out_of_use()),
        measures=list(_measures()),
        unconfirmed=unconfirmed[:SHOWN],
        unconfirmed_more=max(0, len(unconfirmed) - SHOWN),
    )
    # Where there is anything to do there are points; only an idle page has to ask.
    if home.due or home.out_of_use or home.finds or home.owing or Points.objects.exists():
        return home
    return Home(has_points=False)


def _queues(user, today: date) -> list[Queue]:
    """One queue per department, one's own first; who belongs to none sees both. Two queries."""
    mine = departments_of(user)
    shown = sorted(mine or Department, key=list(Department).index)
    counts = {
        row["owner"]: row
        for row in Defect.objects.open()
        .order_by()
        .values("owner")
        .annotate(waiting=Count("pk"), overdue=Count("pk", filter=Q(due_on__lt=today)))
    }
    first = _first_of_each(shown)
    none = {"waiting": 0, "overdue": 0}
    return [
        Queue(
            department=department,
            first=[defect for defect in first if defect.owner == department],
            waiting=counts.get(department.value, none)["waiting"],
            overdue=counts.get(department.value, none)["overdue"],
            mine=department in mine,
        )
        for department in shown
    ]


def _first_of_each(departments: list[Department]) -> list[Defect]:
    """The most urgent defects of each department; only those shown are read whole."""
    chosen = Q()
    for department in departments:
        queue = Defect.objects.owned_by(department).most_urgent_first()
        chosen |= Q(pk__in=queue.values("pk")[:SHOWN])
    return list(Defect.objects.filter(chosen).with_links().most_urgent_first())


def _finds() -> tuple[list[Finds], int]:
    """Visits with something out or defective that is not dealt with, the latest first, and how
    many more there are. Only those shown are read whole; two to four queries."""
    readings, looks = proposals.unhandled(Reading), proposals.unhandled(Examination)
    rows = _visits_of(readings, READ).union(_visits_of(looks, SEEN))
    kinds: dict[tuple, set[int]] = {}
    for at, visit, kind in rows:
        kinds.setdefault((at, visit), set()).add(kind)
    shown = sorted(kinds, reverse=True)[:SHOWN]
    visits, kinds_shown = [visit for _, visit in shown], set().union(*map(kinds.get, shown))
    entries = [*readings.filter(inspection__in=visits)] if READ in kinds_shown else []
    entries += looks.filter(inspection__in=visits) if SEEN in kinds_shown else ()
    table = routing_table() if SEEN in kinds_shown else {}
    found = [(entry.inspection, _in_words(finding_of(entry), table)) for entry in entries]
    found.sort(key=lambda pair: (pair[0].at, pair[0].pk), reverse=True)
    finds = [
        Finds(visit, [words for _, words in pairs])
        for visit, pairs in groupby(found, key=lambda pair: pair[0])
    ]
    return finds, len(kinds) - len(shown)


def _visits_of(found: QuerySet, kind: int) -> QuerySet:
    """When, at which visit and of which kind, nothing else read."""
    return found.order_by().values_list("inspection__at", "inspection", Value(kind))


def _in_words(finding: Finding, table: dict) -> str:
    return title_of(finding, routing_of(finding, table).title)


def _ahead(today: date) -> dict[str, Any]:
    """Where something is owed, once what lies ahead is kept up; one query if nothing changed."""
    left = {}
    found = owed_kept.first_owing_if_kept_up(today, SHOWN)
    if found is None:
        left = {"not_followed": kept.keep_up(today), "owing_not_followed": owed_kept.keep_up()}
        left["not_calculated"] = _calculate(today)
        found = owed_kept.first_owing(SHOWN)
    return {"owing": found[0], "owing_more": found[1], **left}


def _reaching(today: date) -> tuple[list[Reaching], int]:
    """The first places that may reach a limit, and how many more there are; one query."""
    rows = kept.reaching(today, REACHING_WITHIN_DAYS).annotate(whole=Window(Count("pk")))
    first = list(rows[:SHOWN])
    return first, max(0, first[0].whole - SHOWN) if first else 0


def _calculate(today: date) -> int:
    """Calculates switches where something changed; how many are left for the next time."""
    if not Outlook.objects.to_calculate(today).exists():
        return 0
    from config.points.to_measure import keep_up  # draws the arithmetic in

    return keep_up(today)


def _to_measure(today: date) -> tuple[list[ToMeasure], int]:
    """The gravest at the first sets of points, and how many more sets; one query."""
    rows = ToMeasure.objects.standing(today).first_of_each().select_related("points__location")
    first = list(rows.annotate(whole=Window(Count("pk")))[:SHOWN])
    return first, max(0, first[0].whole - SHOWN) if first else 0


def _judge(today: date) -> int:
    """Judges what is fitted where something changed; how many are left for the next time."""
    if not Judged.stale(today).exists():
        return 0
    from config.points.misfits import keep_up  # draws the arithmetic in

    return keep_up(today)


def _misfits() -> tuple[list[Misfit], int]:
    """The first of what does not suit as it is fitted, and how many more; one query."""
    rows = Misfit.objects.worst().with_links().annotate(whole=Window(Count("pk")))
    first = list(rows.in_walking_order()[:SHOWN])
    return first, max(0, first[0].whole - SHOWN) if first else 0


def _out_of_use() -> Iterable[Points]:
    return (
        Points.objects.filter(service_state=ServiceState.OUT_OF_USE.value)
        .select_related("location")
        .in_walking_order()
    )


def _measures() -> Iterable[Defect]:
    return Defect.objects.with_measure().with_links().most_urgent_first()


def _unconfirmed(today: date) -> list[tuple[Limit, str]]:
    """Limits in force that nobody has confirmed, each with its figures in words."""
    limits = Limit.objects.in_force(today).filter(confirmed_on__isnull=True)
    limits = limits.exclude(minimum__isnull=True, maximum__isnull=True)
    return [
        (limit, QUANTITIES[QuantityCode(limit.quantity)].limit_words(limit.minimum, limit.maximum))
        for limit in limits.select_related("rail_section", "design", "points__location")
    ]
