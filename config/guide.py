"""The guide: what the words mean, how things are measured and examined, how parts are judged."""

from dataclasses import dataclass

from django.shortcuts import render

from assets.engineering.assumed import Assumed
from assets.engineering.suitability import (
    FITTING_RULES,
    MACHINE_RULES,
    PRACTICE,
    RULES,
    Outcome,
    Truth,
)
from assets.register_facts import figures_in_force
from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES


@dataclass(frozen=True)
class Row:
    """One rule as the guide shows it."""

    name: str
    source: str
    conditions: list[tuple[Outcome, str]]  # those that the rule can give, best first


def rule_tables(assumed: Assumed) -> list[tuple[str, list[Row]]]:
    """The rules of each kind of part with their truth conditions, from the rules themselves,
    with the figures of the railway in force."""

    def row(name: str, source: str, truth: Truth) -> Row:
        told = [(outcome, assumed.filled(truth.of(outcome))) for outcome in Outcome]
        conditions = [(outcome, words) for outcome, words in told if words]
        return Row(name, assumed.filled(source), conditions)

    return [
        ("stretcher", [row(rule.name, rule.source, rule.truth) for rule in RULES]),
        ("machine", [row(name, PRACTICE, rule.truth) for name, rule in MACHINE_RULES.items()]),
        (
            "lost-motion fitting",
            [row(name, PRACTICE, rule.truth) for name, rule in FITTING_RULES.items()],
        ),
    ]


def guide(request):
    """Words of the trade, rules of thumb with their sources, how each thing is measured."""
    given = {
        "section": "guide",
        "quantities": QUANTITIES.values(),
        "items": ITEMS.values(),
        "rule_tables": rule_tables(figures_in_force()),
    }
    return render(request, "config/guide.html", given)
