"""From what a visit found out of limits or defective to defects that a person confirms.

Nothing found is lost: it stays in ``unhandled_readings`` and ``unhandled_examinations`` until it
is raised, added to an open defect as found again, or dismissed with a reason.
"""

from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.db.models import Exists, OuterRef, QuerySet

from assets.departments import departments_of, name_of
from defects.models import Defect, Dismissal, Event
from defects.moves import moves
from defects.moves.event_log import account_of
from defects.routing.repeats import last_of, repeat_of, standing_at
from defects.routing.routing import Routing, routing_of, routing_table
from defects.routing.words import title_of
from defects.words import State, Urgency
from inspections.models import Examination, Inspection, Reading
from inspections.verdicts.finding import Finding
from inspections.verdicts.stored import finding_of
from inspections.words import QuantityCode


@dataclass(frozen=True)
class Proposal:
    """A defect as it would be raised from one finding; ``open_defect`` is there already."""

    finding: Finding
    routing: Routing
    urgency: Urgency
    open_defect: Defect | None = None
    repeat_of: Defect | None = None

    @property
    def title(self) -> str:
        words = title_of(self.finding, self.routing.title)
        return words[: Defect._meta.get_field("title").max_length]

    @property
    def key(self) -> str:
        """The name of its part of a form: "r12" or "e5"."""
        return f"{'r' if self.finding.is_measured else 'e'}{self.finding.entry.pk}"


def unhandled(entries: type[Reading] | type[Examination]) -> QuerySet:
    """Readings out of limits, or things found defective, that nobody has raised, added to a defect
    or dismissed. A defect raised in error does not deal with what was found, nor do its events."""
    this = {entries._meta.model_name: OuterRef("pk")}
    wrong = entries.objects.standing().out()
    return wrong.filter(
        ~Exists(Defect.objects.standing().filter(**this)),
        ~Exists(Event.objects.filter(**this).exclude(defect__state=State.IN_ERROR.value)),
        ~Exists(Dismissal.objects.filter(**this)),
    ).select_related(
        "inspection__points__location",
        "position",
        "stretcher",
        *(["limit"] if entries is Reading else []),
    )


def undecided(**where) -> list[Finding]:
    """What was found and is not dealt with, at some points or visits; two queries."""
    entries = [*unhandled(Reading).filter(**where), *unhandled(Examination).filter(**where)]
    return [finding_of(entry) for entry in entries]


def proposals_for(inspection: Inspection) -> list[Proposal]:
    """What this visit found that is not dealt with, worst first; five queries."""
    gauge_out = _gauge_is_out(inspection)
    wrong = [*unhandled(Reading).filter(inspection=inspection)]
    wrong += unhandled(Examination).filter(inspection=inspection)
    table = routing_table() if wrong else {}
    before = standing_at(inspection.points) if wrong else []
    found = [finding_of(entry, gauge_out) for entry in wrong]
    proposals = [_proposal(finding, table, before, inspection.at) for finding in found]
    return sorted(proposals, key=lambda p: (list(Urgency).index(p.urgency), p.key))


def _gauge_is_out(inspection: Inspection) -> bool:
    """Whether the track gauge was out at this visit; one query."""
    gauges = Reading.objects.standing().out().filter(quantity=QuantityCode.TRACK_GAUGE.value)
    return gauges.filter(inspection=inspection).exists()


def _proposal(finding: Finding, table: dict, before: list[Defect], at: datetime) -> Proposal:
    """With the defect that is open at the place already, or the one that this repeats."""
    routing = routing_of(finding, table)
    proposal = Proposal(finding, routing, routing.urgency)
    last = last_of(before, finding)
    if last is None:
        return proposal
    if last.is_open:
        return replace(proposal, open_defect=last)
    repeated, sooner = repeat_of(last, at, finding)
    urgency = routing.urgency.raised if sooner else routing.urgency
    return replace(proposal, repeat_of=repeated, urgency=urgency)


def claim(inspection: Inspection, proposals: list[Proposal]) -> None:
    """Inside a transaction: nobody else decides of this visit now, nor has decided meanwhile."""
    Inspection.objects.select_for_update().get(pk=inspection.pk)
    left = {
        entries: set(unhandled(entries).filter(inspection=inspection).values_list("pk", flat=True))
        for entries in (Reading, Examination)
    }
    for proposal in proposals:
        entry = proposal.finding.entry
        if entry.pk not in left[type(entry)]:
            raise moves.Refused(f"Someone else has already dealt with this: {proposal.title}.")


def confirm(proposal: Proposal, *, user, at: datetime, **details) -> Defect:
    """Raises the proposed defect; ``details`` (title, urgency, mends, remedy ...) go first."""
    finding = proposal.finding
    values = {
        "title": proposal.title,
        "urgency": proposal.urgency,
        "description": "" if finding.is_measured else finding.reason,
        **details,
    }
    return moves.raise_defect(
        finding,
        points=finding.entry.inspection.points,
        routing=proposal.routing,
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
        **proposal.finding.evidence,
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
