"""What is wrong by the register alone: found without going there, raised only when asked.

The rules are those of suitability, asked of what is fitted. What cannot be said is told as that,
with what to go and look at, and is never raised as a defect.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from assets.days import day
from assets.engineering.facts import PlaceFacts, PointsFacts, PositionFacts
from assets.engineering.suitability import Answer, Outcome, assess
from assets.engineering.suitability.facing_lock import facing_lock
from assets.engineering.suitability.number import FEWEST_STRETCHERS
from assets.engineering.words import InsulationSide, Role
from assets.models import Points, Position, Stretcher
from config.points.reader import facts_of
from config.suiting.suits import standing_points
from defects import proposals
from defects.closing.proofs import CRACKS
from defects.models import Defect
from defects.moves import moves
from defects.moves.raising import found_by_hand
from defects.routing.repeats import last_of
from defects.routing.routing import found_by_check, routing_of, routing_table
from defects.words import Check
from inspections.models import Examination
from inspections.upcoming.due import due_list
from inspections.verdicts.finding import Finding, Subject
from inspections.words import SubjectKind

ASKER = "Register check"


@dataclass(frozen=True)
class Checked:
    """One thing wrong, or (``certain`` False) one that cannot be said until somebody looks."""

    check: Check
    points: Points
    reason: str
    position: Position | None = None
    stretcher: Stretcher | None = None
    certain: bool = True
    open_defect: Defect | None = None

    @property
    def finding(self) -> Finding:
        return found_by_hand(
            self.points,
            found_by_check(self.check),
            self.position,
            part=self.stretcher,
            reason=self.reason,
            certain=self.certain,
        )

    @property
    def key(self) -> str:
        """Names it on a form: "kicker_missing 12 40"."""
        return f"{self.check} {self.points.pk} {self.position.pk if self.position else ''}".strip()


def check_register(at: datetime, points: Iterable[Points] | None = None) -> list[Checked]:
    """Everything found at these points (default: all not lifted), in walking order.

    ``points`` must be read with ``Points.objects.with_places()``. Thirteen queries, however many.
    """
    points = list(standing_points() if points is None else points)
    overdue = _inspections(at, [these.pk for these in points])
    cracked = _open_cracks()
    found = [
        one
        for these, facts in zip(points, facts_of(points, timezone.localdate(at)), strict=True)
        for one in (
            *_by_the_rules(these, facts),
            *overdue.get(these.pk, ()),
            *_cracked(these, cracked),
        )
    ]
    return _with_open_defects(found)


# --- what is fitted --------------------------------------------------------------------------

# The rules of suitability that have a check of their own.
_ROD_RULES = {
    "kicker": Check.KICKER_MISSING,
    "left shoe": Check.SHOE_NOT_RAIL,
    "right shoe": Check.SHOE_NOT_RAIL,
}

# Stretchers insulated on different sides are one fault of the points, and short the circuit.
_SAID_OF_THE_POINTS = frozenset({"insulation side", "continuity"})


def _by_the_rules(points: Points, facts: PointsFacts) -> list[Checked]:
    sides = _insulation(points, facts)
    said = _SAID_OF_THE_POINTS if any(one.certain for one in sides) else frozenset()
    found = [*sides, *_number(points, facts), *_lock(points, facts)]
    for position, place in zip(points.positions.all(), facts.places, strict=True):
        found += _rod(points, position, PositionFacts(facts, place.order), said)
    return found


def _rod(
    points: Points, position: Position, place: PositionFacts, said: frozenset[str]
) -> list[Checked]:
    """A kicker missing, shoes that do not match, and whatever else does not suit as it is fitted.

    One answer of each check at most; the rules ``said`` of the points are not said of each rod.
    """
    if place.place.stretcher is None:
        return _empty_place(points, position, place.place)
    assessment = assess(place.place.stretcher, place)
    by_check: dict[Check, list[Answer]] = {}
    for rule, check in _ROD_RULES.items():
        if assessment[rule].outcome is not Outcome.SUITS:
            by_check.setdefault(check, []).append(assessment[rule])
    misfits = [
        answer
        for answer in assessment.answers
        if answer.outcome is Outcome.DOES_NOT_SUIT and answer.rule not in {*_ROD_RULES, *said}
    ]
    if misfits:
        by_check[Check.ROD_DOES_NOT_SUIT] = misfits
    rod = next(f.stretcher for f in position.current_fittings if f.stretcher_id)
    return [
        Checked(
            check,
            points,
            " ".join(_said(answer) for answer in _worst(answers)),
            position,
            rod if check is Check.ROD_DOES_NOT_SUIT else None,
            certain=any(map(_is_wrong, answers)),
        )
        for check, answers in by_check.items()
    ]


def _is_wrong(answer: Answer) -> bool:
    """Wrong as it is fitted, whether work on the rod would put it right or only another rod."""
    return answer.outcome in (Outcome.DOES_NOT_SUIT, Outcome.SUITS_AFTER_WORK)


def _worst(answers: list[Answer]) -> list[Answer]:
    """What is wrong, or where nothing is what cannot be said."""
    return [answer for answer in answers if _is_wrong(answer)] or answers


def _said(answer: Answer) -> str:
    if answer.outcome is Outcome.CANNOT_SAY:
        return f"{answer.reason} {answer.remedy[:1].upper()}{answer.remedy[1:]}."
    return answer.reason


def _empty_place(points: Points, position: Position, place: PlaceFacts) -> list[Checked]:
    if not place.kicker_required:
        return []
    reason = (
        f"Cannot say: a kicker is required at the {place.name} and no stretcher is recorded there. "
        "Go and check: what is fitted."
    )
    return [Checked(Check.KICKER_MISSING, points, reason, position, certain=False)]


def _insulation(points: Points, facts: PointsFacts) -> list[Checked]:
    """Insulations on different sides matter where there is a track circuit."""
    if facts.track_circuited is False:
        return []
    rods = [place for place in facts.places if place.stretcher is not None]
    sides = {
        side: [place.name for place in rods if place.stretcher.insulation_side == side]
        for side in (InsulationSide.LEFT, InsulationSide.RIGHT, InsulationSide.UNKNOWN)
    }
    left, right, unknown = sides.values()
    if left and right:
        mixed = f"Insulated on the left: {', '.join(left)}; on the right: {', '.join(right)}."
        if facts.track_circuited:
            return [Checked(Check.MIXED_INSULATION, points, mixed)]
        look = f"Cannot say whether it matters. {mixed} Go and check: whether a track circuit is."
        return [Checked(Check.MIXED_INSULATION, points, look, certain=False)]
    if unknown and facts.track_circuited:
        look = (
            f"Cannot say: which end is insulated is not known of the {', '.join(unknown)}. "
            "Go and check: the ends of these stretchers."
        )
        return [Checked(Check.MIXED_INSULATION, points, look, certain=False)]
    return []


def _number(points: Points, facts: PointsFacts) -> list[Checked]:
    """Stretchers fitted, the lock stretcher not counted, against what the switch needs."""
    fitted = [place for place in facts.places if place.stretcher is not None]
    count = sum(place.role is not Role.LOCK for place in fitted)
    need = max(FEWEST_STRETCHERS, facts.least_stretchers or 0)
    if not fitted:
        look = "Cannot say: no stretcher is recorded. Go and check: what is fitted."
        return [Checked(Check.TOO_FEW_RODS, points, look, certain=False)]
    if count < need:
        reason = f"{count} recorded, the lock stretcher not counted; at least {need} are needed."
        return [Checked(Check.TOO_FEW_RODS, points, reason)]
    if facts.least_stretchers is None:
        look = (
            f"Cannot say: {count} recorded, and what this switch needs is not known. "
            "Go and check: the drawing, or the length of the switch."
        )
        return [Checked(Check.TOO_FEW_RODS, points, look, certain=False)]
    return []


def _lock(points: Points, facts: PointsFacts) -> list[Checked]:
    """No lock stretcher recorded: never certain, since a lock elsewhere is not recorded."""
    answer = facing_lock(facts)
    if answer.outcome is Outcome.SUITS:
        return []
    remedy = f"{answer.remedy[:1].upper()}{answer.remedy[1:]}."
    reason = f"{answer.reason} {remedy}"
    return [Checked(Check.NO_LOCK_RECORDED, points, reason, certain=False)]


# --- what was inspected and found ------------------------------------------------------------


def _inspections(at: datetime, points: list[int]) -> dict[int, list[Checked]]:
    """Inspections overdue, by points; points never inspected cannot be judged."""
    found = {}
    for due in due_list(timezone.localdate(at), within_days=0, among=points):
        if due.last is None:
            look = "Cannot say: no inspection is recorded. Go and check: the old records."
            one = Checked(Check.INSPECTION_OVERDUE, due.points, look, certain=False)
        elif due.is_overdue:
            reason = f"Due on {day(due.due_on)}, {due.words}; last on {day(due.last)}."
            one = Checked(Check.INSPECTION_OVERDUE, due.points, reason)
        else:
            continue
        found[due.points.pk] = [one]
    return found


def _open_cracks() -> dict[int, str]:
    """What is open of cracks in each stretcher, by its id: raised, or found and not yet decided."""
    raised = Defect.objects.open().filter(
        subject_kind=SubjectKind.EXAMINED.value, subject__in=CRACKS, stretcher__isnull=False
    )
    cracks = {
        defect.stretcher_id: f"defect {defect.number}, {defect.title}"
        for defect in raised.order_by("pk")
    }
    looks = proposals.unhandled(Examination).filter(item__in=CRACKS, stretcher__isnull=False)
    for look in looks.order_by("pk"):
        cracks.setdefault(
            look.stretcher_id,
            f"{look.get_item_display()} found at {look.inspection.points} on "
            f"{day(look.inspection.at)}",
        )
    return cracks


def _cracked(points: Points, cracks: dict[int, str]) -> list[Checked]:
    return [
        Checked(
            Check.CRACKED_PART,
            points,
            f"{fitting.stretcher} is fitted at the {position.name} with an open crack: "
            f"{cracks[fitting.stretcher_id]}.",
            position,
            fitting.stretcher,
        )
        for position in points.positions.all()
        for fitting in position.current_fittings
        if fitting.stretcher_id in cracks
    ]


# --- raising ---------------------------------------------------------------------------------


def _with_open_defects(found: list[Checked]) -> list[Checked]:
    """Each with the defect that is open for it already; one query."""
    at_points: dict[int, list[Defect]] = {}
    opened = Defect.objects.open().filter(points__in={one.points.pk for one in found})
    for defect in opened.order_by("-number", "-pk"):
        at_points.setdefault(defect.points_id, []).append(defect)
    return [_with_open_defect(one, at_points.get(one.points.pk, [])) for one in found]


def _with_open_defect(one: Checked, here: list[Defect]) -> Checked:
    known = last_of(here, one.finding)
    if known is None and one.check == Check.CRACKED_PART:
        # The crack itself, raised where the rod is fitted, is not raised a second time.
        cracks = {Subject(SubjectKind.EXAMINED.value, item) for item in CRACKS}
        known = next(
            (
                defect
                for defect in here
                if defect.found.subject in cracks and defect.stretcher_id == one.stretcher.pk
            ),
            None,
        )
    return replace(one, open_defect=known)


@transaction.atomic
def raise_found(found: Iterable[Checked], *, at: datetime, user=None) -> list[Defect]:
    """Raises what is certain and not open yet; the same check again raises nothing twice."""
    table = routing_table()
    return [
        moves.raise_defect(
            one.finding,
            points=one.points,
            description=one.reason,
            at=at,
            user=user,
            by="" if user else ASKER,
            routing=routing_of(one.finding, table),
        )
        for one in found
        if one.certain and one.open_defect is None
    ]
