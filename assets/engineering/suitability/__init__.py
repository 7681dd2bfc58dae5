"""Does this stretcher suit this place? One finding per rule, the worst of them decides.

``assess`` answers for one pair, ``rank_spares`` and ``rank_positions`` for one place or one rod,
``assess_table`` for the whole railway. Lengths are in mm, torque in N·m.
"""

from .findings import PRACTICE, Assessment, Finding, Outcome
from .ranking import rank_positions, rank_spares
from .rules import RULES, Rule, assess
from .table import Table, assess_table

__all__ = [
    "PRACTICE",
    "RULES",
    "Assessment",
    "Finding",
    "Outcome",
    "Rule",
    "Table",
    "assess",
    "assess_table",
    "rank_positions",
    "rank_spares",
]
