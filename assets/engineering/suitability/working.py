"""Does the rod work at this place: drive, lost motion, lock notches, kicker?"""

from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    after_work,
    cannot_say,
    figure,
    listed,
    misfit,
    mm,
    suits,
)

from ..cannot_say import CannotSay
from ..facts import (
    Interval,
    LostMotionFacts,
    PlaceFacts,
    PositionFacts,
    StretcherFacts,
    Ticked,
)
from ..lost_motion import OVERTRAVEL_MM, Drive, Movement, Standing, Window, standing
from ..words import DriveLug, MachineKind, Notches, Role

LOCK_TOLERANCE_MM = 1.6  # the lock must still enter with this much out
KICKER_CLEARANCE_MM = (3.0, 6.0)
MECHANICAL = frozenset({MachineKind.RODDING, MachineKind.HAND_LEVER})
LOST_MOTION_NAMES = (
    "the stroke of the machine",
    "its unlocking stroke",
    "the lost motion inside it",
    "the lever ratio of the drive",
    "the movement needed here",
)
THROW_LOOK = "the railway's greatest permitted switch opening, and the limit set for it"


def drive(position: PositionFacts) -> tuple[bool | None, MachineKind, Ticked[DriveLug] | None]:
    """Driven or not, by what kind of machine, through a fitting for which lugs (None: none)."""
    place = position.place
    kind = MachineKind.UNKNOWN if place.machine is None else place.machine.kind
    fitting = None if place.lost_motion_fitting is None else place.lost_motion_fitting.suits_lugs
    return place.driven, kind, fitting


def drive_lug(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """A raised head takes the drive rod at a higher angle than a mechanical drive comes in."""
    driven, kind, fitting = drive(position)
    lug = stretcher.drive_lug
    if driven is False:
        return suits("Not driven here: no lug is needed, and one does no harm.")
    if driven is None:
        return cannot_say(
            "whether this place is driven is not known", "is there a drive rod at this place?"
        )
    if lug is DriveLug.UNKNOWN:
        return cannot_say(
            "the drive lug of this stretcher is not known", "which lug the stretcher has"
        )
    if lug is DriveLug.NONE:
        return misfit(
            "Driven here, and this stretcher has no drive lug.", "use a stretcher with a drive lug"
        )
    if lug is DriveLug.RAISED_HEAD and kind is not MachineKind.MOTOR:
        return _raised_head(kind)
    return _through_fitting(lug, kind, fitting)


def _raised_head(kind: MachineKind) -> Said:
    if kind in MECHANICAL:
        return misfit(
            "A raised head takes the drive rod at a higher angle than a mechanical drive "
            f"({kind.label}) comes in.",
            "use a stretcher with a plain lug",
        )
    return cannot_say(
        "a raised head takes the drive rod high, and it is not known whether the drive here does",
        "what drives this place, and at what height its drive rod comes in",
    )


def _through_fitting(lug: DriveLug, kind: MachineKind, fitting: Ticked[DriveLug] | None) -> Said:
    if fitting is None and lug is DriveLug.THIN and kind is MachineKind.UNKNOWN:
        return cannot_say(
            "a thin lug takes only some drives, and what drives this place is not known",
            "what drives this place, and whether its drive rod or fitting takes a thin lug",
        )
    if fitting is None:
        by = "" if kind is MachineKind.UNKNOWN else f" by {kind.label}"
        return suits(f"Driven{by} on its {lug.label} lug.")
    taken = fitting.answer(lug)
    recorded = listed(sorted(one.label for one in fitting.yes)) if fitting.yes else ""
    if taken is None:
        known = f"; it is recorded for {recorded} lugs" if recorded else ""
        return cannot_say(
            f"whether the lost-motion fitting here takes {lug.label} lugs is not known{known}; "
            f"this one is {lug.label}",
            "offer the lost-motion fitting up to the lug",
        )
    told = f"takes {recorded} lugs" if recorded else "takes no such lug"
    if taken:
        return suits(f"The lost-motion fitting here {told}; this one is {lug.label}.")
    return after_work(
        f"The lost-motion fitting here {told}; this one is {lug.label}.",
        f"change the lost-motion fitting for one that takes a {lug.label} lug",
    )


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
    has_lock = any(other.role is Role.LOCK for other in position.points.places)
    if unlocking is None and machine.kind in MECHANICAL and not has_lock:
        unlocking = 0.0  # nothing to unlock
    if _pulls_directly(place):
        ratio = 1.0
    figures = (machine.stroke_mm, unlocking, machine.internal_lost_motion_mm, ratio)
    need, setting = movement(place), fitting_range(fitting)
    return place.driven, DriveFigures(figures, machine.end_lost_motion_mm, need, setting)


def _pulls_directly(place: PlaceFacts) -> bool:
    """A motor machine pulls the drive rod itself, as long as nobody has recorded otherwise."""
    if place.machine is None or place.drive_ratio is not None:
        return False
    return place.machine.kind is MachineKind.MOTOR


def movement(place: PlaceFacts) -> Movement | None:
    """What the rods ask of the drive at a place; None where nobody knows how far it must move."""
    permitted = place.permitted_travel or Interval()
    least = place.travel_mm if permitted.least is None else permitted.least
    return None if least is None else Movement(least, permitted.most, place.travel_mm)


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
    if _pulls_directly(place):
        reason += " The lever ratio is assumed to be 1."
    return outcome, reason, remedy


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
    has = "no lost-motion fitting" if fitting is None else f"the fitting has {_range(fitting)}"
    told = f"The fitting may have {_allowed(window)}; {has}"
    remedy = f"fit or set a lost-motion fitting of {_allowed(window)}"
    lacks, spare = _lacks(stands), _spare(stands)
    if lacks:
        return after_work(f"{told}: {'; '.join([*lacks, *spare])}.", remedy)
    if stands.too_long is None:
        over = mm(-stands.throw_margin_mm + OVERTRAVEL_MM)
        return cannot_say(
            f"whether the throw is too long: it is {over} more than the switch needs here, and "
            f"the greatest movement permitted is not known; {', '.join(spare)}; with "
            f"{_allowed(window)} in the fitting it would surely match",
            THROW_LOOK,
        )
    return suits(f"{told}: {', '.join(spare)}.")


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
            f"the throw is {mm(-stands.throw_margin_mm)} too long: the closed rail would be "
            "pressed against its stock rail by the surplus"
        )
    return lacks


