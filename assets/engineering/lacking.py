"""What is not known of a set of points, in sentences: what to go and look at, or to measure."""

from assets.engineering.switch_inputs import Rod, SwitchFacts

from .frame import Frame
from .two_rails.advice import Advice
from .words import Adjustability, Lie


def both_ways(points: SwitchFacts, frame: Frame | None) -> tuple[str, ...]:
    """What is not known of studs and goosenecks, and so is worked out at both extremes."""
    found = []
    if points.studs_mm is None:
        found.append(
            "studs behind the planing are not recorded: with none, and with a full row of them"
        )
    for rod in frame.rods if frame else ():
        if rod.gooseneck is not False:
            told = "is a gooseneck" if rod.gooseneck else "may be a gooseneck"
            found.append(f"the {rod.name} {told}: rigid, and giving way")
    return tuple(sentence(one) for one in found)


def facts_missing(points: SwitchFacts, advice: Advice | None) -> list[str]:
    """What the register lacks, rather than the readings."""
    found = []
    limits = points.limits
    if limits.fwc_least_mm is None:
        found.append("the railway's minimum free wheel clearance is not known")
    if limits.opening_min_mm is None or limits.opening_max_mm is None:
        found.append("the railway's limits for switch opening are not known: none is applied")
    if points.wheels is None:
        found.append("the railway's minimum back-to-back and flange thickness are not known")
    if points.stiffness_n_mm2 is None:
        found.append(
            "the lateral stiffness of the rail is not known, so no force can be given: check which "
            "rail section it is"
        )
    for rod in points.rods:
        found += _rod_missing(rod, advice is not None and advice.must is not None)
    return [sentence(text) for text in found]


def _rod_missing(rod: Rod, to_be_altered: bool) -> list[str]:
    found = []
    if rod.distance_mm is None:
        found.append(f"measure the distance of the {rod.name} from the toe: it is left out")
    if not to_be_altered:
        return found
    if rod.adjustability == Adjustability.UNKNOWN:
        found.append(f"check whether the {rod.name} is fixed or adjustable")
    elif rod.adjustability == Adjustability.FIXED and rod.shims_mm is None:
        found.append(f"check what shims the {rod.name} has")
    elif rod.adjustability == Adjustability.ADJUSTABLE and rod.thread_pitch_mm is None:
        found.append(f"measure how much one turn of the nut changes the {rod.name}")
    return found


def sentence(text: str, lie: Lie | None = None) -> str:
    """The text as a sentence, of one lie where that is given."""
    return f"With {lie.label}: {text}." if lie else f"{text[0].upper()}{text[1:]}."
