"""How sure a figure is, and whether that is enough to say on which side of a limit it lies.

JCGM 106:2012, "Evaluation of measurement data - The role of measurement uncertainty in conformity
assessment": a figure that is nearer to its limit than k times its σ is too close to call.
"""

from dataclasses import dataclass
from math import hypot, inf, sqrt
from statistics import NormalDist

from assets.engineering.cannot_say import known
from assets.engineering.words import Vocabulary

GUARD = 1.645  # σ to the limit, 95 % on one side
_NORMAL = NormalDist()


class Sure(Vocabulary):
    """Whether a verdict would stand if everything were read once more."""

    CLEAR = "clear"
    TOO_CLOSE = "too close to call"


@dataclass(frozen=True)
class Instrument:
    """What is read with; ``repeats`` where the repeatability was found with this very one, so
    that it holds the instrument's own uncertainty already."""

    uncertainty_mm: float = 0.0  # as one σ, from its certificate
    resolution_mm: float = 0.0  # the least step that it is read to
    repeats: bool = False


def reading_sigma_mm(instrument: Instrument, repeat_mm: float) -> float:
    """σ (mm) of one reading: of the instrument, of its resolution and of reading it again.

    >>> round(reading_sigma_mm(Instrument(0.2, 1.0), repeat_mm=0.5), 3)
    0.611
    """
    own = known(instrument.uncertainty_mm, "the uncertainty of the instrument")
    step = known(instrument.resolution_mm, "the resolution of the instrument")
    repeat = known(repeat_mm, "how far two readings of the same thing differ")
    return hypot(0.0 if instrument.repeats else own, step / sqrt(12), repeat)


@dataclass(frozen=True)
class Decision:
    """A figure against its limits as written, and whether that is clear."""

    within: bool
    sure: Sure
    chance_within: float  # a ratio: how likely the true figure is within

    @property
    def clearly_within(self) -> bool:
        return self.within and self.sure == Sure.CLEAR


def decide(
    figure_mm: float,
    sigma_mm: float,
    least_mm: float | None = None,
    most_mm: float | None = None,
    guard: float = GUARD,
) -> Decision:
    """A figure with its σ against the least and most permitted; None: no such limit.

    What equals a limit is within it.
    """
    low = -inf if least_mm is None else least_mm
    high = inf if most_mm is None else most_mm
    room = min(figure_mm - low, high - figure_mm)
    within = round(room, 6) >= 0
    past = max(low - figure_mm, figure_mm - high)  # of the limit that is broken
    clear = (room if within else past) >= guard * sigma_mm
    chance = float(within)
    if sigma_mm > 0:
        below_high, below_low = (_NORMAL.cdf((x - figure_mm) / sigma_mm) for x in (high, low))
        chance = below_high - below_low
    return Decision(within, Sure.CLEAR if clear else Sure.TOO_CLOSE, chance)
