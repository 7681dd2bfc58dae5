from .differences import Difference
from .limits import Limit
from .outlooks import Outlook, Reaching
from .photographs import ExaminationPhoto
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
    "Season",
]
