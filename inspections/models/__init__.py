from .limits import Limit
from .seasons import Season
from .visits import Examination, Inspection, Instrument, Reading

__all__ = ["Examination", "Inspection", "Instrument", "Limit", "Reading", "Season"]
