"""What is drawn along one stretcher: its line, insulation, shoes and drive lugs."""

from collections.abc import Iterator

from assets.engineering.words import DriveLug, Ends, Form, InsulationSide, Profile, Towards

from .drawing import Mark

INSULATION_IN = 24.0  # from the end of the rod to its insulation
LUG_IN = 44.0  # from the end of the rod to a lug at that end
SHOES = {Profile.BULLHEAD: "BH", Profile.FLAT_BOTTOM: "FB", Profile.UNKNOWN: "?"}


def rod_path(left: float, right: float, v: float, form: Form, towards: Towards) -> str:
    """A straight line, or one with a crank; a crank of unknown way stands both ways."""
    if form is not Form.GOOSENECK:
        return f"M{left} {v} H{right}"
    middle = (left + right) / 2
    if towards is Towards.UNKNOWN:
        crank = "l4 -6 l8 12 l8 -12 l4 6"
    else:
        step = -7 if towards is Towards.HEEL else 7
        crank = f"l4 {step} h16 l4 {-step}"
    return f"M{left} {v} H{middle - 12:.2f} {crank} H{right}"


def insulation(left: float, right: float, v: float, side: InsulationSide) -> Iterator[Mark]:
    if side in (InsulationSide.LEFT, InsulationSide.BOTH):
        yield Mark(round(left + INSULATION_IN, 2), v, "left", kind="known")
    if side in (InsulationSide.RIGHT, InsulationSide.BOTH):
        yield Mark(round(right - INSULATION_IN, 2), v, "right", kind="known")
    if side is InsulationSide.UNKNOWN:
        yield Mark(round((left + right) / 2 - 26, 2), v, "unknown", "?", "unknown")


def lugs(lug: DriveLug, ends: Ends, left: float, right: float, v: float) -> Iterator[Mark]:
    """The lug near its end; in the middle, as a question, where the end is not known."""
    if lug is DriveLug.NONE:
        return
    words = "?" if lug is DriveLug.UNKNOWN else ""
    if ends in (Ends.LEFT, Ends.BOTH):
        yield Mark(round(left + LUG_IN, 2), v, "left", words, lug.value)
    if ends in (Ends.RIGHT, Ends.BOTH):
        yield Mark(round(right - LUG_IN, 2), v, "right", words, lug.value)
    if ends not in (Ends.LEFT, Ends.RIGHT, Ends.BOTH):
        yield Mark(round((left + right) / 2, 2), v, "unknown", words, lug.value)
