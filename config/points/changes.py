"""What was changed at sets of points, what is owed since, and which readings are from before.

The facts come from all three apps: parts fitted and taken out, work done on defects, and visits
made after work that is recorded nowhere else. ``inspections.upcoming.owed`` decides.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from django.db.models import QuerySet
from django.utils import timezone

from assets.days import day
from assets.departments import Department
from assets.engineering.assumed import Assumed
from assets.models import Fitting, Points
from assets.models.fittings import PART_FIELDS
from config.points.owed_words import Place, by_place
from defects.models import Event
from defects.words import Check, Move
from inspections.catalogue.rod_places import RodPlace, gap_at
from inspections.catalogue.spots import spots_of
from inspections.catalogue.trials import Trials
from inspections.models import Inspection, Reading
from inspections.models.regimes import trials_in_force
from inspections.upcoming.owed import (
    ASKED_AGAIN,
    Asked,
    Change,
    Done,
    Owed,
    Taken,
    outdated,
    owed,
    told_by_visits,
)
from inspections.words import WHOLE_VISITS, ItemCode, QuantityCode, SubjectKind

# Work on these moves no rail and turns no nut.
LEAVES_THE_SETTING = {
    (SubjectKind.EXAMINED.value, ItemCode.BALLAST.value),
    (SubjectKind.EXAMINED.value, ItemCode.GREASING.value),
    (SubjectKind.EXAMINED.value, ItemCode.METAL_TOUCHING.value),
    (SubjectKind.CHECK.value, Check.INSPECTION_OVERDUE.value),
}


@dataclass(frozen=True)
class Owing:
    """What was changed at one set of points, and what is to be measured since."""

    points: Points
    changes: tuple[Change, ...]  # in order of their days
    owed: tuple[Owed, ...]
    assumed: Assumed

    @property
    def last(self) -> Change | None:
        """The last change that something is owed since."""
        return max((one.change for one in self.owed), key=lambda change: change.on, default=None)

    @property
    def by(self) -> date | None:
        """The first last day for a second torque; None while the first is not read."""
        return min((one.by for one in self.owed if one.again and one.by), default=None)

    @property
    def places(self) -> list[Place]:
        """What is owed in words, place by place."""
        return by_place(self.points, self.owed)

    @property
    def has_lock(self) -> bool:
        return any(position.order == 0 for position in self.points.positions.all())

    @property
    def same_day(self) -> bool:
        return any(one.same_day for one in self.owed)

    @property
    def again_within(self) -> str:
        """How soon torque is read again: "14 days (assumed)"."""
        return self.assumed.told("torque_again_days")

    def before_work(self, reading: Reading) -> str:
        """What is said beside a reading from before the last change, else ""."""
        return _outdated(self.changes, reading.inspection, reading.quantity, reading.position_id)


def switch_before_work(changes: Sequence[Change], visit: Inspection) -> str:
    """What is said of the shape of the switch as a visit read it, if from before work; else ""."""
    return _outdated(changes, visit, QuantityCode.FWC.value)


def _outdated(
    changes: Sequence[Change], visit: Inspection, quantity: str, place: int | None = None
) -> str:
    if not changes:
        return ""
    return outdated(changes, Taken(quantity, place, "", "", *_when(visit.at, visit.reason)))


def owing_of(
    all_points: list[Points], assumed: Assumed, story: list[Fitting] | None = None
) -> dict[int, Owing]:
    """What is owed at each of these points, read ``with_places()``; five queries, however many.

    ``story`` is every fitting there ever was, where that has been read already.
    """
    changes = changes_of_each(all_points, assumed, story)
    taken = _taken_since(changes)
    trials = trials_in_force()
    return {
        points.pk: Owing(
            points,
            changes[points.pk],
            owed(
                _asked_of(points, trials),
                changes[points.pk],
                taken[points.pk],
                int(assumed.torque_again_days),
            ),
            assumed,
        )
        for points in all_points
    }


def changes_of_each(
    all_points: list[Points], assumed: Assumed, story: list[Fitting] | None = None
) -> dict[int, tuple[Change, ...]]:
    """By points: what was changed, in order of the days; three queries, however many."""
    recorded = _by_fitting(_fittings(all_points) if story is None else story)
    for pk, change in _by_work(all_points):
        recorded[pk].append(change)
    told = _by_visit(all_points)
    days = int(assumed.torque_again_days)
    return {
        points.pk: _in_order(recorded[points.pk], told[points.pk], days) for points in all_points
    }


def _in_order(recorded: list[Change], visits: list[Change], days: int) -> tuple[Change, ...]:
    found = [*recorded, *told_by_visits(visits, recorded, days)]
    return tuple(sorted(found, key=lambda change: change.on))


def _fittings(all_points: list[Points]) -> QuerySet[Fitting]:
    return (
        Fitting.objects.filter(position__points__in=all_points)
        .exclude(found_fitted=True, taken_out_on__isnull=True)
        .select_related(*PART_FIELDS, "position")
    )


def _by_fitting(fittings: Iterable[Fitting]) -> dict[int, list[Change]]:
    """By points: parts fitted and taken out. A part that was only found there changed nothing."""
    found: dict[int, list[Change]] = defaultdict(list)
    for fitting in sorted(fittings, key=lambda fitting: (fitting.fitted_on, fitting.pk)):
        what = Done.ROD if fitting.stretcher_id else Done.DRIVE
        place, name = frozenset({fitting.position_id}), fitting.position.name
        changes = found[fitting.position.points_id]
        if fitting.taken_out_on is not None:
            words = f"{fitting.part} taken out at the {name}"
            changes.append(Change(what, fitting.taken_out_on, places=place, words=words))
        if not fitting.found_fitted:
            words = f"{fitting.part} fitted at the {name}"
            changes.append(Change(what, fitting.fitted_on, places=place, words=words))
    return found


def _by_work(all_points: list[Points]) -> Iterable[tuple[int, Change]]:
    """Work done on defects, also where it did not help; one query.

    What permanent way repairs may move a stretcher, but it undoes none.
    """
    events = Event.objects.filter(move=Move.WORK_DONE.value, defect__points__in=all_points)
    for event in events.select_related("defect").order_by("done_at", "pk"):
        defect = event.defect
        if (defect.subject_kind, defect.subject) in LEAVES_THE_SETTING:
            continue
        on_a_rod = defect.mends == Department.SIGNALLING
        places = frozenset({defect.position_id} - {None}) if on_a_rod else frozenset()
        words = f"work on defect {defect.number}: {defect.title}"
        on = timezone.localdate(event.done_at)
        yield defect.points_id, Change(Done.WORK, on, event.done_at, places, words)


def _by_visit(all_points: list[Points]) -> dict[int, list[Change]]:
    """Visits after work, at the places they read; one query.

    One that read nothing but torque only reads the fixings again.
    """
    rows = (
        Inspection.objects.filter(points__in=all_points)
        .exclude(reason__in=WHOLE_VISITS)
        .order_by("at", "pk")
        .values_list("pk", "points", "at", "readings__quantity", "readings__position")
    )
    visits: dict[int, tuple[int, datetime, set, set]] = {}
    for pk, points, at, quantity, position in rows:
        _, _, quantities, places = visits.setdefault(pk, (points, at, set(), set()))
        quantities.add(quantity)
        places.add(position)
    found: dict[int, list[Change]] = defaultdict(list)
    for points, at, quantities, places in visits.values():
        if quantities != {QuantityCode.TORQUE.value}:
            words = f"work that the visit of {day(at)} was made after"
            change = Change(
                Done.WORK, timezone.localdate(at), at, frozenset(places - {None}), words
            )
            found[points].append(change)
    return found


def _taken_since(changes: dict[int, tuple[Change, ...]]) -> dict[int, list[Taken]]:
    """By points: readings of what is asked again, since the first change that counts; one query."""
    found: dict[int, list[Taken]] = defaultdict(list)
    first = min((change.on for each in changes.values() for change in each), default=None)
    if first is None:
        return found
    readings = Reading.objects.taken().filter(
        inspection__points__in=[pk for pk, each in changes.items() if each],
        inspection__at__gte=timezone.make_aware(datetime.combine(first, time())),
        quantity__in=[quantity.value for quantity in ASKED_AGAIN],
        at_mm__isnull=True,
    )
    rows = readings.values_list(
        "inspection__points", "inspection__at", "inspection__reason",
        "quantity", "position", "side", "lie",
    )  # fmt: skip
    visits: dict[tuple, tuple] = {}  # readings come by the visit, so its day is worked out once
    for points, at, reason, *spot in rows:
        when = visits.get((at, reason)) or visits.setdefault((at, reason), _when(at, reason))
        found[points].append(Taken(*spot, *when))
    return found


def _when(at: datetime, reason: str) -> tuple[datetime, date, bool]:
    """Of a visit: its time, its day on the railway's calendar, and whether it was after work."""
    return at, timezone.localdate(at), reason not in WHOLE_VISITS


def _asked_of(points: Points, trials: Trials) -> list[Asked]:
    """What is asked again here, from the toe; insulation only where it may matter."""
    asked = []
    for spot in spots_of(points, _rod_places(points), trials):
        code = spot.quantity.code
        if code not in ASKED_AGAIN or spot.between:
            continue
        insulation = code == QuantityCode.INSULATION_RESISTANCE
        if insulation and points.track_circuited is False:
            continue
        certain = not insulation or points.track_circuited is True
        where = spot.where
        asked.append(Asked(code.value, where.position, where.side, where.lie, certain))
    return asked


def _rod_places(points: Points) -> list[RodPlace]:
    from assets.switch_facts import shape_of  # numpy waits until it is needed

    shape = shape_of(points).shape
    return [
        RodPlace(
            points,
            position,
            next((f.stretcher for f in position.current_fittings if f.stretcher_id), None),
            gap_at(position, shape),
        )
        for position in points.positions.all()
    ]
