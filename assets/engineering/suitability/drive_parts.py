"""Does this machine, or this lost-motion fitting, suit this place?

The rules are those a rod is judged by, asked of the place with the part in it and the rod that
is there now; to them comes what only a machine or a fitting is asked. Whatever machine or
fitting is there now is out of it.
"""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from assets.engineering.suitability.answers import (
    PRACTICE,
    Answer,
    Assessment,
    Outcome,
    Said,
    Truth,
    after_work,
    cannot_say,
    listed,
    misfit,
    mm,
    suits,
)

from ..facts import (
    LostMotionFacts,
    MachineFacts,
    PartFacts,
    PlaceFacts,
    PositionFacts,
    StretcherFacts,
)
from ..lost_motion import Standing
from ..words import MachineKind, Role
from . import drive_throw, electrical, state
from .drive_lug import DRIVE_LUG, LUG_END, lug_end
from .drive_lug import drive_lug as lug_of_rod

Judge = Callable[[Any, PositionFacts], Said]  # of the kind of part that its table is for


class DrivePartRule(NamedTuple):
    """One rule of a machine or a fitting."""

    judge: Judge
    truth: Truth


def assess_machine(machine: MachineFacts, position: PositionFacts) -> Assessment:
    """Offer a machine to a place: one answer per rule."""
    return _assess(MACHINE_RULES, machine, position.with_place(machine=machine))


def assess_lost_motion_fitting(fitting: LostMotionFacts, position: PositionFacts) -> Assessment:
    """Offer a lost-motion fitting to a place: one answer per rule."""
    return _assess(FITTING_RULES, fitting, position.with_place(lost_motion_fitting=fitting))


def _assess(
    rules: Mapping[str, DrivePartRule], part: PartFacts, position: PositionFacts
) -> Assessment:
    return Assessment(
        tuple(Answer(name, *rule.judge(part, position), PRACTICE) for name, rule in rules.items())
    )


# --- asked of both ------------------------------------------------------------------------------


def driven(part: PartFacts, position: PositionFacts) -> Said:
    is_driven = position.place.driven
    if is_driven is None:
        return cannot_say(
            "whether this place is driven is not known", "is there a drive rod at this place?"
        )
    if is_driven:
        return suits("Driven here.")
    return misfit(f"Not driven here, so no {part.noun} is needed.", "offer it to a driven place")


DRIVEN = Truth(
    suits="The place is driven.",
    cannot_say="Whether it is driven is not known.",
    does_not_suit="It is not driven.",
)


def drive_lug(part: PartFacts, position: PositionFacts) -> Said:
    """The lug of the rod that is there now, against the drive with this part in it."""
    place, rod = position.place, position.place.stretcher
    if not place.driven:
        return lug_of_rod(rod or StretcherFacts(), position)
    if rod is None:
        return cannot_say(
            "no stretcher is recorded here for the drive rod to move",
            "the stretcher at this place and its drive lug",
        )
    outcome, reason, remedy = lug_of_rod(rod, position)
    name = f"Stretcher {rod.tag}" if rod.tag else "The stretcher here"
    return outcome, f"{name}: {reason[0].lower()}{reason[1:]}", remedy


LUG_HERE = Truth(
    suits="Not driven here; or the stretcher that is here has a lug that the drive and the "
    "lost-motion fitting here take.",
    after_work=DRIVE_LUG.after_work,
    cannot_say="No stretcher is recorded here, or of the one here what decides is not known.",
    does_not_suit=DRIVE_LUG.does_not_suit,
)


def lug_end_here(part: PartFacts, position: PositionFacts) -> Said:
    """The end of the lug of the rod that is there now, against the side of the machine."""
    rod = position.place.stretcher
    if not position.place.driven or rod is None:
        return suits("No stretcher is known to be driven here.")
    return lug_end(rod, position)


LUG_END_HERE = Truth(
    suits="No stretcher is known to be driven here; or the lug of the one that is here is at the "
    "end towards the machine, or there is one at each end.",
    cannot_say=LUG_END.cannot_say,
    does_not_suit="The lug of the stretcher here is at the end away from the machine.",
)


def lost_motion(part: PartFacts, position: PositionFacts) -> Said:
    return drive_throw.lost_motion(position.place.stretcher or StretcherFacts(), position)


