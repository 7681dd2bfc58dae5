"""What a new limit would change, told before it is saved."""

from dataclasses import dataclass
from datetime import date

from assets.engineering.two_rails.certainty import decide
from assets.engineering.words import ServiceState
from inspections.catalogue.trials import TESTS, tells
from inspections.models import LeastClearance, Limit, Outlook, Reading
from inspections.models.ahead import is_calculated
from inspections.models.regimes import trials_in_force
from inspections.verdicts.finding import Judgement
from inspections.verdicts.limits import LimitBook, Limits
from inspections.words import QuantityCode


@dataclass(frozen=True)
class Change:
    """A present reading whose verdict would change, were it judged again."""

    reading: Reading
    before: Judgement
    after: Judgement


def changes_by(limit: Limit, today: date) -> list[Change]:
    """Present readings that the limit would judge otherwise than today's limits do.

    A limit of a later day is compared with what holds on that day without it. Nothing changes where
    a later limit already stands in its place. Points that are lifted are left out, and tests whose
    gauge says nothing of what the railway asks. Two queries, three for a test.
    """
    day = max(today, limit.effective_from)
    rivals = Limit.objects.filter(quantity=limit.quantity).exclude(pk=limit.pk)
    before = LimitBook.of(rivals, day)
    if _is_superseded(limit, rivals, day):
        return []
    after = before.with_limit(limit)
    rows = Reading.objects.filter(quantity=limit.quantity).latest()
    readings = (
        rows.exclude(inspection__points__service_state=ServiceState.LIFTED.value)
        .select_related("inspection__points__location", "position", "limit")
        .order_by(
            "inspection__points__location__code",
            "inspection__points__number_order",
            "position__order",
            "lie",
            "side",
            "pk",
        )
    )
    changes = []
    code = QuantityCode(limit.quantity)
    asked = trials_in_force().get(code) if code in TESTS else None
    for reading in readings:
        if not tells(asked, reading.trial, held=bool(reading.value)):
            continue
        points = reading.inspection.points
        old = before.for_points(points).judge(reading.quantity, reading.value)
        new = after.for_points(points).judge(reading.quantity, reading.value)
        if old.verdict != new.verdict:
            changes.append(Change(reading, old, new))
    return changes


@dataclass(frozen=True)
class CalculatedChange:
    """A switch whose least clearance, as last calculated, would fare otherwise between readings."""

    least: LeastClearance
    before: str
    after: str


def calculated_changes_by(limit: Limit, today: date) -> tuple[list[CalculatedChange], int]:
    """The calculated clearances that the limit would judge otherwise, along the line, and how many
    sets of points are not calculated as they are now: nothing is said of those. Three queries.
    """
    if limit.quantity != QuantityCode.FWC:
        return [], 0
    day = max(today, limit.effective_from)
    rivals = Limit.objects.filter(quantity=limit.quantity).exclude(pk=limit.pk)
    if _is_superseded(limit, rivals, day):
        return [], 0
    before = LimitBook.of(rivals, day)
    after = before.with_limit(limit)
    rows = (
        LeastClearance.objects.filter(is_calculated(today, "points__outlook__"))
        .exclude(points__service_state=ServiceState.LIFTED.value)
        .select_related("points__location")
        .order_by("points__location__code", "points__number_order", "points__number", "lie", "pk")
    )
    changes = []
    for row in rows:
        old, new = (_told(row, book.for_points(row.points)) for book in (before, after))
        if old != new:
            changes.append(CalculatedChange(row, old, new))
    left = Outlook.objects.to_calculate(today)
    return changes, left.exclude(points__service_state=ServiceState.LIFTED.value).count()


def _told(least: LeastClearance, limits: Limits) -> str:
    """The clearance against what the arithmetic keeps to: "below the limit, clear"."""
    bound = limits.of(QuantityCode.FWC).kept_to
    if bound is None or bound.minimum is None:
        return "no limit"
    judged = decide(least.mm, least.sigma_mm or 0.0, least_mm=bound.minimum)
    words = "within" if judged.within else "below the limit"
    return f"{words}, {judged.sure.label}" if least.sigma_mm else words


def _is_superseded(limit: Limit, rivals, day: date) -> bool:
    """Whether a limit of the same kind that begins later holds on the day already."""
    limit.clean()
    return rivals.filter(
        level=limit.level,
        scope=limit.scope,
        scope_key=limit.scope_key,
        effective_from__gt=limit.effective_from,
        effective_from__lte=day,
    ).exists()
