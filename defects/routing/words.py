"""What was found and where, in the words of the trade."""

from assets.engineering.words import Lie
from assets.models import Position
from defects.routing.routing import Routing
from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES, Quantity
from inspections.models import Examination, Reading
from inspections.words import ItemCode, Level, QuantityCode, Verdict

_WITHOUT_THEIR_LIMIT = {
    Verdict.WITHIN: "within limits",
    Verdict.ALERT: "past the alert limit",
    Verdict.INTERVENTION: "out of limits",
    Verdict.IMMEDIATE: "past the immediate action limit",
    Verdict.NO_LIMIT: "no limit",
}
_NAMED_LEVELS = (Level.ALERT, Level.IMMEDIATE)  # plain "limit" is the intervention limit


def place_of(position: Position | None, at_mm: float | None = None, lie: str = "", side="") -> str:
    """Where, as a phrase: "at the third stretcher, left closed", "2100 mm from the toe"."""
    if position is not None:
        where = f"at the {position.name}"
    else:
        where = "at the toe" if at_mm is None else f"{at_mm:g} mm from the toe"
    return ", ".join(
        [where, *([f"{side} side"] if side else []), *([Lie(lie).label] if lie else [])]
    )


def reading_in_words(reading: Reading) -> str:
    """A reading, its place and what judged it (reads the limit and the position).

    "Free wheel clearance 46 mm at the third stretcher, left closed: at least 50 mm".
    """
    quantity = QUANTITIES[QuantityCode(reading.quantity)]
    place = place_of(reading.position, reading.at_mm, reading.lie, reading.side)
    link = ": " if quantity.answers else " "
    title = f"{quantity.label}{link}{quantity.written(reading.value)}"
    return f"{_capital(title)} {place}: {_judged(reading, quantity)}"


def _judged(reading: Reading, quantity: Quantity) -> str:
    """The limit that gave the verdict, or what the verdict says without one."""
    verdict, limit = Verdict(reading.verdict), reading.limit
    if verdict is Verdict.NOT_TAKEN:
        return reading.not_taken_reason
    if verdict is Verdict.NO_LIMIT or limit is None:
        return _WITHOUT_THEIR_LIMIT[verdict]
    level = Level(limit.level)
    named = f" ({level.label})" if verdict.is_past and level in _NAMED_LEVELS else ""
    return f"{quantity.limit_words(limit.minimum, limit.maximum)}{named}"


def examination_in_words(examination: Examination, route: Routing) -> str:
    """What was found defective, and where: "Gooseneck cracked at the first stretcher"."""
    what = route.title or f"{ITEMS[ItemCode(examination.item)].label} defective"
    where = f" at the {examination.position.name}" if examination.position else ""
    return f"{_capital(what)}{where}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def finding_in_words(finding: Reading | Examination) -> str:
    """What was measured, or looked at and found, and where: for lists of evidence."""
    if isinstance(finding, Reading):
        return reading_in_words(finding)
    where = f" {place_of(finding.position)}" if finding.position else ""
    return _capital(f"{finding}{where}")
