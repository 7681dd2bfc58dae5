"""Is the part fit to be used, and does a rod go with the rods already there?"""

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    figure,
    listed,
    misfit,
    sentence,
    suits,
)

from ..facts import (
    LostMotionFacts,
    MachineFacts,
    PartFacts,
    PositionFacts,
    StretcherFacts,
)
from ..words import Condition, Fixings, Generation

LEAST_TORQUE_NM, MOST_TORQUE_NM = 200.0, 250.0  # an example: as the railway lays down
WHERE_TO_LOOK = {
    StretcherFacts: "gooseneck and shoes for cracks, welds, bushes and threads",
    MachineFacts: "its drive and lock rods, their pins and joints, and the lock for wear",
    LostMotionFacts: "its pins, its slot or sleeve and its nuts, for wear and cracks",
}


def other_generations(position: PositionFacts) -> frozenset[Generation]:
    return frozenset(rod.generation for _, rod in position.others)


def generations(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    others, mine = other_generations(position), stretcher.generation
    known = others - {Generation.UNKNOWN}
    if not others:
        return suits("No other stretcher fitted, so no mixing of types.")
    if mine is Generation.UNKNOWN:
        return cannot_say(
            f"the generation of this stretcher is not known; the others are {_colours(others)}",
            "the stretcher's paint",
        )
    if known - {mine}:
        return after_work(
            f"A {mine} stretcher among {_colours(known)}: types are mixed.",
            "get the responsible engineer's agreement to the mixture, or change the stretchers "
            "together",
        )
    if Generation.UNKNOWN in others:
        return cannot_say(
            f"this stretcher is {mine}; the generation of another stretcher here is not known",
            "the paint of the stretchers fitted",
        )
    return suits(f"A {mine} stretcher like the others.")


GENERATION = Truth(
    suits="No other stretcher is fitted here, or all have the paint of this one.",
    after_work="Another stretcher here has other paint: get the responsible engineer's agreement.",
    cannot_say="The paint of this stretcher, or of another one here, is not known.",
)


def _colours(generations: frozenset[Generation]) -> str:
    return listed(sorted(one.value for one in generations))


def fixings(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    ends, torque = {stretcher.left_fixings, stretcher.right_fixings}, stretcher.torque_nm
    usual = f"{figure(LEAST_TORQUE_NM)} to {figure(MOST_TORQUE_NM)} N·m"
    if Fixings.UNKNOWN in ends:
        return cannot_say(
            "the fixings of this stretcher are not known at both its ends", "its bolts and nuts"
        )
    kind = listed(sorted(end.label for end in ends))
    if torque is None:
        return cannot_say(
            f"{kind}; no tightening torque is recorded for it",
            f"what the railway lays down for it (usual {usual})",
        )
    if not LEAST_TORQUE_NM <= torque <= MOST_TORQUE_NM:
        return cannot_say(
            f"{kind}; the torque recorded is {figure(torque)} N·m, the usual {usual}",
            "what the railway lays down for this fixing",
        )
    return suits(sentence(f"{kind}, tightened to {figure(torque)} N·m"))


FIXINGS = Truth(
    suits=f"The fixings at both ends are known, and the torque laid down for them is within the "
    f"usual {figure(LEAST_TORQUE_NM)} to {figure(MOST_TORQUE_NM)} N·m.",
    cannot_say="The fixings at an end are not known, no torque is recorded, or the one recorded is "
    "outside the usual.",
)


def condition(part: PartFacts, position: PositionFacts) -> Said:
    state = part.condition
    if state is Condition.UNKNOWN:
        return cannot_say(f"this {part.noun} has not been examined", WHERE_TO_LOOK[type(part)])
    if state is Condition.SCRAP:
        return misfit("Scrap.", f"use another {part.noun}")
    if state is Condition.REPAIR:
        return after_work("Needs repair.", "repair it and examine it again before it is fitted")
    return suits(f"Examined: {state.label}.")


CONDITION = Truth(
    suits="It was examined and found good, or worn but serviceable.",
    after_work="It needs repair.",
    cannot_say="It was never examined.",
    does_not_suit="It is scrap.",
)


def open_defects(part: PartFacts, position: PositionFacts) -> Said:
    found = part.open_defects
    if not found:
        return suits("No open defects.")
    return after_work(
        f"Open defects: {'; '.join(found)}.", "repair and close them before it is fitted"
    )


OPEN_DEFECTS = Truth(
    suits="It has no open defect.",
    after_work="It has one or more: repair and close them first.",
)


def quarantine(part: PartFacts, position: PositionFacts) -> Said:
    if part.quarantined:
        return misfit(
            "In quarantine.",
            f"use another {part.noun} until whoever quarantined this one releases it",
        )
    return suits("Not in quarantine.")


QUARANTINE = Truth(
    suits="It is not in quarantine.",
    does_not_suit="It is in quarantine.",
)
