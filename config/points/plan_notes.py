"""What is written on the plan of the points: readings at their places, open defects, and the open
switch as last read."""

from assets.engineering.cannot_say import CannotSay
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.readings import open_switch, rods_in_place, taken
from assets.engineering.words import Heel, Lie, Side
from assets.plan.notes import Note
from config.points.reader import Known
from defects.models import Defect, Misfit
from defects.words import Urgency
from inspections.catalogue.quantities import QUANTITIES
from inspections.catalogue.spots import from_the_toe
from inspections.models import Reading
from inspections.words import QuantityCode, Verdict

# What is drawn whatever its verdict; anything else only where it is not within.
OF_THE_SWITCH = {
    QuantityCode.FWC: "FWC",
    QuantityCode.RESIDUAL_OPENING: "RSO",
    QuantityCode.CLOSED_GAP: "closed gap",
    QuantityCode.SWITCH_OPENING: "opening",
}
SHORT = {
    **OF_THE_SWITCH,
    QuantityCode.FWP: "FWP",
    QuantityCode.KICKER_CLEARANCE: "kicker",
    QuantityCode.TRACK_GAUGE: "gauge",
    QuantityCode.LOCK_GO: "lock test",
    QuantityCode.LOCK_NO_GO: "lock test",
    QuantityCode.DETECT_GO: "detection test",
    QuantityCode.DETECT_NO_GO: "detection test",
    QuantityCode.INSULATION_RESISTANCE: "insulation",
    QuantityCode.TORQUE: "torque",
}


def notes(known: Known, lie: Lie) -> tuple[Note, ...]:
    """Readings at their places on this lie, of the rods that are there now, then open defects."""
    rods = {
        position.pk: fitting.stretcher_id
        for position in known.points.positions.all()
        for fitting in position.current_fittings
        if fitting.stretcher_id
    }
    found = sorted(known.readings.values(), key=from_the_toe)
    readings = [_of_reading(reading, lie) for reading in found if _is_shown(reading, lie, rods)]
    open_now = [defect for defect in known.defects if defect.is_open]
    defects = [_of_defect(defect) for defect in sorted(open_now, key=lambda d: d.number)]
    return (*readings, *defects)


def of_misfits(misfits: list[Misfit]) -> tuple[Note, ...]:
    """A word at each stretcher that does not suit its place, whichever way the points lie."""
    return tuple(
        Note(
            one.position.distance_mm,
            Side.UNKNOWN,
            one.words,
            one.outcome,
            url=one.get_absolute_url(),
            order=one.position.order,
        )
        for one in misfits
        if one.position is not None and one.does_not_suit
    )


def opening(known: Known, lie: Lie) -> OpenSwitch | None:
    """The open switch as last read, or None where it cannot be told or it was changed since."""
    facts = known.switch.facts
    if (
        known.switch.changed_since
        or known.switch_before_work
        or facts.shape is None
        or facts.heel == Heel.UNKNOWN
    ):
        return None
    try:
        rods = rods_in_place(facts.rods, facts.shape.heel_mm)
        readings = taken(
            facts.readings(lie), facts.rods, facts.gauge_mm, facts.shape, facts.assumed
        )
        return open_switch(facts.shape, facts.heel == Heel.HELD, rods, readings).switch
    except CannotSay:
        return None  # what is lacking is said on the page of the switch


def _is_shown(reading: Reading, lie: Lie, rods: dict[int, int]) -> bool:
    if reading.value is None or reading.lie not in ("", lie):
        return False
    if reading.stretcher_id and rods.get(reading.position_id) != reading.stretcher_id:
        return False
    return QuantityCode(reading.quantity) in OF_THE_SWITCH or Verdict(reading.verdict).is_past


def _of_reading(reading: Reading, lie: Lie) -> Note:
    quantity, verdict = QuantityCode(reading.quantity), Verdict(reading.verdict)
    words = f"{SHORT.get(quantity, quantity.label)} {QUANTITIES[quantity].written(reading.value)}"
    if verdict.is_past:
        words += ", out" if verdict == Verdict.INTERVENTION else f", {verdict.label}"
    if reading.before_work:
        words, kind = f"{words}, {reading.before_work}", "before"
    else:
        kind = verdict.value
    return Note(_place_mm(reading), _side(reading, lie), words, kind)


def _place_mm(reading: Reading) -> float | None:
    if reading.position is not None:
        return reading.position.distance_mm
    return reading.at_mm or 0.0  # at no place: at the toe


def _side(reading: Reading, lie: Lie) -> Side:
    """Residual opening and its like are of the closed switch rail, clearance of the open one."""
    closed = Side.LEFT if lie == Lie.LEFT_CLOSED else Side.RIGHT
    if reading.quantity in (QuantityCode.RESIDUAL_OPENING, QuantityCode.CLOSED_GAP):
        return closed
    if reading.quantity in (QuantityCode.FWC, QuantityCode.SWITCH_OPENING):
        return closed.opposite
    return Side(reading.side) if reading.side else Side.UNKNOWN


def _of_defect(defect: Defect) -> Note:
    """A numbered mark, whichever way the points lie."""
    reading = defect.reading
    return Note(
        _from_the_toe(defect),
        Side(reading.side) if reading is not None and reading.side else Side.UNKNOWN,
        defect.title,
        "planned" if defect.urgency == Urgency.WHEN_THERE else defect.urgency,
        number=defect.number,
        url=defect.get_absolute_url(),
    )


def _from_the_toe(defect: Defect) -> float | None:
    """Where to draw it (mm); None where the place is not known, or is the whole points."""
    if defect.position is not None:
        return defect.position.distance_mm
    if defect.reading is not None:
        return defect.reading.at_mm or 0.0  # a reading at no place is taken at the toe
    return None
