"""What was found and where, in the words of the trade."""

from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES, Quantity
from inspections.verdicts.finding import Finding
from inspections.words import ItemCode, Level, Look, QuantityCode, Verdict

_WITHOUT_THEIR_LIMIT = {
    Verdict.WITHIN: "within limits",
    Verdict.ALERT: "past the alert limit",
    Verdict.INTERVENTION: "out of limits",
    Verdict.IMMEDIATE: "past the immediate action limit",
    Verdict.NO_LIMIT: "no limit",
}
_NAMED_LEVELS = (Level.ALERT, Level.IMMEDIATE)  # plain "limit" is the intervention limit


def finding_in_words(finding: Finding) -> str:
    """What was measured, or looked at and found, and where: for lists of evidence.

    "Free wheel clearance 46 mm at the third stretcher, left closed: at least 50 mm".
    """
    if finding.is_measured:
        return _reading_in_words(finding)
    look = Look(finding.entry.found).label
    what = f"{ITEMS[ItemCode(finding.subject.code)].label}: {look}"
    return _capital(what) + _at_the_stretcher(finding)


def title_of(finding: Finding, routed: str) -> str:
    """What is wrong, and where, as the title of a defect; ``routed`` are the table's words for it.

    A reading says its value; anything else is "Gooseneck cracked at the first stretcher".
    """
    if finding.is_measured and finding.entry is not None:
        return _reading_in_words(finding)
    known = finding.subject.code in set(ItemCode)
    usual = f"{ITEMS[ItemCode(finding.subject.code)].label} defective" if known else ""
    what = routed or usual
    return _capital(what) + _at_the_stretcher(finding) if what else ""


def _reading_in_words(finding: Finding) -> str:
    quantity = QUANTITIES[QuantityCode(finding.subject.code)]
    link = ": " if quantity.answers else " "
    title = f"{quantity.label}{link}{quantity.written(finding.value)}"
    return f"{_capital(title)} {finding.where.phrase}: {_judged(finding, quantity)}"


def _judged(finding: Finding, quantity: Quantity) -> str:
    """The limit that gave the verdict, or what the verdict says without one."""
    verdict, bound = finding.verdict, finding.bound
    if verdict is Verdict.NOT_TAKEN:
        return finding.reason
    if verdict is Verdict.NO_LIMIT or bound is None:
        return _WITHOUT_THEIR_LIMIT[verdict]
    named = f" ({bound.level.label})" if verdict.is_past and bound.level in _NAMED_LEVELS else ""
    return f"{quantity.limit_words(bound.minimum, bound.maximum)}{named}"


def _at_the_stretcher(finding: Finding) -> str:
    return f" {finding.where.phrase}" if finding.where.name else ""


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
