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
from assets.engineering.suitability.state import FEWEST_STRETCHERS
from assets.engineering.words import InsulationSide, Role
from assets.models import Points, Position, Stretcher
from config.points.reader import facts_of
from config.suiting.suits import standing_points
from defects import proposals
from defects.closing.evidence import CRACKS
from defects.models import Defect
from defects.moves import moves
from defects.moves.raising import last_of
from defects.routing.routing import check_code, item_code, routing_table
from defects.words import Check
from inspections.upcoming.due import due_list

ASKER = "Register check"


@dataclass(frozen=True)
class Found:
    """One thing wrong, or (``certain`` False) one that cannot be said until somebody looks."""

    check: Check
    points: Points
    reason: str
    position: Position | None = None
    stretcher: Stretcher | None = None
    certain: bool = True
    open_defect: Defect | None = None

    @property
    def key(self) -> str:
        """Names it on a form: "kicker_missing 12 40"."""
        return f"{self.check} {self.points.pk} {self.position.pk if self.position else ''}".strip()


def check_register(at: datetime, points: Iterable[Points] | None = None) -> list[Found]:
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

# The rules of suitability that are checked on every rod fitted.
_ROD_RULES = {
    "kicker": Check.KICKER_MISSING,
    "left shoe": Check.SHOE_NOT_RAIL,
    "right shoe": Check.SHOE_NOT_RAIL,
}


def _by_the_rules(points: Points, facts: PointsFacts) -> list[Found]:
    found = [*_insulation(points, facts), *_number(points, facts)]
    for position, place in zip(points.positions.all(), facts.places, strict=True):
        found += _rod(points, position, PositionFacts(facts, place.order))
    return found


def _rod(points: Points, position: Position, place: PositionFacts) -> list[Found]:
    """A kicker missing and shoes that do not match, one answer of each check at most."""
    if place.place.stretcher is None:
        return _empty_place(points, position, place.place)
    assessment = assess(place.place.stretcher, place)
    by_check: dict[Check, list[Answer]] = {}
    for rule, check in _ROD_RULES.items():
        if assessment[rule].outcome is not Outcome.SUITS:
            by_check.setdefault(check, []).append(assessment[rule])
    return [
        Found(
            check,
            points,
            " ".join(_said(answer) for answer in _worst(answers)),
            position,
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


def _empty_place(points: Points, position: Position, place: PlaceFacts) -> list[Found]:
    if not place.kicker_required:
        return []
    reason = (
        f"Cannot say: a kicker is required at the {place.name} and no stretcher is recorded there. "
        "Go and check: what is fitted."
    )
    return [Found(Check.KICKER_MISSING, points, reason, position, certain=False)]


def _insulation(points: Points, facts: PointsFacts) -> list[Found]:
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
            return [Found(Check.MIXED_INSULATION, points, mixed)]
        look = f"Cannot say whether it matters. {mixed} Go and check: whether a track circuit is."
        return [Found(Check.MIXED_INSULATION, points, look, certain=False)]
    if unknown and facts.track_circuited:
        look = (
            f"Cannot say: which end is insulated is not known of the {', '.join(unknown)}. "
            "Go and check: the ends of these stretchers."
        )
        return [Found(Check.MIXED_INSULATION, points, look, certain=False)]
    return []


def _number(points: Points, facts: PointsFacts) -> list[Found]:
    """Stretchers fitted, the lock stretcher not counted, against what the switch needs."""
    fitted = [place for place in facts.places if place.stretcher is not None]
    count = sum(place.role is not Role.LOCK for place in fitted)
    need = max(FEWEST_STRETCHERS, facts.least_stretchers or 0)
    if not fitted:
        look = "Cannot say: no stretcher is recorded. Go and check: what is fitted."
        return [Found(Check.TOO_FEW_RODS, points, look, certain=False)]
    if count < need:
        reason = f"{count} recorded, the lock stretcher not counted; at least {need} are needed."
        return [Found(Check.TOO_FEW_RODS, points, reason)]
    if facts.least_stretchers is None:
        look = (
            f"Cannot say: {count} recorded, and what this switch needs is not known. "
            "Go and check: the drawing, or the length of the switch."
        )
        return [Found(Check.TOO_FEW_RODS, points, look, certain=False)]
    return []


# --- what was inspected and found ------------------------------------------------------------


def _inspections(at: datetime, points: list[int]) -> dict[int, list[Found]]:
    """Inspections overdue, by points; points never inspected cannot be judged."""
    found = {}
    for due in due_list(timezone.localdate(at), within_days=0, among=points):
        if due.last is None:
            look = "Cannot say: no inspection is recorded. Go and check: the old records."
            one = Found(Check.INSPECTION_OVERDUE, due.points, look, certain=False)
        elif due.is_overdue:
            reason = f"Due on {day(due.due_on)}, {due.words}; last on {day(due.last)}."
            one = Found(Check.INSPECTION_OVERDUE, due.points, reason)
        else:
            continue
        found[due.points.pk] = [one]
    return found


def _open_cracks() -> dict[int, str]:
    """What is open of cracks in each stretcher, by its id: raised, or found and not yet decided."""
    codes = [item_code(item) for item in CRACKS]
    raised = Defect.objects.open().filter(found__in=codes, stretcher__isnull=False)
    cracks = {
        defect.stretcher_id: f"defect {defect.number}, {defect.title}"
        for defect in raised.order_by("pk")
    }
    looks = proposals.unhandled_examinations().filter(item__in=CRACKS, stretcher__isnull=False)
    for look in looks.order_by("pk"):
        cracks.setdefault(
            look.stretcher_id,
            f"{look.get_item_display()} found at {look.inspection.points} on "
            f"{day(look.inspection.at)}",
        )
    return cracks


def _cracked(points: Points, cracks: dict[int, str]) -> list[Found]:
    return [
        Found(
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


def _with_open_defects(found: list[Found]) -> list[Found]:
    """Each with the defect that is open for it already; one query."""
    at_points: dict[int, list[Defect]] = {}
    opened = Defect.objects.open().filter(points__in={one.points.pk for one in found})
    for defect in opened.order_by("-number", "-pk"):
        at_points.setdefault(defect.points_id, []).append(defect)
    return [_with_open_defect(one, at_points.get(one.points.pk, [])) for one in found]


def _with_open_defect(one: Found, here: list[Defect]) -> Found:
    known = last_of(here, one.position, check_code(one.check))
    if known is None and one.check == Check.CRACKED_PART:
        # The crack itself, raised where the rod is fitted, is not raised a second time.
        codes = {item_code(item) for item in CRACKS}
        known = next(
            (d for d in here if d.found in codes and d.stretcher_id == one.stretcher.pk), None
        )
    return replace(one, open_defect=known)


@transaction.atomic
def raise_found(found: Iterable[Found], *, at: datetime, user=None) -> list[Defect]:
    """Raises what is certain and not open yet; the same check again raises nothing twice."""
    table = routing_table()
    return [
        moves.raise_defect(
            points=one.points,
            position=one.position,
            part=one.stretcher,
            found=check_code(one.check),
            description=one.reason,
            at=at,
            user=user,
            by="" if user else ASKER,
            table=table,
        )
        for one in found
        if one.certain and one.open_defect is None
    ]
