"""The home page: what needs me today, by department. And the guide."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from django.db.models import Count, Q
from django.shortcuts import render
from django.utils import timezone

from assets.departments import Department, Post, departments_of, posts_of
from assets.engineering.words import ServiceState
from assets.models import Points
from defects import proposals
from defects.models import Defect
from defects.routing import route_for_examination, routing_table
from inspections.catalogue import ITEMS, QUANTITIES
from inspections.due import Due, due_list
from inspections.histories import Followed, reaching_limit
from inspections.models import Inspection, Limit
from inspections.words import QuantityCode

SHOWN = 8  # of a list whose rest is a step away; measures and points out of use show whole
DUE_WITHIN_DAYS = 21
REACHING_WITHIN_DAYS = 90


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
    due: list[Due] = field(default_factory=list)
    due_more: int = 0
    reaching: list[Followed] = field(default_factory=list)
    reaching_more: int = 0
    out_of_use: list[Points] = field(default_factory=list)
    measures: list[Defect] = field(default_factory=list)
    unconfirmed: list[tuple[Limit, str]] = field(default_factory=list)
    unconfirmed_more: int = 0


def home(request):
    today = timezone.localdate()
    given = {"home": home_of(request.user, today), "today": today, "due_within": DUE_WITHIN_DAYS}
    given["reaching_within"] = REACHING_WITHIN_DAYS
    return render(request, "config/home.html", given)


def home_of(user, today: date) -> Home:
    """The page of one person on one day; the number of queries does not grow with the register."""
    if not Points.objects.exists():
        return Home(has_points=False)
    finds = _finds()
    coming = due_list(today, within_days=DUE_WITHIN_DAYS)
    reaching = reaching_limit(today, within_days=REACHING_WITHIN_DAYS)
    unconfirmed = _unconfirmed(today) if Post.ENGINEER in posts_of(user) else []
    return Home(
        has_points=True,
        queues=_queues(user, today),
        finds=finds[:SHOWN],
        finds_more=max(0, len(finds) - SHOWN),
        due=coming[:SHOWN],
        due_more=max(0, len(coming) - SHOWN),
        reaching=reaching[:SHOWN],
        reaching_more=max(0, len(reaching) - SHOWN),
        out_of_use=list(_out_of_use()),
        measures=list(_measures()),
        unconfirmed=unconfirmed[:SHOWN],
        unconfirmed_more=max(0, len(unconfirmed) - SHOWN),
    )


def _queues(user, today: date) -> list[Queue]:
    """One queue per department, one's own first; who belongs to none sees both."""
    mine = departments_of(user)
    counts = {
        row["owner"]: row
        for row in Defect.objects.open()
        .order_by()
        .values("owner")
        .annotate(waiting=Count("pk"), overdue=Count("pk", filter=Q(due_on__lt=today)))
    }
    none = {"waiting": 0, "overdue": 0}
    return [
        Queue(
            department=department,
            first=list(
                Defect.objects.owned_by(department).with_links().most_urgent_first()[:SHOWN]
            ),
            waiting=counts.get(department.value, none)["waiting"],
            overdue=counts.get(department.value, none)["overdue"],
            mine=department in mine,
        )
        for department in sorted(Department, key=lambda d: d not in mine)
        if department in mine or not mine
    ]


def _finds() -> list[Finds]:
    """Visits with something out or defective that is not dealt with, the latest first."""
    readings = proposals.unhandled_readings().select_related("limit")
    looks = proposals.unhandled_examinations()
    table = routing_table()
    found = [(r.inspection, proposals.reading_in_words(r)) for r in readings]
    found += [
        (e.inspection, proposals.examination_in_words(e, route_for_examination(e, table)))
        for e in looks
    ]
    found.sort(key=lambda pair: (pair[0].at, pair[0].pk), reverse=True)
    return [
        Finds(visit, [words for _, words in pairs])
        for visit, pairs in groupby(found, key=lambda pair: pair[0])
    ]


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


def guide(request):
    """Words of the trade, rules of thumb with their sources, how each thing is measured."""
    given = {
        "section": "guide",
        "quantities": QUANTITIES.values(),
        "items": ITEMS.values(),
    }
    return render(request, "config/guide.html", given)
