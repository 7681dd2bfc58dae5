"""What can be said of one lie of a set of points.

Lengths in mm, x from the toe, forces in N.
"""

from dataclasses import dataclass
from typing import Any

from .open_switch import Least
from .readings import Force
from .thousandths import thousandths
from .two_rails.certainty import Sure
from .words import Lie, Vocabulary


class FwcVerdict(Vocabulary):
    """Free wheel clearance on one lie against the railway's least."""

    WITHIN = "within"
    WHEELS_TOUCH = "wheels_touch", "clearance within, but wheels touch"
    ALERT = "alert", "alert: within limits where measured, but not in between"
    OUT = "out"
    NO_LIMIT = "no_limit", "no limit"
    CANNOT_SAY = "cannot_say", "cannot say"


@dataclass(frozen=True)
class LieReport:
    """One lie. The profile is empty where it cannot be worked out."""

    lie: Lie
    verdict: FwcVerdict
    x_mm: tuple[float, ...] = ()
    fwc_mm: tuple[float, ...] = ()
    least_fwc: Least | None = None
    opening_mm: float | None = None  # at the toe, worked out
    wheel_margin: Least | None = None  # spare of the flange back; below 0 wheels touch
    rod_forces_n: tuple[tuple[int, Force], ...] = ()  # by order; empty: cannot say
    read_mm: tuple[tuple[float, float], ...] = ()  # place and FWC of the readings themselves
    disagreements: tuple[str, ...] = ()
    sure: Sure | None = None  # None: no limit, or what was read no longer holds

    @property
    def level(self) -> FwcVerdict:
        """How the verdict is to look: never as good where wheels touch or it is too close."""
        if self.verdict == FwcVerdict.WHEELS_TOUCH:
            return FwcVerdict.OUT
        close = self.verdict == FwcVerdict.WITHIN and self.sure == Sure.TOO_CLOSE
        return FwcVerdict.ALERT if close else self.verdict

    @property
    def words(self) -> str:
        """The verdict, with how sure it is where that is in doubt."""
        close = f", {self.sure.label}" if self.sure == Sure.TOO_CLOSE else ""
        return f"{self.verdict.label}{close}"

    @property
    def wheels_touch(self) -> bool | None:
        return None if self.wheel_margin is None else self.wheel_margin.mm < 0

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers, words and lists, ready to be written as JSON."""
        least, margin = self.least_fwc, self.wheel_margin
        return {
            "verdict": self.verdict.value,
            "least_fwc_mm": thousandths(least.mm if least else None),
            "least_fwc_at_mm": thousandths(least.at_mm if least else None),
            "opening_mm": thousandths(self.opening_mm),
            "wheel_margin_mm": thousandths(margin.mm if margin else None),
            "wheel_margin_at_mm": thousandths(margin.at_mm if margin else None),
            "rod_forces_n": {
                order: [round(f.least), round(f.most)] for order, f in self.rod_forces_n
            },
            "disagreements": list(self.disagreements),
        }
