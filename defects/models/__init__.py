from .defects import Defect
from .events import Event
from .misfits import Judged, Misfit
from .photographs import DefectPhoto
from .proposals import Dismissal
from .routes import Route

__all__ = ["Defect", "DefectPhoto", "Dismissal", "Event", "Judged", "Misfit", "Route"]
