"""The drive lug of the rod: its kind against the drive, and its end against the machine's side."""

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    listed,
    misfit,
    suits,
)

from ..facts import PositionFacts, StretcherFacts, Ticked
from ..words import DriveLug, Ends, MachineKind, Side

MECHANICAL = frozenset({MachineKind.RODDING, MachineKind.HAND_LEVER})
END_TOWARDS = {Side.LEFT: Ends.LEFT, Side.RIGHT: Ends.RIGHT}


def drive(position: PositionFacts) -> tuple[bool | None, MachineKind, Ticked[DriveLug] | None]:
    """Driven or not, by what kind of machine, through a fitting for which lugs (None: none).

    A machine or a fitting recorded at a place that is recorded as not driven leaves it open.
    """
    place = position.place
    kind = MachineKind.UNKNOWN if place.machine is None else place.machine.kind
    fitting = None if place.lost_motion_fitting is None else place.lost_motion_fitting.suits_lugs
    driven = place.driven
    if driven is False and (place.machine or place.lost_motion_fitting):
        driven = None  # something is there that drives
    return driven, kind, fitting


def drive_lug(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """A raised head takes the drive rod at a higher angle than a mechanical drive comes in."""
    driven, kind, fitting = drive(position)
    lug = stretcher.drive_lug
    if driven is False:
        return suits("Not driven here: no lug is needed, and one does no harm.")
    if driven is None and position.place.driven is False:
        return cannot_say(
            "recorded as not driven, yet a machine or a lost-motion fitting is recorded here",
            "is there a drive rod at this place?",
        )
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


DRIVE_LUG = Truth(
    suits="Not driven here; or the stretcher has a lug that the drive and the lost-motion fitting "
    "here take.",
    after_work="The lost-motion fitting here does not take this lug: change the fitting.",
    cannot_say="Whether the place is driven is not known or is recorded two ways; the lug, or "
    "whether the fitting takes it, is not known; or a raised head or a thin lug meets a drive that "
    "is not recorded.",
    does_not_suit="Driven here and the stretcher has no lug, or it has a raised head and the drive "
    "is mechanical.",
)


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


# --- the end of the lug -------------------------------------------------------------------------


def machine_side(position: PositionFacts) -> Side:
    """The side from which a drive rod comes in here; unknown where none is known to."""
    return position.points.machine_side if position.place.driven else Side.UNKNOWN


def lug_end_of(stretcher: StretcherFacts) -> Ends:
    return Ends.NONE if stretcher.drive_lug is DriveLug.NONE else stretcher.lug_end


def at_far_end(end: Ends, side: Side) -> bool:
    """Whether a lug at this end alone is away from the machine."""
    return side in END_TOWARDS and end is END_TOWARDS[side].turned


def lug_end(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """The drive rod comes in from the machine's side, so the lug is at that end.

    A lug at one end can be the wrong one as long as either the end or the machine's side is not
    known, so both are asked for: each is seen at one look from the toe.
    """
    if not position.place.driven:
        return suits("Asked only where a drive rod is known to come in.")
    end, side = lug_end_of(stretcher), machine_side(position)
    if stretcher.drive_lug is DriveLug.NONE:
        return suits("It has no drive lug, so no end of it.")
    if end is Ends.BOTH:
        return suits("A drive lug at both ends: the side of the machine does not matter.")
    unknown = []
    if end not in (Ends.LEFT, Ends.RIGHT):
        unknown.append("the end of this stretcher that carries the drive lug")
    if side is Side.UNKNOWN:
        unknown.append("the side that the machine is on")
    if unknown:
        return cannot_say(f"not known: {listed(unknown)}", listed(unknown))
    told = f"Its drive lug is at the {end.label}, and the machine is on the {side}"
    if at_far_end(end, side):
        return misfit(f"{told}.", f"use a stretcher with its drive lug at the {side} end")
    return suits(f"{told}.")


LUG_END = Truth(
    suits="No drive rod is known to come in here; or the lug, the way round the stretcher is used, "
    "is at the end towards the machine, or there is one at each end.",
    cannot_say="Driven here, and the end that carries the lug or the side of the machine is not "
    "known.",
    does_not_suit="The lug would be at the end away from the machine. A stretcher with its lug at "
    "that end as it lies is judged turned end for end.",
)
