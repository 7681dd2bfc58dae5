"""What is examined, and how, at a stretcher or once for the whole points.

A fact that nobody knows yet never spares a question: it is asked until it is known not to apply.
"""

from collections.abc import Callable
from dataclasses import dataclass

from assets.engineering.words import Fixings, Form, InsulationKind
from inspections.catalogue.rod_places import (
    RodPlace,
    may_be,
    may_be_adjustable,
    may_be_fixed_by,
    may_be_insulated,
)
from inspections.words import ItemCode


@dataclass(frozen=True)
class Item:
    """One thing looked at, and how to look in one sentence."""

    code: ItemCode
    how: str
    asked_at: Callable[[RodPlace], bool] | None = None  # None: looked at once for the whole points
    faults_rod: bool = False  # what is wrong is the rod's own, and goes with it when it is moved

    @property
    def label(self) -> str:
        return self.code.label


ITEMS: dict[ItemCode, Item] = {
    item.code: item
    for item in (
        Item(
            ItemCode.GOOSENECK_CRACK,
            "Clean the cranked part and look along the inside of each bend for a line of rust.",
            lambda rod_place: may_be(rod_place.rod.form, Form.GOOSENECK),
            faults_rod=True,
        ),
        Item(
            ItemCode.SHOE_CRACK,
            "Examine the root of each shoe and round its bolt holes, using a light.",
            lambda rod_place: True,
            faults_rod=True,
        ),
        Item(
            ItemCode.WELD,
            "Look all round each weld between the bar and its end for a line or flaking paint.",
            lambda rod_place: rod_place.rod.welded is not False,
            faults_rod=True,
        ),
        Item(
            ItemCode.RUBBER_BUSH,
            "Check that the rubber bulges evenly all round and is not squashed, split or oily.",
            lambda rod_place: (
                may_be_adjustable(rod_place.rod)
                and may_be_insulated(rod_place.rod)
                and may_be(rod_place.rod.insulation_kind, InsulationKind.RUBBER_BUSH)
            ),
            faults_rod=True,
        ),
        Item(
            ItemCode.INSULATION_PLATES,
            "Check that plates and bushes are whole and in place, with no swarf or grease across.",
            lambda rod_place: (
                may_be_insulated(rod_place.rod)
                and may_be(rod_place.rod.insulation_kind, InsulationKind.BUSH_AND_PLATES)
            ),
            faults_rod=True,
        ),
        Item(
            ItemCode.METAL_TOUCHING,
            "Check that no metal bridges the stretcher to the other rail or to a chair: swarf, "
            "wire, a bolt end, a tool left behind.",
            lambda rod_place: rod_place.points.track_circuited is not False,
        ),
        Item(
            ItemCode.CAPTIVE_NUT,
            "Check that each captive nut is in its housing and does not turn with the bolt.",
            lambda rod_place: may_be_fixed_by(rod_place.rod, Fixings.CAPTIVE_NUT),
            faults_rod=True,
        ),
        Item(
            ItemCode.LOCK_NUTS,
            "Try each lock nut with a spanner: it must not move.",
            lambda rod_place: (
                may_be_adjustable(rod_place.rod)
                or may_be_fixed_by(rod_place.rod, Fixings.FULL_AND_HALF_NUT)
            ),
            faults_rod=True,
        ),
        Item(
            ItemCode.LOCK_CASTING,
            "Have the lock thrown and watch the casting: it must not move on its timber or "
            "soleplate, and every bolt must be tight.",
            lambda rod_place: rod_place.is_lock,
        ),
        Item(
            ItemCode.FIXINGS,
            "Check that every bolt, washer and pin is there and tight; a bright ring shows that it "
            "has moved.",
            lambda rod_place: True,
            faults_rod=True,
        ),
        Item(
            ItemCode.GREASING,
            "Check that there is grease on the thread behind the back nuts.",
            lambda rod_place: may_be_adjustable(rod_place.rod),
        ),
        Item(
            ItemCode.BALLAST,
            "Check that no ballast lies against the stretcher or in its way, on both lies.",
            lambda rod_place: True,
        ),
        Item(
            ItemCode.TIMBER_FOULING,
            "Check that the stretcher clears the timbers on both sides through its whole movement.",
            lambda rod_place: True,
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


def items_at(rod_place: RodPlace) -> list[Item]:
    """What is to be looked at at one place; nothing where no rod is recorded."""
    if rod_place.rod is None:
        return []
    return [item for item in ITEMS.values() if item.asked_at and item.asked_at(rod_place)]


def items_of_points() -> list[Item]:
    """What is looked at once for the whole points."""
    return [item for item in ITEMS.values() if item.asked_at is None]
