"""Does the throw of the drive match the movement that the rods of the switch ask for?

The rods fix the opening, and the drive must match it on three sides: the lock clear before the
switch is dragged, far enough, and not too far.
"""

from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    figure,
    listed,
    misfit,
    mm,
    suits,
)

from ..cannot_say import CannotSay
from ..facts import Interval, LostMotionFacts, PlaceFacts, PositionFacts, StretcherFacts
from ..lost_motion import Drive, Movement, Standing, Window, standing
from ..words import MachineKind, Role, Use
from .drive_lug import MECHANICAL

LOST_MOTION_NAMES = (
    "the stroke of the machine",
    "its unlocking stroke",
    "the lost motion inside it",
    "the ratio of the drive at this place",
    "the movement needed here",
)
THROW_LOOK = "the railway's greatest permitted switch opening, and the limit set for it"


class DriveFigures(NamedTuple):
    """The figures of a drive in the order of LOST_MOTION_NAMES (mm), None where not known."""

    figures: tuple[float | None, ...]
    end_mm: float  # lost motion at the end of the stroke
    movement: Movement | None
    fitting: Interval | None  # no fitting is an answer, not a gap


def lost_motion_need(position: PositionFacts) -> tuple[bool | None, DriveFigures | None]:
    """Driven or not, and the figures of the drive and its fitting; None without a machine."""
    place = position.place
    machine, fitting = place.machine, place.lost_motion_fitting
    if place.driven is False or machine is None:
        return place.driven, None
    unlocking, ratio = machine.unlocking_stroke_mm, place.drive_ratio
    if _nothing_to_unlock(position):
        unlocking = 0.0
    if _pulls_directly(place):
        ratio = 1.0
    figures = (machine.stroke_mm, unlocking, machine.internal_lost_motion_mm, ratio)
    need, setting = movement(place), fitting_range(fitting)
    return place.driven, DriveFigures(figures, machine.end_lost_motion_mm, need, setting)


def _nothing_to_unlock(position: PositionFacts) -> bool:
    """A lever or rodding on trailing points without a place for a lock, if nothing is recorded.

    Used facing they are locked somehow, and the register may not know by what.
    """
    machine, points = position.place.machine, position.points
    if machine is None or machine.unlocking_stroke_mm is not None:
        return False
    has_lock = any(place.role is Role.LOCK for place in points.places)
    return machine.kind in MECHANICAL and not has_lock and points.use is Use.TRAILING


def _pulls_directly(place: PlaceFacts) -> bool:
    """A motor machine pulls the drive rod itself, as long as nobody has recorded otherwise."""
    if place.machine is None or place.drive_ratio is not None:
        return False
    return place.machine.kind is MachineKind.MOTOR


def movement(place: PlaceFacts) -> Movement | None:
    """What the rods ask of the drive at a place; None where nobody knows how far it must move."""
    permitted = place.permitted_travel or Interval()
    least = place.travel_mm if permitted.least is None else permitted.least
    if least is None or least < 0:  # a limit of the opening that moves no switch is none
        return None
    return Movement(least, permitted.most, place.travel_mm)


def fitting_range(fitting: LostMotionFacts | None) -> Interval | None:
    if fitting is None:
        return None
    return Interval(fitting.lost_motion_min_mm, fitting.lost_motion_max_mm)


