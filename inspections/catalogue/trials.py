"""What a lock or detection test says, by the thickness of its gauge and where it was put.

Pure, no database. A test that was not tried as the railway's regime asks still says what follows
from it: what locks with a thicker gauge would lock with a thinner one, and what does not lock with
a thinner one would not with a thicker one. Anything else, and a gauge put elsewhere, says nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from inspections.words import QuantityCode

TESTS = (
    QuantityCode.LOCK_GO,
    QuantityCode.LOCK_NO_GO,
    QuantityCode.DETECT_GO,
    QuantityCode.DETECT_NO_GO,
)
MUST = (QuantityCode.LOCK_GO, QuantityCode.DETECT_GO)


@dataclass(frozen=True)
class Trial:
    """A gauge between the closed switch rail and its stock rail: thickness (mm; None: not said)
    and where it is put, in words."""

    thickness_mm: float | None
    at: str = ""

    @property
    def words(self) -> str:
        """ "1.5 mm gauge at the toe"."""
        gauge = "gauge" if self.thickness_mm is None else f"{self.thickness_mm:g} mm gauge"
        return f"{gauge} {self.at}".strip()


Trials = Mapping[QuantityCode, Trial]


def tells(asked: Trial | None, tried: Trial, held: bool) -> bool:
    """Whether a test says anything of what the regime asks; ``held``: it locked, or made.

    Without a regime, or where nobody said which gauge was tried, it is taken as it was asked.
    """
    if asked is None or asked.thickness_mm is None or tried.thickness_mm is None:
        return True
    if tried.at != asked.at:
        return False
    if held:
        return tried.thickness_mm >= asked.thickness_mm
    return tried.thickness_mm <= asked.thickness_mm
