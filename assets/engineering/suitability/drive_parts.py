"""Does this machine, or this lost-motion fitting, suit this place?

The rules are those a rod is judged by, asked of the place with the part in it and the rod that
is there now; to them comes what only a machine or a fitting is asked. Whatever machine or
fitting is there now is out of it.
"""

from collections.abc import Callable, Mapping
from typing import Any

from assets.engineering.suitability.answers import (
    PRACTICE,
    Answer,
    Assessment,
    Outcome,
    Said,
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
from . import electrical, state, working

Judge = Callable[[Any, PositionFacts], Said]  # of the kind of part that its table is for


def assess_machine(machine: MachineFacts, position: PositionFacts) -> Assessment:
    """Offer a machine to a place: one answer per rule."""
    return _assess(MACHINE_RULES, machine, position.with_place(machine=machine))


def assess_lost_motion_fitting(fitting: LostMotionFacts, position: PositionFacts) -> Assessment:
    """Offer a lost-motion fitting to a place: one answer per rule."""
    return _assess(FITTING_RULES, fitting, position.with_place(lost_motion_fitting=fitting))


def _assess(rules: Mapping[str, Judge], part: PartFacts, position: PositionFacts) -> Assessment:
    return Assessment(
        tuple(Answer(name, *judge(part, position), PRACTICE) for name, judge in rules.items())
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


def drive_lug(part: PartFacts, position: PositionFacts) -> Said:
    """The lug of the rod that is there now, against the drive with this part in it."""
    place, rod = position.place, position.place.stretcher
    if not place.driven:
        return working.drive_lug(rod or StretcherFacts(), position)
    if rod is None:
        return cannot_say(
            "no stretcher is recorded here for the drive rod to move",
            "the stretcher at this place and its drive lug",
        )
    outcome, reason, remedy = working.drive_lug(rod, position)
    name = f"Stretcher {rod.tag}" if rod.tag else "The stretcher here"
    return outcome, f"{name}: {reason[0].lower()}{reason[1:]}", remedy


def lost_motion(part: PartFacts, position: PositionFacts) -> Said:
    return working.lost_motion(position.place.stretcher or StretcherFacts(), position)


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


def machine_continuity(machine: MachineFacts, position: PositionFacts) -> Said:
    return electrical.rails(
        position.points,
        position.with_place(machine=None).points,
        "this machine",
        "use a machine whose drive rod and lock rod are insulated, or bring the insulations of the "
        "stretchers to one side",
    )


# --- asked of a lost-motion fitting -------------------------------------------------------------


def needed(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    """Not where the lost motion inside the machine lets the lock clear already."""
    if position.place.driven is False:
        return suits("Not driven here, so none is needed.")
    # How far the switch moves does not matter to the lock.
    without = working.standing_at(position.with_place(lost_motion_fitting=None, travel_mm=0.0))
    if not isinstance(without, Standing):
        return without
    spare = without.unlocking_margin_mm
    if spare < 0:
        return suits(f"Needed: the lock needs {mm(-spare)} of lost motion outside the machine.")
    return misfit(
        f"Not needed: the lost motion inside the machine clears the lock with {mm(spare)} to "
        "spare.",
        "fit none here; keep it for a machine with less lost motion inside",
    )


def fitting_lug(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    """As for the rod; but the wrong fitting for the lug is this one, and no work mends it."""
    outcome, reason, remedy = drive_lug(fitting, position)
    wrong = outcome is Outcome.SUITS_AFTER_WORK
    return (Outcome.DOES_NOT_SUIT if wrong else outcome), reason, remedy


def fitting_lost_motion(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    """A fitting whose whole range lies outside the window cannot be set to be within it."""
    outcome, reason, remedy = lost_motion(fitting, position)
    stands = working.standing_at(position)
    if outcome is not Outcome.SUITS_AFTER_WORK or not isinstance(stands, Standing):
        return outcome, reason, remedy
    window = stands.window
    ends = [e for e in (fitting.lost_motion_min_mm, fitting.lost_motion_max_mm) if e is not None]
    if max(ends) < window.least_mm or min(ends) > window.most_mm:
        return misfit(reason, f"not this one: {remedy}")
    return after_work(reason, remedy)


def fitting_continuity(fitting: LostMotionFacts, position: PositionFacts) -> Said:
    return electrical.rails(
        position.points,
        position.with_place(lost_motion_fitting=None).points,
        "this fitting",
        "correct the insulation of the stretchers and of the drive first",
    )


# --- the tables of rules ------------------------------------------------------------------------

FIT_FOR_USE: dict[str, Judge] = {
    "condition": state.condition,
    "open defects": state.open_defects,
    "quarantine": state.quarantine,
}
MACHINE_RULES: dict[str, Judge] = {
    "driven": driven,
    "kind of machine": kind_of_machine,
    "drive lug": drive_lug,
    "lost motion": lost_motion,
    "continuity": machine_continuity,
    **FIT_FOR_USE,
}
FITTING_RULES: dict[str, Judge] = {
    "driven": driven,
    "needed": needed,
    "drive lug": fitting_lug,
    "lost motion": fitting_lost_motion,
    "continuity": fitting_continuity,
    **FIT_FOR_USE,
}
