"""What the drawing of a plan cannot say, or says by signs, in words."""

from assets.engineering.facts import PlaceFacts, PointsFacts, StretcherFacts
from assets.engineering.words import Depth, DriveLug, Ends, Soleplate


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
