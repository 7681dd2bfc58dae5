"""Figures that nobody has published for every railway: assumed until this one confirms its own.

``Assumed`` is handed down to whatever needs one of them; ``ASSUMPTIONS`` says of each what it is,
what it can be and where it is used. Whatever sentence tells such a figure tells its source too.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from .words import Vocabulary


@dataclass(frozen=True, slots=True)
class Assumed:
    """The figures in force: those of the railway where it has confirmed them, else assumed."""

    repeat_opening_mm: float = 0.5
    repeat_fwc_mm: float = 0.5
    repeat_residual_mm: float = 0.5
    repeat_fwp_mm: float = 0.5
    repeat_gauge_mm: float = 0.5
    home_mm: float = 1.0
    gauge_along_mm: float = 0.5
    gauge_recorded_mm: float = 3.0
    gauge_here_mm: float = 150.0
    readings_agree_mm: float = 3.0
    absurd_force_n: float = 20_000.0
    gooseneck_n_mm: float = 1_000.0
    rod_force_n: float = 20_000.0
    unforced_within_mm: float = 2.0
    thread_margin_mm: float = 3.0
    shim_most_mm: float = 6.0
    straight_space_mm: float = 20.0
    gooseneck_space_mm: float = 60.0
    feet_agree_mm: float = 1.0
    visit_share: float = 0.5  # a ratio
    torque_again_days: float = 14.0  # in the unit of its name
    confirmed: tuple[tuple[str, str], ...] = ()  # code and source of what the railway confirmed

    @classmethod
    def with_own(cls, figures: Mapping[str, tuple[float, str]]) -> "Assumed":
        """With the railway's own figures, by code: each with its source."""
        values = {code: value for code, (value, _) in figures.items()}
        return cls(**values, confirmed=tuple((c, source) for c, (_, source) in figures.items()))

    def source(self, code: str) -> str:
        """Where the railway has the figure from; "" where it is assumed."""
        return dict(self.confirmed).get(code, "")

    def mark(self, code: str) -> str:
        """What stands behind the figure in a sentence: "(assumed)" or "(its source)"."""
        return f"({self.source(code) or 'assumed'})"

    def figure(self, code: str) -> str:
        """The figure with its unit: "20 mm"."""
        return BY_CODE[code].written(getattr(self, code))

    def told(self, code: str) -> str:
        """The figure as a sentence tells it: "20 mm (assumed)"."""
        return f"{self.figure(code)} {self.mark(code)}"

    def filled(self, text: str) -> str:
        """A text in which ``{code}`` stands for a figure, with the figures told."""
        return text.format_map(_Told(self)) if "{" in text else text


class _Told(dict[str, str]):
    """Each figure as a sentence tells it, made when it is asked for."""

    def __init__(self, assumed: Assumed) -> None:
        self.assumed = assumed

    def __missing__(self, code: str) -> str:
        return self.assumed.told(code)


NOTHING_CONFIRMED = Assumed()


class FigureCode(Vocabulary):
    """What each figure is, in the words of the page and the workbook."""

    REPEAT_OPENING = "repeat_opening_mm", "switch opening: how far two readings of it differ"
    REPEAT_FWC = "repeat_fwc_mm", "free wheel clearance: how far two readings of it differ"
    REPEAT_RESIDUAL = "repeat_residual_mm", "residual opening: how far two readings of it differ"
    REPEAT_FWP = "repeat_fwp_mm", "free wheel passage: how far two readings of it differ"
    REPEAT_GAUGE = "repeat_gauge_mm", "track gauge: how far two readings of it differ"
    HOME = "home_mm", "closed switch rail where it is held, not read: how far off it may be"
    GAUGE_ALONG = "gauge_along_mm", "track gauge: how far it wanders over a metre of the switch"
    GAUGE_RECORDED = "gauge_recorded_mm", "track gauge recorded, not read: how far off it may be"
    GAUGE_HERE = "gauge_here_mm", "track gauge read this near a stretcher is read at it"
    READINGS_AGREE = "readings_agree_mm", "readings that agree: the most they differ by"
    ABSURD_FORCE = "absurd_force_n", "force in a stretcher above which readings are doubted"
    GOOSENECK = "gooseneck_n_mm", "least stiffness of a gooseneck"
    ROD_FORCE = "rod_force_n", "most force in a stretcher that advice may leave"
    UNFORCED_WITHIN = "unforced_within_mm", "middle stretcher taken as not forcing the switch rail"
    THREAD_MARGIN = "thread_margin_mm", "thread to spare at either end of an adjustable stretcher"
    SHIM_MOST = "shim_most_mm", "most shims at each shoe"
    STRAIGHT_SPACE = "straight_space_mm", "space from a stretcher to the timbers"
    GOOSENECK_SPACE = "gooseneck_space_mm", "space from a gooseneck to the timber on its side"
    FEET_AGREE = "feet_agree_mm", "feet of flat-bottom rails that take the same shoes"
    VISIT_SHARE = "visit_share", "share of what is asked that makes a visit the inspection"
    TORQUE_AGAIN = "torque_again_days", "time within which torque is read again after work"