# --- asked of a machine -------------------------------------------------------------------------


def kind_of_machine(machine: MachineFacts, position: PositionFacts) -> Said:
    """A supplementary drive goes to a second driven place, and one machine works the points."""
    kind = machine.kind
    if position.place.driven is False:
        return suits("Not driven here, so the kind of machine does not matter.")
    if kind is MachineKind.UNKNOWN:
        return cannot_say(
            "the kind of this machine is not known",
            "the machine: motor, hand lever, rodding from a frame or supplementary drive",
        )
    if kind is MachineKind.SUPPLEMENTARY:
        return _supplementary(position)
    return _main(kind, position)


def _supplementary(position: PositionFacts) -> Said:
    nearer = [place for place in position.points.places if place.order < position.order]
    first = next((place for place in nearer if place.driven), None)
    if first is not None:
        return suits(f"A supplementary drive; the {first.name}, nearer the toe, is driven too.")
    # A lock stretcher is driven only where it is recorded so: the lock rod takes hold of it.
    unsure = [p.name for p in nearer if p.driven is None and p.role is not Role.LOCK]
    if unsure:
        return cannot_say(
            "a supplementary drive goes to a second driven place, and whether the "
            f"{listed(unsure)} is driven is not known",
            "which stretchers of these points are driven",
        )
    return misfit(
        "A supplementary drive, and no place nearer the toe is driven.",
        "use a machine that works the points by itself",
    )


def _main(kind: MachineKind, position: PositionFacts) -> Said:
    other = _other_machine(position)
    if other is None:
        return suits(f"{kind.label.capitalize()}: no other machine is recorded here.")
    place, machine = other
    there = f"at the {place.name}"
    if machine.kind is MachineKind.UNKNOWN:
        return cannot_say(f"the kind of the machine {there} is not known", f"the machine {there}")
    return after_work(
        f"{kind.label.capitalize()}, and these points already have one {there} "
        f"({machine.kind.label}).",
        "get the responsible engineer's agreement to two machines on one set of points, or use a "
        "supplementary drive",
    )


def _other_machine(position: PositionFacts) -> tuple[PlaceFacts, MachineFacts] | None:
    """Another machine on these points that is not a supplementary drive, with its place."""
    return next(
        (
            (place, place.machine)
            for place in position.points.places
            if place.order != position.order
            and place.machine is not None
            and place.machine.kind is not MachineKind.SUPPLEMENTARY
        ),
        None,
    )


KIND_OF_MACHINE = Truth(
    suits="Not driven here; or a supplementary drive behind a driven place; or another kind, and "
    "no other machine but supplementary drives is recorded on these points.",
    after_work="The points have another machine already: get the responsible engineer's agreement.",
    cannot_say="Its kind, or that of another machine here, is not known; or it is a supplementary "
    "drive and which places nearer the toe are driven is not known.",
    does_not_suit="A supplementary drive, and no place nearer the toe is driven.",
)


def machine_continuity(machine: MachineFacts, position: PositionFacts) -> Said:
    return electrical.rails(
        position.points,
        position.with_place(machine=None).points,
        "this machine",
        "use a machine whose drive rod and lock rod are insulated, or bring the insulations of the "
        "stretchers to one side",
    )


PART_CONTINUITY = Truth(
    suits="There is no track circuit, or no way through metal joins the two rails with the part in "
    "place; a soleplate or detection rods that join them by themselves are said of the points.",
    after_work="The rails are joined already without it: correct that first.",
    cannot_say="The rails are joined or not according to something that nobody has examined, or "
    "whether there is a track circuit is not known.",
    does_not_suit="With this part in place the rails are joined, and without it they are not.",
)


# --- asked of a lost-motion fitting -------------------------------------------------------------


