from .defects import Defect
from .events import Event
from .photographs import DefectPhoto
from .proposals import Dismissal
from .routes import Route

__all__ = ["Defect", "DefectPhoto", "Dismissal", "Event", "Route"]
