"""What a plan says in words: its labels, and what the drawing cannot say or says by signs."""

import textwrap

from assets.engineering.facts import PlaceFacts, PointsFacts, StretcherFacts
from assets.engineering.words import (
    Depth,
    DriveLug,
    Ends,
    Generation,
    InsulationSide,
    Lie,
    MachineKind,
    Soleplate,
)

from .geometry import Plan, Rod

MACHINES = {
    MachineKind.RODDING: "rodding",
    MachineKind.SUPPLEMENTARY: "suppl. drive",
    MachineKind.UNKNOWN: "machine ?",
}


def at_its_end(ends: Ends) -> str:
    """ " at the left end"; "" where it has none."""
    return {
        Ends.NONE: "",
        Ends.BOTH: " at both ends",
        Ends.UNKNOWN: ", at which end not known",
    }.get(ends, f" at the {ends.label}")


def kicker_words(rod: StretcherFacts) -> str:
    return f"kicker{at_its_end(rod.kicker_end)}" if rod.kicker else ""


def lug_words(rod: StretcherFacts) -> str:
    if rod.drive_lug in (DriveLug.NONE, DriveLug.UNKNOWN):
        return ""
    return f"{rod.drive_lug.label} drive lug{at_its_end(rod.lug_end)}"


def rod_words(place: PlaceFacts) -> list[str]:
    """What else there is to say of a place and its stretcher, besides insulation and shoes."""
    rod, said = place.stretcher, []
    if rod is not None:
        said += [kicker_words(rod), lug_words(rod), "welded" if rod.welded else ""]
        said.append("for a shallow-depth switch" if rod.depth is Depth.SHALLOW else "")
    said.append("timber cut away" if place.chiselled else "")
    if place.driven:
        machine, fitting = place.machine, place.lost_motion_fitting
        by = f" by {machine.tag}" if machine else ""
        said.append(f"driven{by}{f' through {fitting.tag}' if fitting else ''}")
    return [words for words in said if words]


def points_words(points: PointsFacts) -> str:
    """Depth, soleplate and studs of the points, in a sentence."""
    depth = "switch depth not known" if points.depth is Depth.UNKNOWN else points.depth.label
    soleplate = {
        Soleplate.UNKNOWN: "soleplate not known",
        Soleplate.NONE: "no soleplate",
        Soleplate.BARE: "soleplate not insulated",
        Soleplate.INSULATED: "soleplate insulated",
    }[points.soleplate]
    if points.studs_mm is None:
        studs = "studs behind the planing not known"
    elif not points.studs_mm:
        studs = "no studs behind the planing"
    else:
        studs = f"studs at {' and '.join(f'{x:g}' for x in points.studs_mm)} mm from the toe"
    said = f"{depth}, {soleplate}, {studs}."
    return said[:1].upper() + said[1:]


def heel_words(plan: Plan) -> str:
    if not plan.heel_known:
        return "heel ?"
    kind = {"held": ", held", "pivoted": ", pivoted"}.get(plan.heel.value, ", held or pivoted ?")
    return f"heel {plan.heel_mm:.0f} mm{kind}"


def rod_label(place: PlaceFacts, letters: int) -> tuple[str, ...]:
    """ "2 · ST-014 yellow" in lines of so many letters."""
    rod = place.stretcher
    if rod is None:
        return tuple(textwrap.wrap(f"{place.order} · no stretcher recorded", letters))
    colour = "colour ?" if rod.generation is Generation.UNKNOWN else rod.generation.value
    return tuple(textwrap.wrap(f"{place.order} · {rod.tag} {colour}", letters))


def title(plan: Plan) -> str:
    return f"Plan of {plan.points.key}, {lie_words(plan.lie)}"


def lie_words(lie: Lie) -> str:
    side = "left" if lie == Lie.LEFT_CLOSED else "right"
    return f"{side} switch rail closed"


def description(plan: Plan) -> str:
    """The plan in words, for those who cannot see it."""
    names = ". ".join(
        ", ".join([place_words(rod), *(note.words for note in plan.notes_of(rod))])
        for rod in plan.rods
    )
    names = names or "No places are recorded"
    return f"Seen from above, the toe at the bottom, {heel_words(plan)} at the top. {names}."


def place_words(rod: Rod) -> str:
    place, facts = rod.place, rod.place.stretcher
    where = f"{place.distance_mm:g} mm from the toe" if rod.placed else "at an unknown distance"
    said = [f"{place.name.capitalize()} {where}"]
    said.append(
        "no stretcher recorded" if facts is None else f"{facts.tag} {facts.generation.value}"
    )
    if facts is not None:
        said.append(insulation_words(facts.insulation_side))
    said += rod_words(place)
    return ", ".join(said)


def insulation_words(side: InsulationSide) -> str:
    return {
        InsulationSide.NONE: "not insulated",
        InsulationSide.UNKNOWN: "insulation not known",
        InsulationSide.BOTH: "insulated on both sides",
    }.get(side, f"insulated on the {side.value}")


def scale_words(ratio: float) -> str:
    if abs(ratio - 1) < 0.05:
        return "drawn to one scale both ways"
    if ratio > 1:
        return f"drawn {ratio:.1f} times wider than long"
    return f"drawn {1 / ratio:.1f} times longer than wide"


def machine_lines(place: PlaceFacts, unsure: bool, letters: int) -> tuple[str, ...]:
    machine = place.machine
    if machine is None:
        words = ["drive ?"]
    else:
        words = [MACHINES.get(machine.kind, machine.kind.label), machine.tag]
    if unsure:
        words.append("side ?")
    return tuple(line for word in words if word for line in textwrap.wrap(word, letters))
