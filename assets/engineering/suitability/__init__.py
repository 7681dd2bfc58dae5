"""Does this part suit this place? One answer a rule, the worst of them decides.

``assess`` answers for one rod and one place, ``assess_machine`` and ``assess_lost_motion_fitting``
for what drives it; ``rank_spares`` and ``rank_positions`` for one place or one rod,
``assess_table`` for the whole railway. Lengths are in mm, torque in N·m.
"""

from assets.engineering.suitability.answers import PRACTICE, Answer, Assessment, Outcome, Truth

from .drive_parts import FITTING_RULES, MACHINE_RULES, assess_lost_motion_fitting, assess_machine
from .ranking import rank_positions, rank_spares
from .rules import RULES, Rule, assess
from .table import Table, assess_table

__all__ = [
    "FITTING_RULES",
    "MACHINE_RULES",
    "PRACTICE",
    "RULES",
    "Answer",
    "Assessment",
    "Outcome",
    "Rule",
    "Table",
    "Truth",
    "assess",
    "assess_lost_motion_fitting",
    "assess_machine",
    "assess_table",
    "rank_positions",
    "rank_spares",
]
