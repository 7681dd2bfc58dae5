"""The truth conditions of every rule: one sentence for each outcome it gives, and no other."""

import random
from collections import defaultdict

import pytest

from assets.engineering.suitability import (
    RULES,
    Outcome,
    assess,
    assess_lost_motion_fitting,
    assess_machine,
)
from assets.engineering.suitability.drive_parts import FITTING_RULES, MACHINE_RULES
from tests.assets.engineering import test_drive_parts, test_suitability
from tests.assets.engineering.test_suits_stays import any_fitting, any_position, any_rod

TABLES = {
    "stretcher": {rule.name: rule.truth for rule in RULES},
    "machine": {name: rule.truth for name, rule in MACHINE_RULES.items()},
    "fitting": {name: rule.truth for name, rule in FITTING_RULES.items()},
}


@pytest.fixture(scope="module")
def given() -> dict:
    """The outcomes that each rule of each table gave, over the cases and over random facts."""
    found = defaultdict(set)

    def note(kind, assessment):
        for answer in assessment.answers:
            found[kind, answer.rule].add(answer.outcome)

    for case in test_suitability.CASES:
        note("stretcher", case.assess())
    for case in test_drive_parts.MACHINES:
        note("machine", test_drive_parts.of_machine(case))
    for case in test_drive_parts.FITTINGS:
        note("fitting", test_drive_parts.of_fitting(case))
    chance = random.Random(1884)
    for _ in range(1_000):
        position = any_position(chance)
        note("stretcher", assess(any_rod(chance, position.order), position))
        if position.place.machine is not None:
            note("machine", assess_machine(position.place.machine, position))
        note("fitting", assess_lost_motion_fitting(any_fitting(chance), position))
    return found


@pytest.mark.parametrize("kind", TABLES)
@pytest.mark.parametrize("outcome", list(Outcome))
def test_each_outcome_that_a_rule_gives_has_its_sentence(given, kind, outcome):
    told = {name for name, truth in TABLES[kind].items() if truth.of(outcome)}
    assert told == {name for name in TABLES[kind] if outcome in given[kind, name]}


def test_the_sentences_are_whole():
    for truths in TABLES.values():
        for truth in truths.values():
            for sentence in filter(None, map(truth.of, Outcome)):
                assert sentence[0].isupper()
                assert sentence.endswith(".")