@dataclass(frozen=True, slots=True)
class Assumption:
    """One figure: its unit, what it can be at all, and what it is used for."""

    code: FigureCode
    unit: str  # "" for a share of 1
    least: float  # in the unit of the figure
    most: float  # in the unit of the figure
    used: str

    @property
    def value(self) -> float:
        """What is assumed, in the unit."""
        return float(getattr(NOTHING_CONFIRMED, self.code.value))

    def written(self, value: float) -> str:
        """A value of it with its unit: "20 mm"."""
        return f"{value:.10g} {self.unit}".strip()

    @property
    def assumed(self) -> str:
        """What is assumed, in words: "0.5 mm"."""
        return self.written(self.value)

    @property
    def range(self) -> str:
        """What it can be, in words: "0.1 to 5 mm"."""
        return f"{self.least:g} to {self.written(self.most)}"


_SIGMA = "as one σ: with the instrument it decides what is too close to call"
_C = FigureCode
ASSUMPTIONS = (
    Assumption(_C.REPEAT_OPENING, "mm", 0.05, 5, _SIGMA),
    Assumption(_C.REPEAT_FWC, "mm", 0.05, 5, _SIGMA),
    Assumption(_C.REPEAT_RESIDUAL, "mm", 0.05, 5, _SIGMA),
    Assumption(_C.REPEAT_FWP, "mm", 0.05, 5, _SIGMA),
    Assumption(_C.REPEAT_GAUGE, "mm", 0.05, 5, _SIGMA),
    Assumption(_C.HOME, "mm", 0.1, 10, "as one σ, in combining the readings of a lie"),
    Assumption(_C.GAUGE_ALONG, "mm", 0.05, 10, "as one σ, in combining the readings of a lie"),
    Assumption(_C.GAUGE_RECORDED, "mm", 0.5, 30, "as one σ, where no track gauge was read"),
    Assumption(_C.GAUGE_HERE, "mm", 10, 1_000, "in the separation that the rule of length asks"),
    Assumption(_C.READINGS_AGREE, "mm", 0.5, 10, "to tell a likely misreading of the open switch"),
    Assumption(_C.ABSURD_FORCE, "N", 1_000, 100_000, "to tell a likely misreading"),
    Assumption(_C.GOOSENECK, "N/mm", 50, 100_000, "in advice, besides a gooseneck that gives none"),
    Assumption(_C.ROD_FORCE, "N", 1_000, 100_000, "in advice on what to turn"),
    Assumption(_C.UNFORCED_WITHIN, "mm", 0.2, 20, "in advice that is not needed but may ease"),
    Assumption(_C.THREAD_MARGIN, "mm", 0, 30, "rule of length"),
    Assumption(_C.SHIM_MOST, "mm", 0, 30, "rule of length, and advice on fixed stretchers"),
    Assumption(_C.STRAIGHT_SPACE, "mm", 1, 200, "rule of timber space"),
    Assumption(_C.GOOSENECK_SPACE, "mm", 1, 400, "rule of timber space"),
    Assumption(_C.FEET_AGREE, "mm", 0.1, 5, "rules of the shoes"),
    Assumption(_C.VISIT_SHARE, "", 0.05, 1, "whether a visit puts the next inspection off"),
    Assumption(_C.TORQUE_AGAIN, "days", 1, 90, "what is owed after work on a stretcher"),
)
BY_CODE: dict[str, Assumption] = {row.code.value: row for row in ASSUMPTIONS}
