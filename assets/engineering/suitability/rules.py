"""The table of rules: to add a rule write one function, its truth conditions and one row.

A row names the part of the rod and the part of the place that decide the rule's outcome (the
words may say more). Rods alike in that part are judged once when the whole railway is laid out.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from assets.engineering.suitability.answers import (
    PRACTICE,
    Answer,
    Assessment,
    Outcome,
    Said,
    Truth,
)

from ..circuit.drawing import Rod
from ..facts import PositionFacts, StretcherFacts
from . import (
    drive_lug,
    drive_throw,
    electrical,
    fit,
    insulation_side,
    kicker,
    length,
    length_table,
    notches,
    state,
    timber,
    turning,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Judge = Callable[[StretcherFacts, PositionFacts], Said]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. ``outcome`` or ``outcomes`` may give outcomes from the parts alone, for speed."""

    name: str
    judge: Judge
    truth: Truth
    stretcher_part: Callable[[StretcherFacts], Hashable]
    position_part: Callable[[PositionFacts], Hashable]
    source: str = PRACTICE  # figures of the railway by their codes: "{shim_most_mm}"
    outcome: Callable[[Any, Any], Outcome] | None = None
    outcome_turned: Callable[[Any, Any], Outcome] | None = None  # with ``judge_turned``
    outcomes: "Callable[[Sequence[Any], Sequence[Any]], NDArray[np.uint8]] | None" = None
    sided: bool = False  # it may say something else of a rod turned end for end
    judge_turned: Judge | None = None  # of a rod that lies turned, where its facts do not tell all

    def find(self, stretcher: StretcherFacts, position: PositionFacts) -> Answer:
        """The answer for a rod as it lies."""
        return Answer(self.name, *self.judge(stretcher, position), self._source(position))

    def find_turned(self, stretcher: StretcherFacts, position: PositionFacts) -> Answer:
        """The answer for the same rod end for end."""
        judge, _ = self.cells(turned=True)
        outcome, reason, remedy = judge(stretcher.turned, position)
        if self.sided:
            reason = _turned(outcome, reason)
        return Answer(self.name, outcome, reason, remedy, self._source(position))

    def _source(self, position: PositionFacts) -> str:
        return position.points.assumed.filled(self.source)

    def cells(self, turned: bool) -> tuple[Judge, Callable[[Any, Any], Outcome] | None]:
        """How each cell of the table is judged: the rule, and the outcome from the parts alone."""
        if turned and self.judge_turned:
            return self.judge_turned, self.outcome_turned
        return self.judge, self.outcome


def _turned(outcome: Outcome, reason: str) -> str:
    if outcome is Outcome.CANNOT_SAY:
        return reason.replace("Cannot say: ", "Cannot say: turned end for end, ", 1)
    return f"Turned end for end: {reason[0].lower()}{reason[1:]}"


def nothing(_: StretcherFacts | PositionFacts) -> None:
    """For a rule that does not look at the rod, or at the place."""


_circuited = attrgetter("points.track_circuited")

