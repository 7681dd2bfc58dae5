"""The phone reads figures as the server does: same value or same refusal, in the same words."""

import random

import pytest

from assets.engineering.figures import FigureRefused, figure
from tests.assets.engineering.figure_cases import CASES, UNITS

pytestmark = pytest.mark.django_db(transaction=True)

PIECES = """
0 1 2 12 34 435 .5 52.5 0.125 7e5 e3 e-2 e99 1/2 41/4 ½ ¼ １ ９９ ٣ ² - − + – , . / x # mm cm m M km
in ft ' " '' ” ’ yd ch miles mi Ω kΩ mΩ MΩ k K G ohm Mohm N·m nm Nm lbf ft-lb lb kN N °C °F % days
turns ratio kg/m
"""
CHOICE = [
    *PIECES.split(),
    *(" ", "  ", "\t", "\n", "\u00a0", "\u200b", "\x0b", "4 1/4", "lbf ft", "\u2126"),
]


def read_there(page, written: list[tuple[str, str]]) -> list[dict]:
    page.goto("/queue/")
    return page.evaluate(
        """async (written) => {
            const { readFigure } = await import("/static/inspections/figures.js");
            return written.map(([text, unit]) => readFigure(text, unit));
        }""",
        written,
    )


def read_here(text: str, unit: str) -> dict:
    try:
        return {"value": figure(text, unit)}
    except FigureRefused as problem:
        return {"refused": str(problem)}


def test_every_case_of_the_table_has_the_same_answer_in_the_browser(phone):
    there = read_there(phone, [(case.text, case.unit) for case in CASES])
    wrong = [
        (str(case), answer)
        for case, answer in zip(CASES, there, strict=True)
        if not case.is_answered_by(answer.get("value"), answer.get("refused", ""))
        or answer != read_here(case.text, case.unit)
    ]
    assert wrong == []


def test_figures_put_together_by_chance_have_the_same_answer_in_the_browser(phone):
    chance = random.Random(1435)
    units = [*UNITS.values(), "%", "kg/m", "cm⁴"]
    written = [
        ("".join(chance.choices(CHOICE, k=chance.randint(1, 6))), chance.choice(units))
        for _ in range(20_000)
    ]
    there = read_there(phone, written)
    here = [read_here(*row) for row in written]
    wrong = [row for row in zip(written, there, here, strict=True) if row[1] != row[2]]
    assert wrong[:5] == []
    assert sum("value" in answer for answer in here) > 500  # not refusals alone
