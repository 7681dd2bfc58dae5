"""Where each reading is needed at given points, what the place is called, and the walking order."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from assets.engineering.words import DetectionRods, Use
from assets.models import Points, Position
from inspections.catalogue.looks import ITEMS, items_at, items_of_points
from inspections.catalogue.quantities import LIES, LOCK_TESTS, QUANTITIES, Quantity
from inspections.catalogue.rod_places import RodPlace
from inspections.catalogue.trials import TESTS, Trial, Trials
from inspections.catalogue.where import Where
from inspections.words import ItemCode, QuantityCode


@dataclass(frozen=True)
class Spot:
    """Where one reading is needed. No ``rod_place``: at the toe, or free between the stretchers."""

    quantity: Quantity
    rod_place: RodPlace | None = None
    side: str = ""
    lie: str = ""
    between: bool = False
    trial: Trial | None = None  # the gauge of a test, by the railway's regime

    @property
    def position(self) -> Position | None:
        return self.rod_place.position if self.rod_place else None

    @property
    def where(self) -> Where:
        at = 0.0 if self.between else None
        position = self.position
        name = position.name if position else ""
        return Where(None, position and position.pk, at, self.side, self.lie, name=name)

    @property
    def is_cross_check(self) -> bool:
        """Read across the track to check the others: the page folds it away."""
        gauge = self.quantity.code == QuantityCode.TRACK_GAUGE
        return self.quantity.code == QuantityCode.FWP or (gauge and self.between)

    @property
    def expected_words(self) -> str:
        """What is expected there, or tried: "expected 23.4 mm", "1.5 mm gauge at the toe"."""
        if self.trial is not None:
            return self.trial.words
        if self.quantity.code != QuantityCode.CLOSED_GAP or not self.rod_place:
            return ""
        gap = self.rod_place.gap_mm
        return "" if gap is None else f"expected {gap:.1f} mm"

    @property
    def place_key(self) -> tuple:
        """What readings at this spot have in common: see ``place_key_of``."""
        return (self.quantity.code, self.where)


def place_key_of(reading) -> tuple:
    """The key of the spot that a reading (or an entry of one) belongs to."""
    return (QuantityCode(reading.quantity), reading.where.spot)


def spots_of(points: Points, rod_places: Sequence[RodPlace], trials: Trials) -> list[Spot]:
    """Every reading that these points need, place by place from the toe.

    ``trials`` are the tests of the railway's regime; where it has chosen none, the lock is tried
    with the gauges that the railway has.
    """
    toe = [Spot(q, lie=lie) for q in QUANTITIES.values() if q.at_toe for lie in _lies(q)]
    at_rods = [spot for rod_place in rod_places for spot in _spots_at(rod_place)]
    between = [
        Spot(q, lie=lie, between=True)
        for q in QUANTITIES.values()
        if q.between and q.by_lie
        for lie in _lies(q)
    ]
    spots = toe + at_rods + between
    left_out = _left_out(points, rod_places, trials)
    return [
        replace(spot, trial=trials.get(spot.quantity.code))
        for spot in spots
        if spot.quantity.code not in left_out
    ]


def _left_out(points: Points, rod_places: Sequence[RodPlace], trials: Trials) -> set[QuantityCode]:
    """Tests that are not asked for here, and holding force where there is a lock or may be one."""
    not_asked = set(TESTS) - set(trials)
    if not trials:
        not_asked -= set(LOCK_TESTS)
    if points.use == Use.TRAILING or points.detection_rods == DetectionRods.NONE:
        not_asked |= {QuantityCode.DETECT_GO, QuantityCode.DETECT_NO_GO}
    if any(rod_place.is_lock for rod_place in rod_places):
        not_asked.add(QuantityCode.HOLDING_FORCE)
    return not_asked


def _spots_at(rod_place: RodPlace) -> list[Spot]:
    return [
        Spot(quantity, rod_place, side, lie)
        for quantity in QUANTITIES.values()
        if (quantity.at_lock if rod_place.is_lock else quantity.at_others)
        if rod_place.rod or not quantity.of_the_rod
        if quantity.asked_at(rod_place)
        for side in quantity.sides_at(rod_place)
        for lie in _lies(quantity)
    ]


def _lies(quantity: Quantity) -> tuple[str, ...]:
    return LIES if quantity.by_lie else ("",)


def asked_of(
    points: Points, rod_places: Sequence[RodPlace], trials: Trials
) -> tuple[set[tuple], set[tuple]]:
    """What the form asks of these points: keys of readings, and of things to examine."""
    readings = {spot.place_key for spot in spots_of(points, rod_places, trials)}
    looks = {
        (item.code, rod_place.position.pk)
        for rod_place in rod_places
        for item in items_at(rod_place)
    }
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