def _spare(stands: Standing) -> list[str]:
    sides = (
        (stands.unlocking_margin_mm, "spare for the lock"),
        (stands.opening_margin_mm, "for the opening"),
        (stands.throw_margin_mm, "before the throw is too long"),
    )
    return [f"{mm(margin)} {of}" for margin, of in sides if margin >= 0]


def _allowed(window: Window) -> str:
    told = f"{figure(window.least_mm)} to {mm(window.most_mm)}"
    if window.best_mm is None:
        return told
    return f"{told}, {figure(window.best_mm)} best"


def _range(fitting: Interval) -> str:
    ends = sorted({end for end in (fitting.least, fitting.most) if end is not None})
    return f"{figure(ends[0])} to {mm(ends[1])}" if len(ends) == 2 else mm(ends[0])


def kicker(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    required, has = position.place.kicker_required, stretcher.kicker
    gap = f"{figure(KICKER_CLEARANCE_MM[0])} to {mm(KICKER_CLEARANCE_MM[1])}"
    if has and required:
        return suits(f"Has the kicker this place requires; set {gap} under the stock rail foot.")
    if has:
        told = "not required here" if required is False else "not known to be required here"
        return suits(f"Has a kicker, {told}: harmless while it keeps {gap} under the rail foot.")
    if required is False:
        return suits("No kicker is required here.")
    if required is None:
        return cannot_say(
            "whether this place requires a kicker is not known",
            "the stretchers of these points: does the front one carry a kicker?",
        )
    if has is None:
        return cannot_say(
            "a kicker is required here and whether this stretcher has one is not known",
            "the ends of the stretcher: does it pass under the stock rail?",
        )
    return misfit(
        "A kicker is required here and this stretcher has none.", "use a stretcher with a kicker"
    )


def notch_need(position: PositionFacts) -> tuple[bool, float | None]:
    """Whether a lock acts here, and the movement of the switch there (mm)."""
    place = position.place
    return place.role is Role.LOCK, place.travel_mm if place.role is Role.LOCK else None


def notches(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    locked, travel = notch_need(position)
    apart = stretcher.notch_distance_mm
    if not locked:
        return suits("No lock acts at this place.")
    if stretcher.notches is Notches.NOT_A_LOCK:
        return misfit("Has no place for lock notches.", "use a lock stretcher")
    if stretcher.notches is Notches.UNKNOWN:
        return cannot_say(
            "whether its lock notches are cut is not known",
            "the stretcher: are its lock notches cut?",
        )
    if stretcher.notches is Notches.UNCUT:
        mark = "the movement measured on site" if travel is None else mm(travel)
        return after_work(
            "Its lock notches are not cut yet.",
            f"cut the notches to suit on site ({mark} apart), then prove with the lock test",
        )
    if apart is None or travel is None:
        return cannot_say(
            "its lock notches are cut for other points; "
            + ("their distance" if apart is None else "the movement needed here")
            + " is not known",
            "the distance between the notches" if apart is None else "the movement at the lock",
        )
    out = abs(apart - travel)
    told = f"Lock notches {mm(apart)} apart, movement needed here {mm(travel)}: {mm(out)} out"
    if out <= LOCK_TOLERANCE_MM:
        return suits(f"{told}, within {mm(LOCK_TOLERANCE_MM)}; the lock test decides.")
    return misfit(
        f"{told}, more than {mm(LOCK_TOLERANCE_MM)}.",
        "cut new notches if they fall clear of the old ones, or use another stretcher",
    )
