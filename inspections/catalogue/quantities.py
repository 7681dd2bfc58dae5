"""What is measured: how, where, in which unit, and what value it can have at all.

A fact that nobody knows yet never spares a question: it is asked until it is known not to apply.
"""

from collections.abc import Callable
from dataclasses import dataclass

from assets.engineering.words import (
    InsulationSide,
    Lie,
    Side,
)
from assets.models import Points, Position
from inspections.catalogue.rod_places import RodPlace, may_be_insulated
from inspections.words import InstrumentKind, QuantityCode, Verdict, Way

LOCK_TESTS = (QuantityCode.LOCK_GO, QuantityCode.LOCK_NO_GO)
LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)
SIDES = (Side.LEFT, Side.RIGHT)
GAUGE_SPREAD_MM = 60  # a gauge further off than this is a slip of the pen


def _three_figures(amount: float) -> float:
    return float(f"{amount:.3g}")


@dataclass(frozen=True)
class Quantity:
    """One thing measured: its unit, how it is taken, and what value it can have at all."""

    code: QuantityCode
    unit: str
    how: str
    instrument: InstrumentKind
    least: float  # in the unit; a value outside least to most is a slip, not a reading
    most: float
    at_toe: bool = False
    at_lock: bool = False  # at the lock stretcher's place
    at_others: bool = False  # at the places of the other stretchers
    between: bool = False  # between the stretchers, at a distance from the toe
    asked_at: Callable[[RodPlace], bool] = lambda rod_place: (
        True
    )  # of a place where it can be taken
    sides_at: Callable[[RodPlace], tuple[str, ...]] = lambda rod_place: ("",)
    by_lie: bool = False
    lie_may_be_unsaid: bool = False  # read without it in the past, and then of either
    by_side: bool = False
    of_the_rod: bool = False  # without a rod there is nothing to measure
    faults_rod: bool = False  # what is wrong is the rod's own, and goes with it when it is moved
    answers: tuple[str, str] | None = None  # the words for 0 and 1 of a test

    @property
    def label(self) -> str:
        return self.code.label

    def plausible(self, points: Points) -> tuple[float, float]:
        """Least and most that a reading can be at these points, in the unit."""
        if points.gauge_mm is not None and self.code == QuantityCode.TRACK_GAUGE:
            return points.gauge_mm - GAUGE_SPREAD_MM, points.gauge_mm + GAUGE_SPREAD_MM
        if points.gauge_mm is not None and self.code == QuantityCode.FWP:
            return points.gauge_mm - 250, points.gauge_mm
        return self.least, self.most

    def refuses(self, value: float, points: Points) -> str:
        """Why a value cannot be a reading of this quantity; "" where it can."""
        if self.answers and value not in (0, 1):
            return f"The {self.label} is {self.answers[1]} (1) or {self.answers[0]} (0)."
        least, most = self.plausible(points)
        if least <= value <= most:
            return ""
        return (
            f"{self.written(value)} cannot be right: {self.label} is between "
            f"{self.written(least)} and {self.written(most)}. Measure again, or check the figure."
        )

    def refuses_place(
        self, position: Position | None, at_mm: float | None, side: str, lie: str
    ) -> str:
        """Why it is not taken there; "" where it is."""
        if position is None and at_mm is None and not self.at_toe:
            return f"Say at which stretcher the {self.label} was taken."
        if position is not None and not (self.at_lock if position.order == 0 else self.at_others):
            return f"The {self.label} is not taken at the {position.name}."
        if at_mm is not None and not self.between:
            return f"The {self.label} is not taken between the stretchers."
        if self.by_lie and not lie and not self.lie_may_be_unsaid:
            return f"Say on which lie the {self.label} was taken."
        if lie and not self.by_lie:
            return f"The {self.label} does not depend on the lie: leave the lie out."
        if side and not self.by_side:
            return f"The {self.label} does not depend on the side: leave the side out."
        return ""

    def written(self, value: float | None) -> str:
        """A value in words: "52.5 mm", "2 MΩ", "locked"."""
        if value is None:
            return "not taken"
        if self.answers:
            return self.answers[1 if value else 0]
        if self.unit == "Ω":
            for factor, prefix in ((1e6, "M"), (1e3, "k")):
                if abs(value) >= factor:
                    return f"{value / factor:.10g} {prefix}Ω"
        return f"{round(value, 3):.10g} {self.unit}".strip()

    def result_words(
        self,
        verdict: Verdict,
        way: str,
        value: float | None,
        minimum: float | None,
        maximum: float | None,
    ) -> str:
        """The result by the limit that decided: "out of limits: too small by 6 mm"."""
        bound, size = (minimum, "small") if way == Way.BELOW else (maximum, "large")
        if not way or value is None or bound is None:
            return verdict.result
        if self.answers:
            return f"{verdict.result}: {self.limit_words(minimum, maximum)}"
        return f"{verdict.result}: too {size} by {self.written(_three_figures(abs(value - bound)))}"

    def limit_words(self, minimum: float | None, maximum: float | None) -> str:
        """A limit in words: "at least 50 mm", "3 to 6 mm", "must lock"."""
        if minimum is None and maximum is None:
            return "no limit"
        if self.answers:
            verb = "lock" if self.code in LOCK_TESTS else "make"
            return f"must {verb}" if minimum else f"must not {verb}"
        if maximum is None:
            return f"at least {self.written(minimum)}"
        if minimum is None:
            return f"at most {self.written(maximum)}"
        return f"{self.written(minimum).removesuffix(f' {self.unit}')} to {self.written(maximum)}"


