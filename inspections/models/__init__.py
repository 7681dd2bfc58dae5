from inspections.models.ahead import Outlook, Reaching
from inspections.models.calculated import LeastClearance, ToMeasure
from inspections.models.which_rod import Difference

from .instruments import Instrument, InstrumentCheck
from .limits import Limit
from .photographs import ExaminationPhoto
from .regimes import Regime
from .seasons import Season
from .visits import Examination, Inspection, Reading

__all__ = [
    "Difference",
    "Examination",
    "ExaminationPhoto",
    "Inspection",
    "Instrument",
    "InstrumentCheck",
    "LeastClearance",
    "Limit",
    "Outlook",
    "Reaching",
    "Reading",
    "Regime",
    "Season",
    "ToMeasure",
]
