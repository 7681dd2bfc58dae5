"""The guide: what the words mean, how things are measured and examined, how parts are judged."""

from dataclasses import dataclass

from django.shortcuts import render

from assets.engineering.suitability import (
    FITTING_RULES,
    MACHINE_RULES,
    PRACTICE,
    RULES,
    Outcome,
    Truth,
)
from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES


@dataclass(frozen=True)
class Row:
    """One rule as the guide shows it."""

    name: str
    source: str
    conditions: list[tuple[Outcome, str]]  # those that the rule can give, best first


def rule_tables() -> list[tuple[str, list[Row]]]:
    """The rules of each kind of part with their truth conditions, from the rules themselves."""
    return [
        ("stretcher", [_row(rule.name, rule.source, rule.truth) for rule in RULES]),
        ("machine", [_row(name, PRACTICE, rule.truth) for name, rule in MACHINE_RULES.items()]),
        (
            "lost-motion fitting",
            [_row(name, PRACTICE, rule.truth) for name, rule in FITTING_RULES.items()],
        ),
    ]


def _row(name: str, source: str, truth: Truth) -> Row:
    told = [(outcome, truth.of(outcome)) for outcome in Outcome]
    return Row(name, source, [(outcome, words) for outcome, words in told if words])


def guide(request):
    """Words of the trade, rules of thumb with their sources, how each thing is measured."""
    given = {
        "section": "guide",
        "quantities": QUANTITIES.values(),
        "items": ITEMS.values(),
        "rule_tables": rule_tables(),
    }
    return render(request, "config/guide.html", given)
