"""What can be said of one lie of a set of points.

Lengths in mm, x from the toe, forces in N.
"""

from dataclasses import dataclass
from typing import Any

from .open_switch import Least
from .readings import Force
from .thousandths import thousandths
from .two_rails.certainty import GUARD, Decision, Sure
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
class HowSure:
    """How sure one lie is, by all its readings together."""

    least_sigma_mm: float
    clearance: Sure | None  # None: no limit
    opening: Decision | None  # None: no limit
    low_mm: tuple[float, ...] = ()  # clearance is that much at each place of the profile, or more
    high_mm: tuple[float, ...] = ()  # ... or less; each 95 % sure
    doubted: bool = False  # the readings do not agree with one another

    @property
    def spread_mm(self) -> float:
        """The least clearance is so far from the truth at most, each way 95 % sure."""
        return GUARD * self.least_sigma_mm

    @property
    def all(self) -> Sure | None:
        """Whether each verdict would stand if all were read once more; None: there is none."""
        told = [self.clearance, self.opening and self.opening.sure]
        return Sure.TOO_CLOSE if Sure.TOO_CLOSE in told else self.clearance


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
    how_sure: HowSure | None = None  # None: cannot say, or what was read no longer holds
    least_most_mm: float | None = None  # the least clearance in the best of all ways it may be
    opening_range_mm: tuple[float, float] | None = None  # over all ways it may be

    @property
    def level(self) -> FwcVerdict:
        """How the verdict is to look: never as good where wheels touch or it is too close."""
        if self.verdict == FwcVerdict.WHEELS_TOUCH:
            return FwcVerdict.OUT
        in_doubt = self.sure == Sure.TOO_CLOSE or self.doubted
        return FwcVerdict.ALERT if in_doubt and self.verdict == FwcVerdict.WITHIN else self.verdict

    @property
    def sure(self) -> Sure | None:
        """How sure the verdict is; None: no limit, or what was read no longer holds."""
        return None if self.how_sure is None else self.how_sure.clearance

    @property
    def doubted(self) -> bool:
        """Whether the readings do not agree with one another."""
        return self.how_sure is not None and self.how_sure.doubted

    @property
    def words(self) -> str:
        """The verdict, and whether it is clear: never that of readings that disagree."""
        if self.doubted:
            return f"{self.verdict.label}; the readings disagree"
        if not self.sure or (self.verdict == FwcVerdict.WHEELS_TOUCH and self.sure == Sure.CLEAR):
            return self.verdict.label
        return f"{self.verdict.label}, {self.sure.label}"

    @property
    def opening_words(self) -> str:
        """The same of the opening at the toe, which is judged only where there are limits."""
        judged = self.how_sure and self.how_sure.opening
        if not judged:
            return ""
        return f"{'within' if judged.within else 'out of'} limits, {judged.sure.label}"

    @property
    def least_fwc_range_mm(self) -> tuple[float, float] | None:
        """The least clearance over all ways that studs and goosenecks may be."""
        if self.least_fwc is None:
            return None
        most = self.least_most_mm
        return self.least_fwc.mm, self.least_fwc.mm if most is None else most

    @property
    def wheels_touch(self) -> bool | None:
        return None if self.wheel_margin is None else self.wheel_margin.mm < 0

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers, words and lists, ready to be written as JSON."""
        least, margin = self.least_fwc, self.wheel_margin
        between, sure = self.least_fwc_range_mm, self.how_sure
        return {
            "verdict": self.verdict.value,
            "least_fwc_mm": thousandths(least.mm if least else None),
            "least_fwc_at_mm": thousandths(least.at_mm if least else None),
            "least_fwc_range_mm": None if between is None else [thousandths(mm) for mm in between],
            "least_sigma_mm": thousandths(sure.least_sigma_mm if sure else None),
            "sure": sure.all.value if sure and sure.all else None,
            "opening_mm": thousandths(self.opening_mm),
            "wheel_margin_mm": thousandths(margin.mm if margin else None),
            "wheel_margin_at_mm": thousandths(margin.at_mm if margin else None),
            "rod_forces_n": {
                order: [round(f.least), round(f.most)] for order, f in self.rod_forces_n
            },
            "disagreements": list(self.disagreements),
        }
