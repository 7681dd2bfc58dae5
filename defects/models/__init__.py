from .defects import Defect
from .events import Event
from .proposals import Dismissal
from .routes import Route

__all__ = ["Defect", "Dismissal", "Event", "Route"]
