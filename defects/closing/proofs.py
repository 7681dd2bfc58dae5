"""The one table of what proves what: the program asks it, and the database's rule is made from it.

A subject has one proof or more, any of which closes its defect. What a check of the register found
is not all seen by measuring: what is not in the table is for the engineer to agree.
"""

from dataclasses import dataclass

from assets.engineering.words import InsulationSide, Lie, Side
from defects.words import Check
from inspections.catalogue.looks import ITEMS
from inspections.verdicts.finding import Subject
from inspections.words import ItemCode, QuantityCode, SubjectKind


@dataclass(frozen=True)
class Needed:
    """A reading that must be within limits besides, of the same stretcher and at its place.

    ``at_toe``: at the toe, no earlier than something was read of that stretcher there. ``at_lock``
    True: only at the lock stretcher's place, False: only at others. ``insulated``: only where the
    points are not known to be without track circuit, and the stretcher is insulated on one of these
    sides.
    """

    quantity: str
    side: str = ""
    lie: str = ""
    at_toe: bool = False
    at_lock: bool | None = None
    insulated: tuple[str, ...] = ()

    def is_needed_at(self, order: int, track_circuited: bool | None) -> bool:
        """Whether it is asked at the place of this number, whatever stretcher is there."""
        if self.insulated and track_circuited is False:
            return False
        return self.at_lock is None or self.at_lock is (order == 0)

    @property
    def words(self) -> str:
        """ "tightening torque, left", "free wheel clearance, left closed"."""
        where = self.side or (Lie(self.lie).label if self.lie else "")
        return f"{QuantityCode(self.quantity).label}{f', {where}' if where else ''}"


@dataclass(frozen=True)
class Proof:
    """One way to show that a finding is corrected: a quantity, things examined, or any look at all.

    ``own_part``: of the stretcher that the defect names, where both are known. ``new_part``: of the
    one that is in its place now, the defect's own being fitted nowhere. ``also`` are readings that
    must stand within limits besides.
    """

    quantity: str = ""
    items: tuple[str, ...] = ()
    anywhere: bool = False  # at any place of the same points
    any_visit: bool = False  # whatever was within limits or good at an inspection of the whole
    own_part: bool = False
    new_part: bool = False
    also: tuple[Needed, ...] = ()


def _measured(quantity: QuantityCode) -> Subject:
    return Subject(SubjectKind.MEASURED.value, quantity.value)


def _examined(item: ItemCode) -> Subject:
    return Subject(SubjectKind.EXAMINED.value, item.value)


def _checked(check: Check) -> Subject:
    return Subject(SubjectKind.CHECK.value, check.value)


_LIES = (Lie.LEFT_CLOSED.value, Lie.RIGHT_CLOSED.value)
_SIDES = (Side.LEFT.value, Side.RIGHT.value)
_TORQUE = QuantityCode.TORQUE.value
_INSULATION = QuantityCode.INSULATION_RESISTANCE.value
_LOCK_TESTS = (QuantityCode.LOCK_GO.value, QuantityCode.LOCK_NO_GO.value)
BOTH_TORQUES = tuple(Needed(_TORQUE, side=side) for side in _SIDES)
# What is owed at a place since a stretcher was changed there: see inspections.upcoming.owed.
OWED_AT_A_PLACE = (
    *(Needed(QuantityCode.SWITCH_OPENING.value, lie=lie, at_toe=True) for lie in _LIES),
    *(Needed(QuantityCode.FWC.value, lie=lie, at_lock=False) for lie in _LIES),
    *(Needed(test, lie=lie, at_lock=True) for test in _LOCK_TESTS for lie in _LIES),
    *(
        Needed(_INSULATION, side=side, insulated=(side, InsulationSide.BOTH.value))
        for side in _SIDES
    ),
    Needed(_INSULATION, insulated=(InsulationSide.UNKNOWN.value,)),
    *BOTH_TORQUES,
)

CRACKS = (ItemCode.GOOSENECK_CRACK.value, ItemCode.SHOE_CRACK.value, ItemCode.WELD.value)
OF_THE_ROD = tuple(code.value for code, item in ITEMS.items() if item.faults_rod)
# Tightened again is not looked at but measured.
LOOSE = (ItemCode.FIXINGS, ItemCode.CAPTIVE_NUT)

REPLACED = Proof(items=OF_THE_ROD, new_part=True, also=OWED_AT_A_PLACE)
TIGHTENED = Proof(quantity=_TORQUE, own_part=True, also=BOTH_TORQUES)

PROOFS: dict[Subject, tuple[Proof, ...]] = {
    **{_measured(quantity): (Proof(quantity=quantity.value),) for quantity in QuantityCode},
    **{_examined(item): (Proof(items=(item.value,)),) for item in ItemCode},
    **{
        _examined(item): (Proof(items=(item.value,), own_part=True), REPLACED)
        for item in ItemCode
        if ITEMS[item].faults_rod
    },
    **{_examined(item): (TIGHTENED, REPLACED) for item in LOOSE},
    _measured(QuantityCode.TORQUE): (Proof(quantity=_TORQUE, own_part=True), REPLACED),
    _checked(Check.MIXED_INSULATION): (Proof(quantity=_INSULATION, anywhere=True),),
    _checked(Check.KICKER_MISSING): (Proof(quantity=QuantityCode.KICKER_CLEARANCE.value),),
    _checked(Check.INSPECTION_OVERDUE): (Proof(any_visit=True, anywhere=True),),
    _checked(Check.CRACKED_PART): (Proof(items=CRACKS, own_part=True), REPLACED),
    _checked(Check.SHOE_NOT_RAIL): (REPLACED,),
}
