"""What a rail section says of a switch rail: its stiffness sideways, and which shoes fit it."""

from collections.abc import Collection
from dataclasses import dataclass

from .cannot_say import known
from .facts import Interval

YOUNG_N_MM2 = 210_000.0  # rail steel
KG_M_PER_LB_YD = 0.49608  # BS 11:1985 clause 4 note 2
_KG_M_PER_MM2 = 0.00785  # the same note: mass per metre for each mm² of section
_MM4_PER_CM4 = 1e4


def stiffness_n_mm2(iyy_cm4: float) -> float:
    """Lateral bending stiffness E·Iyy (N·mm²) of a rail from its Iyy (cm⁴)."""
    return YOUNG_N_MM2 * known(iyy_cm4, "the rail's lateral Iyy", above=True) * _MM4_PER_CM4


def stiffness_range(
    iyy_cm4: float | None, least_cm4: float | None = None, most_cm4: float | None = None
) -> Interval | None:
    """E·Iyy (N·mm²) as a range: a point where Iyy is published, its bounds where only they are.

    None where neither is known: the forces at the rods are then *cannot say*.

    >>> stiffness_range(None, least_cm4=200, most_cm4=300)
    Interval(least=420000000000.0, most=630000000000.0)
    """
    if iyy_cm4 is not None:
        least_cm4 = most_cm4 = iyy_cm4
    if least_cm4 is None or most_cm4 is None:
        return None
    return Interval(stiffness_n_mm2(least_cm4), stiffness_n_mm2(most_cm4))


def area_mm2(mass_kg_m: float) -> float:
    """Area of section (mm²) from mass per metre, by the rolling convention (BS 11:1985)."""
    return known(mass_kg_m, "the mass of the rail", above=True) / _KG_M_PER_MM2


def iyy_bounds_cm4(
    area_mm2: float, height_mm: float, widest_mm: float, thinnest_mm: float
) -> Interval:
    """The least and most lateral Iyy (cm⁴) of any symmetric section with these sizes.

    Least: the area spread evenly over the height. Most: as much of it as will go at the
    widest, the rest at the thinnest. Exact for their assumptions; no source needed.
    """
    least = area_mm2**3 / (12 * height_mm**2)
    wide = (area_mm2 - thinnest_mm * height_mm) / (widest_mm - thinnest_mm)
    most = (wide * widest_mm**3 + (height_mm - wide) * thinnest_mm**3) / 12
    return Interval(least / _MM4_PER_CM4, most / _MM4_PER_CM4)


def feet_agree(one_mm: float, other_mm: float, within_mm: float) -> bool:
    """Whether shoes for one flat-bottom rail fit the other: feet (mm) alike within so much."""
    return abs(one_mm - other_mm) <= within_mm


@dataclass(frozen=True)
class Feet:
    """How much the feet of the flat-bottom rails in use differ."""

    apart_mm: float = 0.0  # of those that are recorded
    all_known: bool = True  # or one of one section

    @classmethod
    def of(cls, feet_mm: Collection[float | None]) -> "Feet":
        """Of these sections, one foot width (mm) each; None: not recorded."""
        known = [foot for foot in feet_mm if foot is not None]
        apart = max(known) - min(known) if known else 0.0
        return cls(apart, len(feet_mm) <= 1 or len(known) == len(feet_mm))

    def one_family(self, within_mm: float) -> bool | None:
        """Whether all take the same shoes; None: not known, since a foot is not recorded."""
        if not feet_agree(self.apart_mm, 0.0, within_mm):
            return False
        return True if self.all_known else None
