"""The one table of figures as people write them, with their values or why they are refused.

``figure_cases.json`` is a list of [text, value] or [text, {"refused": words of the sentence}] for
each kind, some with a remark; Python reads it here and the browser in ``tests/browser``.
"""

import json
from dataclasses import dataclass
from pathlib import Path

# The unit of a field of each kind; a plain number has none.
UNITS = {
    "length": "mm",
    "torque": "N·m",
    "force": "N",
    "resistance": "Ω",
    "mileage": "miles",
    "temperature": "°C",
    "ratio": "ratio",
    "days": "days",
    "turns": "turns",
    "number": "",
}


@dataclass(frozen=True)
class Case:
    kind: str
    text: str
    value: float | None
    refused: str  # words of the sentence; "" where there is a value

    @property
    def unit(self) -> str:
        return UNITS[self.kind]

    def is_answered_by(self, value: float | None, refused: str) -> bool:
        """Whether an answer is the table's: the very same number, or a refusal in its words."""
        if self.refused:
            return value is None and self.refused in refused
        return not refused and value == self.value

    def __str__(self) -> str:
        return f"{self.kind}: {self.text!a}"


def _cases() -> list[Case]:
    table = json.loads(Path(__file__).with_suffix(".json").read_text("utf-8"))
    assert list(table) == list(UNITS)
    return [
        Case(kind, text, None, found["refused"])
        if isinstance(found, dict)
        else Case(kind, text, float(found), "")
        for kind, rows in table.items()
        for text, found, *_ in rows
    ]


CASES = _cases()
