from .fittings import Fitting, PartLink
from .parts import LostMotionFitting, Machine, Stretcher
from .places import Location, Points, Position, SwitchOffset
from .reference import RailSection, SwitchDesign, WheelStandard

__all__ = [
    "Fitting",
    "Location",
    "LostMotionFitting",
    "Machine",
    "PartLink",
    "Points",
    "Position",
    "RailSection",
    "Stretcher",
    "SwitchDesign",
    "SwitchOffset",
    "WheelStandard",
]
