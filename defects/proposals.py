"""From what a visit found out of limits or defective to defects that a person confirms.

Nothing found is lost: it stays in ``unhandled_readings`` and ``unhandled_examinations`` until it
is raised, added to an open defect as found again, or dismissed with a reason.
"""

from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet

from assets.departments import departments_of, name_of
from assets.models import Position
from defects.models import Defect, Dismissal, Event
from defects.moves import moves
from defects.moves.event_log import account_of
from defects.moves.raising import last_of, repeat_of, standing_at
from defects.routing import routing
from defects.routing.routing import Routing
from defects.routing.words import examination_in_words, reading_in_words
from defects.words import State, Urgency
from inspections.models import Examination, Inspection, Reading
from inspections.words import ItemCode, QuantityCode

# What belongs to the rod itself, and goes with it when it is moved.
OF_THE_ROD = {
    QuantityCode.TORQUE.value,
    ItemCode.GOOSENECK_CRACK.value,
    ItemCode.SHOE_CRACK.value,
    ItemCode.WELD.value,
    ItemCode.RUBBER_BUSH.value,
    ItemCode.INSULATION_PLATES.value,
    ItemCode.CAPTIVE_NUT.value,
    ItemCode.LOCK_NUTS.value,
    ItemCode.FIXINGS.value,
}


@dataclass(frozen=True)
class Proposal:
    """A defect as it would be raised from one finding; ``open_defect`` is there already."""

    finding: Reading | Examination
    routing: Routing
    title: str
    urgency: str
    open_defect: Defect | None = None
    repeat_of: Defect | None = None

    @property
    def reading(self) -> Reading | None:
        return self.finding if isinstance(self.finding, Reading) else None

    @property
    def examination(self) -> Examination | None:
        return self.finding if isinstance(self.finding, Examination) else None

    @property
    def key(self) -> str:
        """The name of its part of a form: "r12" or "e5"."""
        return f"{'r' if self.reading else 'e'}{self.finding.pk}"

    @property
    def position(self) -> Position | None:
        return self.finding.position

    @property
    def part(self):
        """The rod, where the fault is the rod's own."""
        code = self.reading.quantity if self.reading else self.examination.item
        return self.finding.stretcher if code in OF_THE_ROD else None


def unhandled_readings() -> QuerySet[Reading]:
    """Readings out of limits that nobody has raised, added to a defect or dismissed."""
    return _unhandled(Reading.objects.standing().out(), "reading")


def unhandled_examinations() -> QuerySet[Examination]:
    """Things found defective that nobody has raised, added to a defect or dismissed."""
    return _unhandled(Examination.objects.standing().defective(), "examination")


def _unhandled(found: QuerySet, field: str) -> QuerySet:
    """A defect raised in error does not deal with what was found, nor do its events."""
    this = {field: OuterRef("pk")}
    return found.filter(
        ~Exists(Defect.objects.standing().filter(**this)),
        ~Exists(Event.objects.filter(**this).exclude(defect__state=State.IN_ERROR.value)),
        ~Exists(Dismissal.objects.filter(**this)),
    ).select_related("inspection__points__location", "position", "stretcher")


def proposals_for(inspection: Inspection) -> list[Proposal]:
    """What this visit found that is not dealt with, worst first; five queries."""
    table = routing.routing_table()
    readings = unhandled_readings().filter(inspection=inspection).select_related("limit")
    looks = unhandled_examinations().filter(inspection=inspection)
    gauge_out = routing.gauge_is_out(inspection)
    found = [
        *(_of_reading(r, routing.route_for_reading(r, gauge_out, table)) for r in readings),
        *(_of_examination(e, routing.route_for_examination(e, table)) for e in looks),
    ]
    before = standing_at(inspection.points) if found else []
    proposals = [_with_history(proposal, before, inspection.at) for proposal in found]
    return sorted(proposals, key=lambda p: (_worst_first(p), p.key))


def _worst_first(proposal: Proposal) -> int:
    return list(type(proposal.routing.urgency)).index(proposal.urgency)


def _of_reading(reading: Reading, route: Routing) -> Proposal:
    return Proposal(reading, route, _title(reading_in_words(reading)), route.urgency)


def _of_examination(examination: Examination, route: Routing) -> Proposal:
    title = _title(examination_in_words(examination, route))
    return Proposal(examination, route, title, route.urgency)


def _title(words: str) -> str:
    return words[: Defect._meta.get_field("title").max_length]


def _with_history(proposal: Proposal, before: list[Defect], at: datetime) -> Proposal:
    """With the defect that is open at the place already, or the one that this repeats."""
    last = last_of(before, proposal.position, proposal.routing.found, proposal.reading)
    if last is None:
        return proposal
    if last.is_open:
        return replace(proposal, open_defect=last)
    repeated, sooner = repeat_of(last, at, proposal.reading)
    urgency = proposal.routing.urgency.raised if sooner else proposal.urgency
    return replace(proposal, repeat_of=repeated, urgency=urgency)


def claim(inspection: Inspection, proposals: list[Proposal]) -> None:
    """Inside a transaction: nobody else decides of this visit now, nor has decided meanwhile."""
    Inspection.objects.select_for_update().get(pk=inspection.pk)
    readings = set(unhandled_readings().filter(inspection=inspection).values_list("pk", flat=True))
    looks = set(unhandled_examinations().filter(inspection=inspection).values_list("pk", flat=True))
    for proposal in proposals:
        if proposal.finding.pk not in (readings if proposal.reading else looks):
            raise moves.Refused(f"Someone else has already dealt with this: {proposal.title}.")


def confirm(proposal: Proposal, *, user, at: datetime, **details) -> Defect:
    """Raises the proposed defect; ``details`` (title, urgency, mends, remedy ...) go first."""
    values = {
        "title": proposal.title,
        "urgency": proposal.urgency,
        "found": proposal.routing.found,
        "description": getattr(proposal.finding, "note", ""),
        "part": proposal.part,
        **details,
    }
    return moves.raise_defect(
        points=proposal.finding.inspection.points,
        reading=proposal.reading,
        examination=proposal.examination,
        user=user,
        at=at,
        **values,
    )


def add_to_open(proposal: Proposal, *, user, at: datetime) -> Defect:
    """Adds the finding to the defect that is open at the place: found again."""
    return moves.measured_again(
        Defect.objects.get(pk=proposal.open_defect.pk),
        user=user,
        at=at,
        reading=proposal.reading,
        examination=proposal.examination,
        urgency=Urgency(proposal.urgency),
    )


@transaction.atomic
def dismiss(finding: Reading | Examination, *, user, at: datetime, reason: str) -> Dismissal:
    """Not raised, for a reason that stays; either department may."""
    if not departments_of(user):
        raise moves.Refused("Only signalling or permanent way may dismiss a finding.")
    reason = reason.strip()
    if not reason:
        raise moves.Refused("Say why no defect is raised.", "reason")
    if len(reason) > 300:
        raise moves.Refused("Give the reason in 300 characters at most.", "reason")
    field = "reading" if isinstance(finding, Reading) else "examination"
    if Dismissal.objects.filter(**{field: finding}).exists():
        raise moves.Refused("Someone else has already dismissed this.")
    return Dismissal.objects.create(
        **{field: finding}, reason=reason, by=name_of(user), user=account_of(user), at=at
    )
