from .figures import RailwayFigure
from .fittings import Fitting, PartLink
from .layouts import Matching
from .parts import LostMotionFitting, Machine, Stretcher
from .photographs import PartPhoto, Photo, Withdrawal
from .places import Location, Points, Position, SwitchOffset
from .reference import RailSection, SwitchDesign, WheelStandard

__all__ = [
    "Fitting",
    "Location",
    "LostMotionFitting",
    "Machine",
    "Matching",
    "PartLink",
    "PartPhoto",
    "Photo",
    "Points",
    "Position",
    "RailSection",
    "RailwayFigure",
    "Stretcher",
    "SwitchDesign",
    "SwitchOffset",
    "WheelStandard",
    "Withdrawal",
]