def needed(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    """Needed where the lock would not clear without one, or the throw would go too far."""
    if position.place.driven is False:
        return suits("Not driven here, so none is needed.")
    without = position.with_place(lost_motion_fitting=None)
    # How far the switch moves does not matter to the lock.
    lock = drive_throw.standing_at(without.with_place(travel_mm=0.0, permitted_travel=None))
    if not isinstance(lock, Standing):
        return lock
    spare = lock.unlocking_margin_mm
    if spare < 0:
        return suits(f"Needed: the lock needs {mm(-spare)} of lost motion outside the machine.")
    stands = drive_throw.standing_at(without)
    if not isinstance(stands, Standing):
        return stands
    if stands.too_long:
        return suits(f"Needed: without one the throw goes {mm(-stands.throw_margin_mm)} too far.")
    if stands.too_long is None:
        return cannot_say(
            "whether the throw goes too far without one: the greatest movement permitted here is "
            "not known",
            drive_throw.THROW_LOOK,
        )
    return misfit(
        f"Not needed: without one the lock clears with {mm(spare)} to spare, and the throw does "
        "not go too far.",
        "fit none here; keep it for a drive that needs one",
    )


NEEDED = Truth(
    suits="Not driven here; or without a fitting the lock would not be clear, or the throw would "
    "go too far.",
    cannot_say="A figure of the drive, or the movement needed or permitted here, is not known, "
    "and it matters.",
    does_not_suit="Without a fitting the lock clears and the throw does not go too far.",
)


def fitting_lug(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    """As for the rod; but the wrong fitting for the lug is this one, and no work mends it."""
    outcome, reason, remedy = drive_lug(fitting, position)
    wrong = outcome is Outcome.SUITS_AFTER_WORK
    return (Outcome.DOES_NOT_SUIT if wrong else outcome), reason, remedy


FITTING_LUG = Truth(
    suits="Not driven here, or the fitting takes the lug of the stretcher that is here.",
    cannot_say="No stretcher is recorded here, or its lug or whether the fitting takes it is not "
    "known.",
    does_not_suit="The fitting does not take this lug, or the stretcher here has none.",
)


def fitting_lost_motion(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    """A fitting whose whole range lies outside the window cannot be set to be within it."""
    outcome, reason, remedy = lost_motion(fitting, position)
    stands = drive_throw.standing_at(position)
    if outcome is not Outcome.SUITS_AFTER_WORK or not isinstance(stands, Standing):
        return outcome, reason, remedy
    window = stands.window
    least = window.least_mm if stands.greatest_known else window.lock_mm
    ends = [e for e in (fitting.lost_motion_min_mm, fitting.lost_motion_max_mm) if e is not None]
    if max(ends) < least or min(ends) > window.most_mm:
        return misfit(reason, f"not this one: {remedy}")
    return after_work(reason, remedy)


FITTING_LOST_MOTION = Truth(
    suits=drive_throw.LOST_MOTION.suits,
    after_work="A part of its range would do: set it there.",
    cannot_say=drive_throw.LOST_MOTION.cannot_say,
    does_not_suit="No part of its range would do, or no fitting would.",
)


def fitting_continuity(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    return electrical.rails(
        position.points,
        position.with_place(lost_motion_fitting=None).points,
        "this fitting",
        "correct the insulation of the stretchers and of the drive first",
    )


FITTING_CONTINUITY = Truth(
    PART_CONTINUITY.suits, PART_CONTINUITY.after_work, PART_CONTINUITY.cannot_say
)


# --- the tables of rules ------------------------------------------------------------------------

FIT_FOR_USE = {
    "condition": DrivePartRule(state.condition, state.CONDITION),
    "open defects": DrivePartRule(state.open_defects, state.OPEN_DEFECTS),
    "quarantine": DrivePartRule(state.quarantine, state.QUARANTINE),
}
MACHINE_RULES = {
    "driven": DrivePartRule(driven, DRIVEN),
    "kind of machine": DrivePartRule(kind_of_machine, KIND_OF_MACHINE),
    "drive lug": DrivePartRule(drive_lug, LUG_HERE),
    "end of the drive lug": DrivePartRule(lug_end_here, LUG_END_HERE),
    "lost motion": DrivePartRule(lost_motion, drive_throw.LOST_MOTION),
    "continuity": DrivePartRule(machine_continuity, PART_CONTINUITY),
    **FIT_FOR_USE,
}
FITTING_RULES = {
    "driven": DrivePartRule(driven, DRIVEN),
    "needed": DrivePartRule(needed, NEEDED),
    "drive lug": DrivePartRule(fitting_lug, FITTING_LUG),
    "lost motion": DrivePartRule(fitting_lost_motion, FITTING_LOST_MOTION),
    "continuity": DrivePartRule(fitting_continuity, FITTING_CONTINUITY),
    **FIT_FOR_USE,
}
