"""The separation of the two switch rails over their backs, which is what a rod really sets.

A rod sets the same opening on both lies: lengthening it closes both by as much. So the
separation worked out from either lie must be the same. Lengths in mm.
"""

from dataclasses import dataclass


def separation_mm(gauge_mm: float, head_mm: float, residual_mm: float, fwc_mm: float) -> float:
    """Separation over the backs where FWC is ``fwc_mm`` and the head ``head_mm`` wide.

    >>> separation_mm(gauge_mm=1435, head_mm=70, residual_mm=1, fwc_mm=56)
    1448
    """
    return gauge_mm + head_mm - residual_mm - fwc_mm


@dataclass(frozen=True, slots=True)
class RodReport:
    """The separation that one rod holds, from each lie; None where it cannot be worked out."""

    order: int
    name: str
    distance_mm: float | None
    left_closed_mm: float | None = None
    right_closed_mm: float | None = None
    finding: str = ""  # what their disagreement means, where it is more than reading explains
    slack_not_seen_mm: float | None = None  # these readings hide as much; None: of any size

    @property
    def separation_mm(self) -> float | None:
        """The mean of the two lies, or the one that is known."""
        both = [s for s in (self.left_closed_mm, self.right_closed_mm) if s is not None]
        return sum(both) / len(both) if both else None

    @property
    def play_mm(self) -> float | None:
        """By how much the two lies disagree (never negative)."""
        if self.left_closed_mm is None or self.right_closed_mm is None:
            return None
        return abs(self.left_closed_mm - self.right_closed_mm)