def lost_motion(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """The lock must clear before the switch starts, and the throw must match the opening."""
    if position.place.driven is False:
        return suits("Not driven here, so lost motion does not matter.")
    stands = standing_at(position)
    if not isinstance(stands, Standing):
        return stands
    place = position.place
    outcome, reason, remedy = _standing_said(stands, fitting_range(place.lost_motion_fitting))
    return outcome, reason + _ratio(place) + _unlocking(position), remedy


LOST_MOTION = Truth(
    suits="Not driven here; or on all three sides the drive matches: the lock is clear before the "
    "switch is dragged, the throw opens the switch at least as far as is permitted, and no "
    "further. The throw is the ratio of the drive at this place (1 is assumed, and said so, of a "
    "motor machine whose ratio is not recorded) by the stroke less the lost motion inside the "
    "machine before and at the end of the stroke, less that of the fitting. "
    "A lever or rodding on trailing points without a place for a lock is taken to have nothing to "
    "unlock, and the answer says so.",
    after_work="One side fails, and a lost-motion fitting of the lost motion named corrects it.",
    cannot_say="Whether the place is driven, or by what, or a figure of the drive or of the "
    "movement needed is not known, or only one end of what the fitting can have; or the greatest "
    "movement permitted is not, and the throw is more than the switch needs.",
    does_not_suit="No fitting corrects it: the throw is too short without one, or what the lock "
    "needs leaves too little of it.",
)


def _ratio(place: PlaceFacts) -> str:
    if _pulls_directly(place):
        return " The ratio of the drive here is assumed to be 1."
    if place.drive_ratio is None or place.drive_ratio == 1:
        return ""
    return f" The ratio of the drive here is {place.drive_ratio:g}."


def _unlocking(position: PositionFacts) -> str:
    if not _nothing_to_unlock(position):
        return ""
    return " No lock is recorded on these trailing points, so none is taken to need unlocking."


def standing_at(position: PositionFacts) -> Standing | Said:
    """Where the fitting at a place, or none, stands; or what has to be looked at to tell."""
    _, need = lost_motion_need(position)
    if need is None:
        return cannot_say("what drives this place is not recorded", "the machine and its strokes")
    named = zip(LOST_MOTION_NAMES, (*need.figures, need.movement), strict=True)
    missing = [name for name, value in named if value is None]
    fitting = need.fitting
    if fitting is not None and fitting.least is None and fitting.most is None:
        missing.append("the lost motion of the fitting")
    if missing or need.movement is None:
        return cannot_say(f"not known: {listed(missing)}", listed(missing))
    stroke, unlocking, internal, ratio = (n for n in need.figures if n is not None)
    try:
        drive = Drive(stroke, unlocking, internal, ratio, need.end_mm)
        return standing(drive, need.movement, fitting)
    except CannotSay as doubt:
        return cannot_say(str(doubt), "the figures of the drive")


def _standing_said(stands: Standing, fitting: Interval | None) -> Said:
    window = stands.window
    if not window.open:
        return _no_window(window)
    has = "none is fitted" if fitting is None else f"the one fitted has {_range(fitting)}"
    remedy = f"fit or set a lost-motion fitting of {_allowed(window)}"
    lacks, spare = _lacks(stands), _spare(stands)
    if lacks:
        return after_work(
            f"The drive does not match: {'; '.join([*lacks, *spare])}. A lost-motion fitting of "
            f"{_allowed(window)} would do; {has}.",
            remedy,
        )
    if stands.too_long is None:
        match = f"with {_allowed(window)} in the fitting it would surely match"
        return cannot_say(
            f"whether the throw goes too far: it is {mm(-stands.throw_margin_mm)} more than the "
            "switch needs here, and the greatest movement permitted is not known; "
            f"{'; '.join([*spare, match])}",
            THROW_LOOK,
        )
    if fitting is not None and None in (fitting.least, fitting.most):
        end = "least" if fitting.least is None else "most"
        return cannot_say(
            f"{has} of lost motion, and its {end} is not known; {_allowed(window)} would do",
            f"the {end} lost motion of the fitting, or what it is set to",
        )
    return suits(
        f"The drive matches: {', '.join(spare)}. A lost-motion fitting may have "
        f"{_allowed(window)}; {has}."
    )


def _no_window(window: Window) -> Said:
    remedy = "use a machine with a longer stroke"
    if window.most_mm < 0:
        return misfit(
            f"The throw is {mm(-window.most_mm)} too short to open the switch fully, even without "
            "a lost-motion fitting.",
            remedy,
        )
    return misfit(
        f"The lock needs {mm(window.lock_mm)} of lost motion outside the machine, the stroke "
        f"leaves {mm(window.most_mm)}: no fitting suits.",
        f"{remedy}, or with more lost motion inside it",
    )


def _lacks(stands: Standing) -> list[str]:
    """What is wrong with the drive as it stands, each side with its millimetres."""
    lacks = []
    if stands.unlocking_margin_mm < 0:
        lacks.append(f"{mm(-stands.unlocking_margin_mm)} too little for the lock to clear")
    if stands.opening_margin_mm < 0:
        lacks.append(f"{mm(-stands.opening_margin_mm)} too much for the switch to open fully")
    if stands.too_long:
        lacks.append(
            f"the throw goes {mm(-stands.throw_margin_mm)} too far, which presses the closed rail "
            "against its stock rail"
        )
    return lacks


def _spare(stands: Standing) -> list[str]:
    """What is to spare on each side; a throw that goes too far has nothing good for the opening."""
    opening = stands.opening_margin_mm if stands.throw_margin_mm >= 0 else -1.0
    sides = (
        (stands.unlocking_margin_mm, "spare for the lock"),
        (opening, "for the opening"),
        (stands.throw_margin_mm, "before the throw goes too far"),
    )
    return [f"{mm(margin)} {of}" for margin, of in sides if margin >= 0]


def _allowed(window: Window) -> str:
    if window.least_mm == window.most_mm:
        return mm(window.least_mm)
    told = f"{figure(window.least_mm)} to {mm(window.most_mm)}"
    if window.best_mm is None:
        return told
    return f"{told}, {figure(window.best_mm)} best"


def _range(fitting: Interval) -> str:
    ends = sorted({end for end in (fitting.least, fitting.most) if end is not None})
    return f"{figure(ends[0])} to {mm(ends[1])}" if len(ends) == 2 else mm(ends[0])
