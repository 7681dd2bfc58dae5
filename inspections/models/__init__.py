from inspections.models.ahead import Outlook, Reaching
from inspections.models.which_rod import Difference

from .limits import Limit
from .photographs import ExaminationPhoto
from .regimes import Regime
from .seasons import Season
from .visits import Examination, Inspection, Instrument, Reading

__all__ = [
    "Difference",
    "Examination",
    "ExaminationPhoto",
    "Inspection",
    "Instrument",
    "Limit",
    "Outlook",
    "Reaching",
    "Reading",
    "Regime",
    "Season",
]
