"""Raising a defect: its routing, its number, and whether it is a repeat."""

from datetime import date, datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone

from assets.departments import Department, departments_of, name_of
from assets.models import Points
from assets.models.fittings import link_field
from defects.models import Defect
from defects.moves.event_log import Refused, acting_for, refuse_bad_fields, word_of, write
from defects.routing.repeats import last_of, repeat_of, standing_at
from defects.routing.routing import Routing, routing_of
from defects.routing.words import title_of
from defects.words import Move, Urgency
from inspections.catalogue.where import Where
from inspections.verdicts.finding import Finding, Found

_TITLE_LENGTH = Defect._meta.get_field("title").max_length


def found_by_hand(points: Points, found: Found, position=None, **about) -> Finding:
    """Something found at a place that somebody names, with no reading or examination behind it."""
    name = position.name if position else ""
    where = Where(points.pk, position and position.pk, exact=False, name=name)
    return Finding(found, where, **about)


@transaction.atomic
def raise_defect(
    finding: Finding,
    *,
    points: Points,
    at: datetime,
    user=None,
    by: str = "",
    title: str = "",
    description: str = "",
    remedy: str | None = None,
    urgency: Urgency | None = None,
    mends: Department | None = None,
    checks: Department | None = None,
    due_on: date | None = None,
    routing: Routing | None = None,
) -> Defect:
    """A new defect, with what is not said taken from the routing table.

    ``routing`` is the table's answer where it has been asked already. A repeat (the same found at
    the same place within a year) is linked to the last one and made one step more urgent, unless
    the urgency is given. ``user`` None is the program itself acting when asked (a register check);
    then ``by`` names it.
    """
    acting = acting_for(user)
    _refuse_outsider(user)
    _refuse_elsewhere(finding, points)
    route = routing or routing_of(finding)
    repeated, sooner = repeat_of(last_of(standing_at(points), finding), at, finding)
    if urgency is None:
        urgency = route.urgency.raised if sooner else route.urgency
    unrouted = "" if mends else route.note
    mends = mends or (route.mends if route.row else acting or Department.SIGNALLING)
    checks = checks or (route.checks if route.row else acting or mends)
    mends, checks = word_of(Department, mends, "mends"), word_of(Department, checks, "checks")
    urgency = word_of(Urgency, urgency, "urgency")
    defect = Defect(
        points=points,
        **_kept_of(finding),
        route=route.row,
        title=title.strip() or title_of(finding, route.title)[:_TITLE_LENGTH],
        description=description.strip(),
        remedy=(route.remedy if remedy is None else remedy).strip(),
        urgency=urgency.value,
        owner=mends.value,
        mends=mends.value,
        checks=checks.value,
        raised_at=at,
        raised_by=by or name_of(user),
        due_on=due_on or due_date(urgency, at),
        needs_cause=route.needs_cause,
        repeat_of=repeated,
    )
    refuse_bad_fields(defect)
    _number_and_save(defect)
    return _write_raising(defect, user, by, unrouted)


def _kept_of(finding: Finding) -> dict:
    """What a defect keeps of its finding."""
    where = finding.where
    return {
        **finding.found.columns,
        **finding.evidence,
        "position_id": where.position,
        "at_mm": where.at_mm,
        "side": where.side,
        "lie": where.lie,
        **({link_field(finding.part): finding.part} if finding.part is not None else {}),
    }


@transaction.atomic
def enter_raised(defect: Defect, finding: Finding, *, user, note: str = "") -> Defect:
    """Raises a defect with the number and details that a workbook has of it.

    Its route, and what it repeats unless that is given, are found as for any other. ``defect`` is
    unsaved; ``note`` goes into the event.
    """
    _refuse_outsider(user)
    _refuse_elsewhere(finding, defect.points)
    for name, value in _kept_of(finding).items():
        setattr(defect, name, value)
    defect.route = routing_of(finding).row
    if defect.repeat_of is None:
        last = last_of(standing_at(defect.points), finding)
        defect.repeat_of, _ = repeat_of(last, defect.raised_at, finding)
    refuse_bad_fields(defect)
    if Defect.objects.filter(number=defect.number).exists():
        raise Refused(f"There is already a defect {defect.number}.", "number")
    defect.save(force_insert=True)
    return _write_raising(defect, user, note=note)


def _refuse_outsider(user) -> None:
    if user is not None and not departments_of(user):
        raise Refused("Only signalling or permanent way may raise a defect.")


def _refuse_elsewhere(finding: Finding, points: Points) -> None:
    if finding.entry is not None and finding.where.points != points.pk:
        raise Refused(f"That was found at {finding.entry.inspection.points}, not at {points}.")
    position = finding.where.position
    if position is not None and not points.positions.filter(pk=position).exists():
        raise Refused(f"The {finding.where.name} is not a place of {points}.", "position")


def _write_raising(defect: Defect, user, by: str = "", note: str = "") -> Defect:
    """``note`` is what is to be said of raising it, such as that no table says who mends it."""
    said = {
        "reading": defect.reading,
        "examination": defect.examination,
        "other": defect.repeat_of,
    }
    return write(defect, Move.RAISE, user, defect.raised_at, note, by=by, said=said)


def due_date(urgency: Urgency, raised_at: datetime) -> date:
    """The day by which a defect of this urgency should be closed, on the railway's calendar."""
    return timezone.localtime(raised_at).date() + timedelta(days=Urgency(urgency).days)


def next_number() -> int:
    last = Defect.objects.order_by("-number").values_list("number", flat=True).first()
    return (last or 0) + 1


def _number_and_save(defect: Defect) -> None:
    """The next number, tried again where somebody took it between looking and saving."""
    while True:
        defect.number = next_number()
        try:
            with transaction.atomic():
                defect.save(force_insert=True)
            return
        except IntegrityError:
            if not Defect.objects.filter(number=defect.number).exists():
                raise
