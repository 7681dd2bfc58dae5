"""The table of rules: to add a rule write one function and one row.

A row names the part of the rod and the part of the place that decide the rule's outcome (the
words may say more). Rods alike in that part are judged once when the whole railway is laid out.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from assets.engineering.suitability.answers import PRACTICE, Answer, Assessment, Outcome, Said

from ..facts import PositionFacts, StretcherFacts
from ..lost_motion import OVERTRAVEL_MM
from . import electrical, fit, length, state, turning, working


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. ``outcome`` may give the outcome from the two parts alone, for speed."""

    name: str
    judge: Callable[[StretcherFacts, PositionFacts], Said]
    stretcher_part: Callable[[StretcherFacts], Hashable]
    position_part: Callable[[PositionFacts], Hashable]
    source: str = PRACTICE
    outcome: Callable[[Any, Any], Outcome] | None = None

    def find(self, stretcher: StretcherFacts, position: PositionFacts) -> Answer:
        outcome, reason, remedy = self.judge(stretcher, position)
        return Answer(self.name, outcome, reason, remedy, self.source)


def nothing(_: StretcherFacts | PositionFacts) -> None:
    """For a rule that does not look at the rod, or at the place."""


_circuited = attrgetter("points.track_circuited")


RULES = (
    Rule("role", fit.role, lambda s: (s.made_for, fit.has_lug(s)), attrgetter("place.role")),
    Rule("left shoe", fit.left_shoe, attrgetter("left_shoe", "generation"), fit.rail_fit),
    Rule("right shoe", fit.right_shoe, attrgetter("right_shoe", "generation"), fit.rail_fit),
    Rule(
        "insulation",
        electrical.insulation,
        attrgetter("insulation_side", "insulation_kind"),
        _circuited,
        source="GK/RC0752 issue 2 (1998, withdrawn), p. B13: stretchers made in two pieces joined "
        "by insulated bolts",
    ),
    Rule("insulation side", turning.insulation_side, turning.lie, turning.around),
    Rule(
        "continuity",
        electrical.continuity,
        turning.lie,
        electrical.circuit,
        outcome=electrical.continuity_outcome,
    ),
    Rule(
        "turning end for end",
        turning.turning,
        lambda s: (turning.lie(s), s.kicker, s.can_be_turned),
        turning.around,
    ),
    Rule(
        "timber space",
        turning.timber_space,
        turning.lie,
        turning.around,
        source=f"assumed: a straight stretcher needs {turning.STRAIGHT_SPACE_MM:.0f} mm to the "
        f"timbers, a gooseneck {turning.GOOSENECK_SPACE_MM:.0f} mm; measure them",
    ),
    Rule(
        "length",
        length.length,
        length.rod_length,
        length.need_of,
        source=f"{PRACTICE}; assumed: at most {length.SHIM_MOST_MM:.0f} mm of shims at each shoe, "
        f"{length.THREAD_MARGIN_MM:.0f} mm of thread to spare at either end",
        outcome=length.length_outcome,
    ),
    Rule("drive lug", working.drive_lug, attrgetter("drive_lug"), working.drive),
    Rule(
        "lost motion",
        working.lost_motion,
        nothing,
        working.lost_motion_need,
        source=f"{PRACTICE}; assumed: up to {OVERTRAVEL_MM:.0f} mm more than the opening needs is "
        "taken up as overtravel",
    ),
    Rule(
        "lock notches",
        working.notches,
        attrgetter("notches", "notch_distance_mm"),
        working.notch_need,
        source="New South Wales TMG E1583 V1.0 (2009), 4.3.2: the lock must enter with 1.6 mm out",
    ),
    Rule("kicker", working.kicker, attrgetter("kicker"), attrgetter("place.kicker_required")),
    Rule("generation", state.generations, attrgetter("generation"), state.other_generations),
    Rule(
        "fixings", state.fixings, attrgetter("left_fixings", "right_fixings", "torque_nm"), nothing
    ),
    Rule("condition", state.condition, attrgetter("condition"), nothing),
    Rule("open defects", state.open_defects, attrgetter("open_defects"), nothing),
    Rule("quarantine", state.quarantine, attrgetter("quarantined"), nothing),
)


def assess(stretcher: StretcherFacts, position: PositionFacts) -> Assessment:
    """Offer a rod to a place: one answer per rule. Whatever rod is there now is out of it."""
    return Assessment(tuple(rule.find(stretcher, position) for rule in RULES))
