"""What was found and where, in the words of the trade."""

from assets.engineering.words import Lie
from assets.models import Position
from defects.routing.routing import Routing
from inspections.catalogue.quantities import ITEMS, QUANTITIES
from inspections.models import Examination, Reading
from inspections.words import ItemCode, QuantityCode


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
    """A reading as the title of a defect (reads the limit and the position).

    "Free wheel clearance 46 mm at the third stretcher, left closed: at least 50 mm".
    """
    quantity = QUANTITIES[QuantityCode(reading.quantity)]
    limit = reading.limit
    judged = quantity.limit_words(limit.minimum, limit.maximum) if limit else "no limit"
    place = place_of(reading.position, reading.at_mm, reading.lie, reading.side)
    link = ": " if quantity.answers else " "
    title = f"{quantity.label}{link}{quantity.written(reading.value)}"
    return f"{_capital(title)} {place}: {judged}"[:160]


def examination_in_words(examination: Examination, route: Routing) -> str:
    """An examination as the title of a defect: "Gooseneck cracked at the first stretcher"."""
    what = route.title or f"{ITEMS[ItemCode(examination.item)].label} defective"
    where = f" at the {examination.position.name}" if examination.position else ""
    return f"{_capital(what)}{where}"[:160]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def finding_in_words(finding: Reading | Examination) -> str:
    """What was measured, or looked at and found, and where: for lists of evidence."""
    if isinstance(finding, Reading):
        return reading_in_words(finding)
    where = f" {place_of(finding.position)}" if finding.position else ""
    return _capital(f"{finding}{where}")