TURNING = Rule(
    "turning end for end",
    turning.turning,
    turning.TURNING,
    lambda s: (turning.lie(s), s.can_be_turned),
    turning.around,
)
RULES = (
    Rule("role", fit.role, fit.ROLE, lambda s: (s.made_for, fit.has_lug(s)),
         attrgetter("place.role")),
    Rule("left shoe", fit.left_shoe, fit.SHOE, attrgetter("left_shoe", "generation"),
         fit.rail_fit),
    Rule("right shoe", fit.right_shoe, fit.SHOE, attrgetter("right_shoe", "generation"),
         fit.rail_fit),
    Rule("depth", fit.depth, fit.DEPTH, attrgetter("depth"), fit.switch_depth),
    Rule(
        "insulation",
        electrical.insulation,
        electrical.INSULATION,
        attrgetter("insulation_side", "insulation_kind"),
        _circuited,
        source="GK/RC0752 issue 2 (1998, withdrawn), p. B13: stretchers made in two pieces joined "
        "by insulated bolts",
    ),
    Rule(
        "insulation side",
        insulation_side.insulation_side,
        insulation_side.INSULATION_SIDE,
        attrgetter("insulation_side"),
        insulation_side.others,
        sided=True,
    ),
    Rule(
        "continuity",
        electrical.continuity,
        electrical.CONTINUITY,
        Rod.of,
        electrical.circuit,
        outcome=electrical.continuity_outcome,
        sided=True,
    ),
    TURNING,
    Rule(
        "timber space",
        timber.timber_space,
        timber.TIMBER_SPACE,
        timber.outline,
        timber.rooms,
        source="a straight stretcher needs {straight_space_mm} to the timbers, a gooseneck "
        "{gooseneck_space_mm}; measure them",
        sided=True,
    ),
    Rule(
        "length",
        length.length,
        length.LENGTH,
        length.rod_length,
        length.need_of,
        source=f"{PRACTICE}; at most {{shim_most_mm}} of shims at each shoe, "
        "{thread_margin_mm} of thread to spare at either end",
        outcomes=length_table.length_outcomes,
    ),
    Rule("drive lug", drive_lug.drive_lug, drive_lug.DRIVE_LUG, attrgetter("drive_lug"),
         drive_lug.drive),
    Rule(
        "end of the drive lug",
        drive_lug.lug_end,
        drive_lug.LUG_END,
        lambda s: (s.drive_lug, s.lug_end),
        lambda p: (p.place.driven, drive_lug.machine_side(p)),
        sided=True,
    ),
    Rule(
        "lost motion",
        drive_throw.lost_motion,
        drive_throw.LOST_MOTION,
        nothing,
        drive_throw.lost_motion_need,
    ),
    Rule(
        "lock notches",
        notches.notches,
        notches.NOTCHES,
        attrgetter("notches", "notch_distance_mm"),
        notches.notch_need,
        source="New South Wales TMG E1583 V1.0 (2009), 4.3.2: the lock must enter with 1.6 mm out",
        sided=True,
        judge_turned=notches.notches_turned,
        outcome=notches.notch_outcome,
        outcome_turned=notches.notch_outcome_turned,
    ),
    Rule(
        "kicker",
        kicker.kicker,
        kicker.KICKER,
        attrgetter("kicker", "kicker_end"),
        kicker.required,
        sided=True,
        judge_turned=kicker.kicker_turned,
    ),
    Rule("generation", state.generations, state.GENERATION, attrgetter("generation"),
         state.other_generations),
    Rule("fixings", state.fixings, state.FIXINGS,
         attrgetter("left_fixings", "right_fixings", "torque_nm"), nothing),
    Rule("condition", state.condition, state.CONDITION, attrgetter("condition"), nothing),
    Rule("open defects", state.open_defects, state.OPEN_DEFECTS, attrgetter("open_defects"),
         nothing),
    Rule("quarantine", state.quarantine, state.QUARANTINE, attrgetter("quarantined"), nothing),
)  # fmt: skip


def spoiled(turned: Answer, as_it_lies: Answer) -> bool:
    """Whether turning the rod puts something wrong that is not wrong as it lies."""
    return turned.outcome is not Outcome.CANNOT_SAY and (
        turned.outcome.severity > as_it_lies.outcome.severity
    )


def assess(stretcher: StretcherFacts, position: PositionFacts) -> Assessment:
    """Offer a rod to a place: one answer per rule. Whatever rod is there now is out of it.

    A rod that would go in end for end is judged so by every rule; what it then fails, and passes
    as it lies, makes turning no remedy.
    """
    if not turning.wants_turning(turning.lie(stretcher), turning.around(position)):
        return Assessment(tuple(rule.find(stretcher, position) for rule in RULES))
    found = {
        rule.name: rule.find_turned(stretcher, position) for rule in RULES if rule is not TURNING
    }
    failing = [
        found[rule.name]
        for rule in RULES
        if rule.sided and spoiled(found[rule.name], rule.find(stretcher, position))
    ]
    found[TURNING.name] = (
        Answer(TURNING.name, *turning.no_remedy(stretcher, position, failing), TURNING.source)
        if failing
        else TURNING.find(stretcher, position)
    )
    return Assessment(tuple(found[rule.name] for rule in RULES))
