"""What is measured and what is looked at: how, where, and at which places of given points.

A fact that nobody knows yet never spares a question: it is asked until it is known not to apply.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from assets.engineering.words import (
    Adjustability,
    Fixings,
    Form,
    InsulationKind,
    InsulationSide,
    Lie,
    Side,
)
from assets.models import Points, Position
from inspections.catalogue.rod_places import Site
from inspections.words import InstrumentKind, ItemCode, QuantityCode, Verdict

LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)
SIDES = (Side.LEFT, Side.RIGHT)
GAUGE_SPREAD_MM = 60  # a gauge further off than this is a slip of the pen


def _may_be(value: str, *words: str) -> bool:
    return value in words or value == "unknown"


def _insulated(rod) -> bool:
    """Insulated, or not known not to be."""
    return rod.insulation_side != InsulationSide.NONE


def _adjustable(rod) -> bool:
    return _may_be(rod.adjustability, Adjustability.ADJUSTABLE)


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
    asked_at: Callable[[Site], bool] = lambda site: True  # of a place where it can be taken
    sides_at: Callable[[Site], tuple[str, ...]] = lambda site: ("",)
    by_lie: bool = False
    by_side: bool = False
    of_the_rod: bool = False  # without a rod there is nothing to measure
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
        if self.by_lie and not lie:
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
        self, verdict: Verdict, value: float | None, minimum: float | None, maximum: float | None
    ) -> str:
        """The result by the limit that decided: "out of limits: too small by 6 mm"."""
        if value is None:
            return verdict.result
        if minimum is not None and value < minimum:
            by = f"too small by {self.written(_three_figures(minimum - value))}"
        elif maximum is not None and value > maximum:
            by = f"too large by {self.written(_three_figures(value - maximum))}"
        else:
            return verdict.result
        return f"{verdict.result}: {self.limit_words(minimum, maximum) if self.answers else by}"

    def limit_words(self, minimum: float | None, maximum: float | None) -> str:
        """A limit in words: "at least 50 mm", "3 to 6 mm", "must lock"."""
        if minimum is None and maximum is None:
            return "no limit"
        if self.answers:
            return "must lock" if minimum else "must not lock"
        if maximum is None:
            return f"at least {self.written(minimum)}"
        if minimum is None:
            return f"at most {self.written(maximum)}"
        return f"{self.written(minimum).removesuffix(f' {self.unit}')} to {self.written(maximum)}"


def _insulated_sides(site: Site) -> tuple[str, ...]:
    side = site.rod.insulation_side
    if side == InsulationSide.BOTH:
        return SIDES
    return (side,) if side in SIDES else ("",)


def _has_or_needs_kicker(site: Site) -> bool:
    return site.rod.kicker is not False or site.position.kicker_required is True


def _may_be_driven(site: Site) -> bool:
    """Driven, or not known not to be; the lock stretcher only where it is known to be."""
    return site.position.driven is True or (site.position.driven is None and not site.is_lock)


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
            "Between the running edges, within 14 mm below the top; at the toe first.",
            InstrumentKind.TRACK_GAUGE,
            least=300,
            most=1750,
            at_toe=True,
            between=True,
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
            "The gap left at the stretcher between the closed switch rail and its stock rail.",
            InstrumentKind.FEELER,
            least=0,
            most=60,
            at_lock=True,
            at_others=True,
            by_lie=True,
        ),
        Quantity(
            QuantityCode.LOCK_GO,
            "locked or not",
            "Hold the gauge that must lock between the closed switch rail and its stock rail at "
            "the toe, and try the lock.",
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
            "Hold the gauge that must not lock between the closed switch rail and its stock rail "
            "at the toe, and try the lock.",
            InstrumentKind.OBSTRUCTION,
            least=0,
            most=1,
            at_lock=True,
            by_lie=True,
            of_the_rod=True,
            answers=("not locked", "locked"),
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
            sides_at=lambda site: SIDES,
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
            asked_at=lambda site: _insulated(site.rod),
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
            sides_at=lambda site: SIDES,
            by_side=True,
            of_the_rod=True,
        ),
    )
}


@dataclass(frozen=True)
class Item:
    """One thing looked at, and how to look in one sentence."""

    code: ItemCode
    how: str
    asked_at: Callable[[Site], bool] | None = None  # None: looked at once for the whole points

    @property
    def label(self) -> str:
        return self.code.label


ITEMS: dict[ItemCode, Item] = {
    item.code: item
    for item in (
        Item(
            ItemCode.GOOSENECK_CRACK,
            "Clean the cranked part and look along the inside of each bend for a line of rust.",
            lambda site: _may_be(site.rod.form, Form.GOOSENECK),
        ),
        Item(
            ItemCode.SHOE_CRACK,
            "Examine the root of each shoe and round its bolt holes, using a light.",
            lambda site: True,
        ),
        Item(
            ItemCode.WELD,
            "Look all round each weld between the bar and its end for a line or flaking paint.",
            lambda site: _adjustable(site.rod),
        ),
        Item(
            ItemCode.RUBBER_BUSH,
            "Check that the rubber bulges evenly all round and is not squashed, split or oily.",
            lambda site: (
                _adjustable(site.rod)
                and _insulated(site.rod)
                and _may_be(site.rod.insulation_kind, InsulationKind.RUBBER_BUSH)
            ),
        ),
        Item(
            ItemCode.INSULATION_PLATES,
            "Check that plates and bushes are whole and in place, with no swarf or grease across.",
            lambda site: (
                _insulated(site.rod)
                and _may_be(site.rod.insulation_kind, InsulationKind.BUSH_AND_PLATES)
            ),
        ),
        Item(
            ItemCode.METAL_TOUCHING,
            "Check that no metal bridges the stretcher to the other rail or to a chair: swarf, "
            "wire, a bolt end, a tool left behind.",
            lambda site: site.points.track_circuited is not False,
        ),
        Item(
            ItemCode.CAPTIVE_NUT,
            "Check that each captive nut is in its housing and does not turn with the bolt.",
            lambda site: _may_be(site.rod.fixings, Fixings.CAPTIVE_NUT),
        ),
        Item(
            ItemCode.LOCK_NUTS,
            "Try each lock nut with a spanner: it must not move.",
            lambda site: (
                _adjustable(site.rod) or _may_be(site.rod.fixings, Fixings.FULL_AND_HALF_NUT)
            ),
        ),
        Item(
            ItemCode.FIXINGS,
            "Check that every bolt, washer and pin is there and tight; a bright ring shows that it "
            "has moved.",
            lambda site: True,
        ),
        Item(
            ItemCode.GREASING,
            "Check that there is grease on the thread behind the back nuts.",
            lambda site: _adjustable(site.rod),
        ),
        Item(
            ItemCode.BALLAST,
            "Check that no ballast lies against the stretcher or in its way, on both lies.",
            lambda site: True,
        ),
        Item(
            ItemCode.TIMBER_FOULING,
            "Check that the stretcher clears the timbers on both sides through its whole movement.",
            lambda site: True,
        ),
        Item(
            ItemCode.WEAR_MARKS,
            "Look along the back of each switch rail for bright marks made by wheels.",
        ),
        Item(
            ItemCode.SWITCH_CREEP,
            "Check that both toes are square to each other and to the marks on the stock rails.",
        ),
        Item(
            ItemCode.SLIDE_CHAIRS,
            "Check that the switch rails bear on every slide chair, and that the chairs are clean "
            "and whole.",
        ),
        Item(
            ItemCode.RAIL_DAMAGE,
            "Look along switch and stock rails for cracks, chipped toes, lipping and wheel burns.",
        ),
    )
}


@dataclass(frozen=True)
class Spot:
    """Where one reading is wanted. No site: at the toe, or at a free place between the rods."""

    quantity: Quantity
    site: Site | None = None
    side: str = ""
    lie: str = ""
    between: bool = False

    @property
    def position(self) -> Position | None:
        return self.site.position if self.site else None

    @property
    def place_key(self) -> tuple:
        """What readings at this spot have in common: see ``place_key_of``."""
        position = self.site.position.pk if self.site else None
        return (self.quantity.code, position, self.between, self.side, self.lie)


def place_key_of(reading) -> tuple:
    """The key of the spot that a reading (or an entry of one) belongs to."""
    position = reading.position.pk if reading.position else None
    return (
        QuantityCode(reading.quantity),
        position,
        reading.at_mm is not None,
        reading.side,
        reading.lie,
    )


def place_words(position: Position | None, at_mm: float | None, side: str, lie: str) -> str:
    """Where a reading was taken: "second stretcher, left closed", "at the toe", "2100 mm ..."."""
    if position is not None:
        where = position.name
    elif at_mm is not None:
        where = f"{at_mm:g} mm from the toe"
    else:
        where = "at the toe"
    words = [where]
    if side:
        words.append(f"{side} side")
    if lie:
        words.append(Lie(lie).label)
    return ", ".join(words)


def spots_of(points: Points, sites: Iterable[Site]) -> list[Spot]:
    """Every reading that these points need, place by place from the toe."""
    toe = [Spot(q, lie=lie) for q in QUANTITIES.values() if q.at_toe for lie in _lies(q)]
    at_rods = [spot for site in sites for spot in _spots_at(site)]
    between = [
        Spot(q, lie=lie, between=True)
        for q in QUANTITIES.values()
        if q.between and q.by_lie
        for lie in _lies(q)
    ]
    return toe + at_rods + between


def _spots_at(site: Site) -> list[Spot]:
    return [
        Spot(quantity, site, side, lie)
        for quantity in QUANTITIES.values()
        if (quantity.at_lock if site.is_lock else quantity.at_others)
        if site.rod or not quantity.of_the_rod
        if quantity.asked_at(site)
        for side in quantity.sides_at(site)
        for lie in _lies(quantity)
    ]


def _lies(quantity: Quantity) -> tuple[str, ...]:
    return LIES if quantity.by_lie else ("",)


def items_at(site: Site) -> list[Item]:
    """What is to be looked at at one place; nothing where no rod is recorded."""
    if site.rod is None:
        return []
    return [item for item in ITEMS.values() if item.asked_at and item.asked_at(site)]


def items_of_points() -> list[Item]:
    """What is looked at once for the whole points."""
    return [item for item in ITEMS.values() if item.asked_at is None]


def asked_of(points: Points, sites: Sequence[Site]) -> tuple[set[tuple], set[tuple]]:
    """What the form asks of these points: keys of readings, and of things to examine."""
    readings = {spot.place_key for spot in spots_of(points, sites)}
    looks = {(item.code, site.position.pk) for site in sites for item in items_at(site)}
    return readings, looks | {(item.code, None) for item in items_of_points()}


_LAST = 99  # after every stretcher
_QUANTITY_ORDER = {code: place for place, code in enumerate(QUANTITIES)}
_ITEM_ORDER = {code: place for place, code in enumerate(ITEMS)}


def from_the_toe(reading) -> tuple:
    """Sorts readings as people walk: toe, stretchers, between them; then as in the catalogue."""
    between = _LAST if reading.at_mm is not None else -1
    place = reading.position.order if reading.position else between
    quantity = _QUANTITY_ORDER[QuantityCode(reading.quantity)]
    return (place, reading.at_mm or 0, quantity, reading.side, reading.lie, reading.pk)


def looks_from_the_toe(examination) -> tuple:
    """Sorts examinations as people walk, the points as a whole last."""
    place = examination.position.order if examination.position else _LAST
    return (place, _ITEM_ORDER[ItemCode(examination.item)], examination.pk)