def _insulated_sides(rod_place: RodPlace) -> tuple[str, ...]:
    side = rod_place.rod.insulation_side
    if side == InsulationSide.BOTH:
        return SIDES
    return (side,) if side in SIDES else ("",)


def _has_or_needs_kicker(rod_place: RodPlace) -> bool:
    return rod_place.rod.kicker is not False or rod_place.position.kicker_required is True


def _may_be_driven(rod_place: RodPlace) -> bool:
    """Driven, or not known not to be; the lock stretcher only where it is known to be."""
    return rod_place.position.driven is True or (
        rod_place.position.driven is None and not rod_place.is_lock
    )


QUANTITIES: dict[QuantityCode, Quantity] = {
    quantity.code: quantity
    for quantity in (
        Quantity(
            QuantityCode.SWITCH_OPENING,
            "mm",
            "At the toe, between the open switch rail and its stock rail.",
            InstrumentKind.RULE,
            least=10,
            most=250,
            at_toe=True,
            by_lie=True,
        ),
        Quantity(
            QuantityCode.TRACK_GAUGE,
            "mm",
            "Between the running edges, within 14 mm below the top; at the toe first. On each lie: "
            "the closed switch rail is one of the two.",
            InstrumentKind.TRACK_GAUGE,
            least=300,
            most=1750,
            at_toe=True,
            between=True,
            by_lie=True,
            lie_may_be_unsaid=True,
        ),
        Quantity(
            QuantityCode.FWC,
            "mm",
            "From the running edge of the stock rail to the back of the open switch rail.",
            InstrumentKind.RULE,
            least=0,
            most=250,
            at_others=True,
            between=True,
            by_lie=True,
        ),
        Quantity(
            QuantityCode.FWP,
            "mm",
            "Across the track, from the running edge of the closed switch rail to the back of the "
            "open one. With gauge and residual opening it checks the clearance.",
            InstrumentKind.TRACK_GAUGE,
            least=50,
            most=1750,
            at_others=True,
            between=True,
            by_lie=True,
        ),
        Quantity(
            QuantityCode.RESIDUAL_OPENING,
            "mm",
            "The gap left at the stretcher between the closed switch rail and its stock rail, over "
            "the planing, where the two should touch.",
            InstrumentKind.FEELER,
            least=0,
            most=60,
            at_lock=True,
            at_others=True,
            asked_at=lambda rod_place: not rod_place.gap_mm,
            by_lie=True,
        ),
        Quantity(
            QuantityCode.CLOSED_GAP,
            "mm",
            "Behind the planing, from the running edge of the stock rail to the back of the closed "
            "switch rail. There is a gap there by the shape of the switch.",
            InstrumentKind.RULE,
            least=0,
            most=300,
            at_lock=True,
            at_others=True,
            asked_at=lambda rod_place: bool(rod_place.gap_mm),
            by_lie=True,
        ),
        Quantity(
            QuantityCode.LOCK_GO,
            "locked or not",
            "Hold the gauge that must lock between the closed switch rail and its stock rail, and "
            "try the lock.",
            InstrumentKind.OBSTRUCTION,
            least=0,
            most=1,
            at_lock=True,
            by_lie=True,
            of_the_rod=True,
            answers=("not locked", "locked"),
        ),
        Quantity(
            QuantityCode.LOCK_NO_GO,
            "locked or not",
            "Hold the gauge that must not lock between the closed switch rail and its stock rail, "
            "and try the lock.",
            InstrumentKind.OBSTRUCTION,
            least=0,
            most=1,
            at_lock=True,
            by_lie=True,
            of_the_rod=True,
            answers=("not locked", "locked"),
        ),
        Quantity(
            QuantityCode.DETECT_GO,
            "made or not",
            "Hold the gauge between the closed switch rail and its stock rail, keep the lock from "
            "holding the switch rail, and see whether detection makes. It must.",
            InstrumentKind.OBSTRUCTION,
            least=0,
            most=1,
            at_toe=True,
            by_lie=True,
            answers=("not made", "made"),
        ),
        Quantity(
            QuantityCode.DETECT_NO_GO,
            "made or not",
            "Hold the gauge between the closed switch rail and its stock rail, keep the lock from "
            "holding the switch rail, and see whether detection makes. It must not.",
            InstrumentKind.OBSTRUCTION,
            least=0,
            most=1,
            at_toe=True,
            by_lie=True,
            answers=("not made", "made"),
        ),
        Quantity(
            QuantityCode.LOCK_ENGAGEMENT,
            "mm",
            "How far the lock has entered the notch of the lock stretcher, with the points locked.",
            InstrumentKind.RULE,
            least=0,
            most=120,
            at_lock=True,
            by_lie=True,
            of_the_rod=True,
        ),
        Quantity(
            QuantityCode.LOCK_SLOT,
            "mm",
            "Across the notch of the lock stretcher that the lock enters on this lie, along the "
            "stretcher.",
            InstrumentKind.RULE,
            least=1,
            most=120,
            at_lock=True,
            by_lie=True,
            of_the_rod=True,
        ),
        Quantity(
            QuantityCode.HOLDING_FORCE,
            "N",
            "Where points have no lock: the pull at the toe that just starts the closed switch "
            "rail from its stock rail.",
            InstrumentKind.SPRING_BALANCE,
            least=0,
            most=20_000,
            at_toe=True,
            by_lie=True,
        ),
        Quantity(
            QuantityCode.KICKER_CLEARANCE,
            "mm",
            "Between the top of the kicker and the foot of the stock rail above it.",
            InstrumentKind.FEELER,
            least=0,
            most=60,
            at_lock=True,
            at_others=True,
            asked_at=_has_or_needs_kicker,
            sides_at=lambda rod_place: SIDES,
            by_side=True,
            of_the_rod=True,
        ),
        Quantity(
            QuantityCode.LOST_MOTION,
            "mm",
            "Movement of the drive rod before the switch begins to move.",
            InstrumentKind.RULE,
            least=0,
            most=300,
            at_lock=True,
            at_others=True,
            asked_at=_may_be_driven,
        ),
        Quantity(
            QuantityCode.INSULATION_RESISTANCE,
            "Ω",
            "Across the insulation of the stretcher, as it is fitted.",
            InstrumentKind.INSULATION_TESTER,
            least=0,
            most=1e9,
            at_lock=True,
            at_others=True,
            asked_at=lambda rod_place: may_be_insulated(rod_place.rod),
            sides_at=_insulated_sides,
            by_side=True,
            of_the_rod=True,
        ),
        Quantity(
            QuantityCode.TORQUE,
            "N·m",
            "Torque of the bolts that hold the shoe to the switch rail, read on the wrench.",
            InstrumentKind.TORQUE_WRENCH,
            least=0,
            most=1000,
            at_lock=True,
            at_others=True,
            sides_at=lambda rod_place: SIDES,
            by_side=True,
            of_the_rod=True,
            faults_rod=True,
        ),
    )
}
