"""Raising a defect: its routing, its number, and whether it is a repeat."""

from datetime import date, datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils import timezone

from assets.departments import Department, departments_of, name_of
from assets.models import Points, Position
from assets.models.fittings import link_field
from defects.models import Defect
from defects.moves.event_log import Refused, acting_for, refuse_bad_fields, word_of, write
from defects.routing import routing
from defects.words import Move, Urgency
from inspections.models import Examination, Reading
from inspections.models.visits import SAME_PLACE_MM

REPEAT_WITHIN = timedelta(days=365)


@transaction.atomic
def raise_defect(
    *,
    points: Points,
    at: datetime,
    user=None,
    by: str = "",
    title: str = "",
    found: str = "",
    reading: Reading | None = None,
    examination: Examination | None = None,
    position: Position | None = None,
    part=None,
    description: str = "",
    remedy: str | None = None,
    urgency: Urgency | None = None,
    mends: Department | None = None,
    checks: Department | None = None,
    due_on: date | None = None,
    table: dict | None = None,
) -> Defect:
    """A new defect, with what is not said taken from the routing table.

    A repeat (the same found at the same place within a year) is linked to the last one and made
    one step more urgent, unless the urgency is given. ``user`` None is the program itself acting
    when asked (a register check); then ``by`` names it.
    """
    acting = acting_for(user)
    finding = reading or examination
    if position is None and finding is not None:
        position = finding.position
    _refuse_outsider_or_elsewhere(user, points, position, finding)
    found = found or _found(reading, examination)
    route = routing.route_for(found, table)
    last = last_of(standing_at(points), position, found, reading)
    repeated, sooner = repeat_of(last, at, reading)
    if urgency is None:
        usual = route.urgency.raised if sooner else route.urgency
        urgency = routing.urgency_with(usual, reading)
    unrouted = "" if mends else route.note
    mends = mends or (route.mends if route.row else acting or Department.SIGNALLING)
    checks = checks or (route.checks if route.row else acting or mends)
    mends, checks = word_of(Department, mends, "mends"), word_of(Department, checks, "checks")
    urgency = word_of(Urgency, urgency, "urgency")
    defect = Defect(
        points=points,
        position=position,
        route=route.row,
        found=found,
        reading=reading,
        examination=examination,
        title=(title or _usual_title(route, position)).strip(),
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
        **({link_field(part): part} if part is not None else {}),
    )
    refuse_bad_fields(defect)
    _number_and_save(defect)
    return _write_raising(defect, user, by, unrouted)


@transaction.atomic
def enter_raised(defect: Defect, *, user, note: str = "") -> Defect:
    """Raises a defect with the number and details that a workbook has of it.

    Its route, and what it repeats unless that is given, are found as for any other. ``defect`` is
    unsaved; ``note`` goes into the event.
    """
    finding = defect.reading or defect.examination
    _refuse_outsider_or_elsewhere(user, defect.points, defect.position, finding)
    defect.found = defect.found or _found(defect.reading, defect.examination)
    defect.route = routing.route_for(defect.found).row
    if defect.repeat_of is None:
        last = last_of(standing_at(defect.points), defect.position, defect.found, defect.reading)
        defect.repeat_of, _ = repeat_of(last, defect.raised_at, defect.reading)
    refuse_bad_fields(defect)
    if Defect.objects.filter(number=defect.number).exists():
        raise Refused(f"There is already a defect {defect.number}.", "number")
    defect.save(force_insert=True)
    return _write_raising(defect, user, note=note)


def _refuse_outsider_or_elsewhere(user, points: Points, position, finding) -> None:
    if user is not None and not departments_of(user):
        raise Refused("Only signalling or permanent way may raise a defect.")
    if finding is not None and finding.inspection.points_id != points.pk:
        raise Refused(f"That was found at {finding.inspection.points}, not at {points}.")
    if position is not None and position.points_id != points.pk:
        raise Refused(f"{position} is not a place of {points}.", "position")


def _write_raising(defect: Defect, user, by: str = "", note: str = "") -> Defect:
    """``note`` is what is to be said of raising it, such as that no table says who mends it."""
    said = {
        "reading": defect.reading,
        "examination": defect.examination,
        "other": defect.repeat_of,
    }
    return write(defect, Move.RAISE, user, defect.raised_at, note, by=by, said=said)


def _found(reading: Reading | None, examination: Examination | None) -> str:
    if reading is not None:
        return routing.found_in_reading(reading)
    return routing.item_code(examination.item) if examination is not None else ""


def _usual_title(route: routing.Routing, position: Position | None) -> str:
    where = f" at the {position.name}" if route.title and position else ""
    return f"{route.title}{where}"


def due_date(urgency: Urgency, raised_at: datetime) -> date:
    """The day by which a defect of this urgency should be closed, on the railway's calendar."""
    return timezone.localtime(raised_at).date() + timedelta(days=Urgency(urgency).days)


def standing_at(points: Points) -> list[Defect]:
    """The points' defects but those raised in error, with their readings, last first; one query."""
    standing = Defect.objects.standing().filter(points=points)
    return list(standing.select_related("reading").order_by("-number", "-pk"))


def last_of(
    among: list[Defect],
    position: Position | None,
    found: str,
    reading: Reading | None = None,
) -> Defect | None:
    """The last of these defects with the same found at the same place, open or closed."""
    base = found.removesuffix(routing.GAUGE_OUT)
    for defect in among:
        same = (
            base
            and defect.found.removesuffix(routing.GAUGE_OUT) == base
            and defect.position_id == (position.pk if position else None)
        )
        if same and (reading is None or _same_place(defect.reading, reading)):
            return defect
    return None


def _same_place(first: Reading | None, again: Reading) -> bool:
    """Side, lie and distance agree; a defect raised by hand names none and matches all."""
    if first is None:
        return True
    if (first.side, first.lie) != (again.side, again.lie):
        return False
    if first.at_mm is None or again.at_mm is None:
        return first.at_mm == again.at_mm
    return abs(first.at_mm - again.at_mm) <= SAME_PLACE_MM


def repeat_of(
    last: Defect | None, at: datetime, reading: Reading | None
) -> tuple[Defect | None, bool]:
    """What is repeated, and whether within a year, which makes it a step more urgent.

    A reading out again is always linked to the last time; other findings within a year.
    """
    if last is None:
        return None, False
    within = at - (last.closed_at or last.raised_at) <= REPEAT_WITHIN
    return (last if within or reading is not None else None), within


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
