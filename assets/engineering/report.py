"""All that can be said of one set of points from its readings, in one call.

Lengths in mm, x from the toe, forces in N. What cannot be worked out is left None or empty,
and ``missing`` says what to go and measure. Nothing here says that points are fit for traffic.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from assets.engineering.switch_inputs import LIES, Rod, SwitchFacts

from .cannot_say import CannotSay, known
from .frame import Frame, frame_of
from .lacking import both_ways, facts_missing, sentence
from .lie_report import FwcVerdict, HowSure, LieReport
from .open_switch import Least, OpenSwitch, least_along
from .readings import (
    ReadSwitch,
    Taken,
    disagreements,
    open_switch,
    passages,
    rod_forces,
    taken,
)
from .separation import RodReport, separation_mm
from .setting_up import Sheet, sheet
from .shape import Floats, head_width
from .thousandths import thousandths
from .two_rails.advice import Advice
from .two_rails.answers import Answers, LieAnswer, answers
from .two_rails.cases import Cases
from .two_rails.certainty import Sure, decide
from .two_rails.lying import Lying
from .wheels import passage_mm
from .words import Lie


@dataclass(frozen=True)
class SwitchReport:
    """One set of points."""

    left_closed: LieReport
    right_closed: LieReport
    rods: tuple[RodReport, ...]
    answers: Answers  # how sure, where to measure next, what to turn
    missing: tuple[str, ...]  # what to go and look at or measure, most telling first
    ways: tuple[str, ...] = ()  # what is not known, so that each turn was worked out both ways
    wheel_note: str = ""  # how likely the worst wheelset is

    @property
    def advice(self) -> Advice | None:
        """What to turn; None: cannot say, see ``missing``, or the readings no longer hold."""
        return self.answers.advice

    @property
    def lies(self) -> tuple[LieReport, LieReport]:
        return self.left_closed, self.right_closed

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers, words and lists, ready to be written as JSON."""
        sure = self.answers.as_dict()
        return {
            "lies": {report.lie.value: report.as_dict() for report in self.lies},
            "rods": [_rod_as_dict(rod) for rod in self.rods],
            "advice": sure["advice"],
            "measure_next": sure["measure_next"],
            "missing": list(self.missing),
        }


def report(points: SwitchFacts, doubts: Sequence[str] = (), ask_may: bool = False) -> SwitchReport:
    """Profile, wheels, separations and advice of these points, as read.

    ``doubts``: what earlier visits say against turning anything before it is measured again.
    ``ask_may``: also what could be turned to ease the switch rail, where nothing must be.
    """
    return _report(points, {}, answers(points, doubts=doubts, ask_may=ask_may))


def what_if(points: SwitchFacts, changes_mm: Mapping[int, float]) -> SwitchReport:
    """The report as it would be with rods altered: {order: mm}, positive lengthens the rod.

    Both rails move. Where studs or goosenecks are not known, it is the case with the least
    clearance, with the range over all. The readings themselves no longer hold and are left out.
    CannotSay where a rod is not there, its place is not known, or where the closed rail is held.
    """
    rods = {rod.order: rod for rod in points.rods}
    for order, change in changes_mm.items():
        if order not in rods:
            have = ", ".join(str(number) for number in sorted(rods)) or "none recorded"
            raise CannotSay(
                f"there is no stretcher {order} on these points; its stretchers are: {have}"
            )
        known(rods[order].distance_mm, f"the distance of the {rods[order].name} from the toe")
        known(change, f"the change of the {rods[order].name}", least=float("-inf"))
    return _report(points, changes_mm, answers(points))


def setting_up_sheet(points: SwitchFacts) -> Sheet:
    """The setting-up sheet of these points; CannotSay names the first fact it lacks.

    Its separations take the gauge as read, the mean of both lies, else as recorded.
    """
    frame = frame_of(points)
    both = [taken(points.readings(lie), frame.rods, points.gauge_mm) for lie in LIES]
    gauges = {}
    for rod in frame.rods:
        at_rod = [readings.gauge_at(rod.x_mm) for readings in both]
        found = [float(gauge) for gauge in at_rod if gauge is not None]
        if found:
            gauges[rod.order] = sum(found) / len(found)
    return sheet(frame.shape, frame.held, frame.rods, points.limits, gauges)


@dataclass(frozen=True)
class _LieState:
    """One lie as far as it is known."""

    lie: Lie
    readings: Taken | None = None  # None: one of them cannot be
    read: ReadSwitch | None = None  # None: too few of them
    closed: Lying | None = None  # the closed rail, where rods were altered since it was read
    ways: tuple[OpenSwitch, ...] = ()  # every way that it may lie then

    @property
    def switch(self) -> OpenSwitch | None:
        return None if self.read is None else self.read.switch


def _report(points: SwitchFacts, changes_mm: Mapping[int, float], found: Answers) -> SwitchReport:
    missing: list[str] = []
    frame = None
    try:
        frame = frame_of(points)
    except CannotSay as lacking:
        missing.append(sentence(str(lacking)))
    states = [_state(points, frame, lie, missing) for lie in LIES]
    read = states
    ways = both_ways(points, frame) if found.cases is not None else ()
    if changes_mm:
        if found.cases is None:
            raise CannotSay(" ".join(found.missing).removesuffix("."))
        states = [_altered(state, found.cases, changes_mm) for state in states]
        found = Answers()
    reports = [_lie_report(points, frame, s, bool(changes_mm), missing) for s in states]
    told = {one.lie: one for one in found.lies}
    limit = points.limits.fwc_least_mm
    left, right = (_how_sure(lie, told.get(lie.lie), limit) for lie in reports)
    rods = _rod_reports(points, read, found, changes_mm)
    missing += [said for said in found.missing if said not in missing]
    missing += facts_missing(points, found.advice)
    note = points.wheels.note if points.wheels else ""
    return SwitchReport(left, right, rods, found, tuple(dict.fromkeys(missing)), ways, note)


def _state(points: SwitchFacts, frame: Frame | None, lie: Lie, missing: list[str]) -> _LieState:
    """What the readings of one lie come to; what they lack is added to ``missing``."""
    try:
        readings = taken(
            points.readings(lie), points.rods, points.gauge_mm, points.shape, points.assumed
        )
    except CannotSay as lacking:
        missing.append(sentence(str(lacking), lie))
        return _LieState(lie)
    missing += [f"With {lie.label}: {_lower(said)}" for said in readings.left_out]
    if frame is None:
        return _LieState(lie, readings)
    try:
        read = open_switch(frame.shape, frame.held, frame.rods, readings)
    except CannotSay as lacking:
        missing.append(sentence(str(lacking), lie))
        return _LieState(lie, readings)
    missing += [
        sentence(
            f"measure free wheel clearance at the {rod.name}; until then it is taken as holding "
            "the switch rail where it would lie anyway",
            lie,
        )
        for rod in read.unread
    ]
    return _LieState(lie, readings, read)


def _altered(state: _LieState, cases: Cases, changes_mm: Mapping[int, float]) -> _LieState:
    """The same lie with rods lengthened, in whichever way it may be that leaves the least."""
    if state.read is None:
        return state
    changes = np.array([changes_mm.get(rod.order, 0.0) for rod in cases.rods])
    ways = [
        (cases.open_switch(outcome), outcome.lying)
        for outcome in cases.after(changes)
        if outcome.lie == state.lie
    ]
    switch, closed = min(ways, key=lambda way: way[0].least_fwc.mm)
    every = tuple(way for way, _ in ways)
    return replace(state, read=replace(state.read, switch=switch), closed=closed, ways=every)


def _how_sure(lie: LieReport, told: LieAnswer | None, limit_mm: float | None) -> LieReport:
    """The report with how sure it is, where that can be said."""
    if told is None or lie.least_fwc is None:
        return lie
    low, high = told.fwc_mm(np.array(lie.x_mm))
    clearance = None
    if told.clearance is not None:
        good = lie.verdict in (FwcVerdict.WITHIN, FwcVerdict.WHEELS_TOUCH)
        # One reading below the limit counts, whatever all of them together come to; and the figure
        # that is printed must be clear of the limit itself.
        agreed = told.clearance.within == good
        printed = decide(lie.least_fwc.mm, told.least_sigma_mm, least_mm=limit_mm)
        clear = agreed and Sure.TOO_CLOSE not in (told.clearance.sure, printed.sure)
        clearance = Sure.CLEAR if clear else Sure.TOO_CLOSE
    return replace(
        lie,
        how_sure=HowSure(
            told.least_sigma_mm,
            clearance,
            told.at_toe,
            tuple(low.tolist()),
            tuple(high.tolist()),
            bool(told.doubted),
        ),
    )


def _lie_report(
    points: SwitchFacts, frame: Frame | None, state: _LieState, altered: bool, missing: list[str]
) -> LieReport:
    lie, readings, switch = state.lie, state.readings, state.switch
    read = () if altered or readings is None else tuple(sorted(readings.clearances().items()))
    # A reading under the limit counts even where its place or another reading is in doubt.
    raw = () if altered else (one.mm for one in points.readings(lie).fwc)
    verdict = _verdict(points.limits.fwc_least_mm, [*raw, *(mm for _, mm in read)], switch)
    if switch is None or frame is None or readings is None:
        doubts = () if altered or readings is None else tuple(passages(readings, points.assumed))
        return LieReport(lie, verdict, read_mm=read, disagreements=doubts)
    stiffness = points.stiffness_n_mm2
    forces = rod_forces(switch.blade, stiffness)
    orders = [rod.order for rod in frame.rods]
    margin = _wheel_margin(points, state, readings, switch, missing)
    if verdict == FwcVerdict.WITHIN and margin is not None and margin.mm < 0:
        verdict = FwcVerdict.WHEELS_TOUCH
    return LieReport(
        lie,
        verdict,
        tuple(switch.places_mm.tolist()),
        tuple(switch.fwc_mm.tolist()),
        switch.least_fwc,
        switch.opening_mm,
        margin,
        () if forces is None else tuple(zip(orders, forces, strict=True)),
        read,
        () if altered else disagreements(switch, frame.rods, readings, stiffness, points.assumed),
        least_most_mm=max((one.least_fwc.mm for one in state.ways), default=None),
        opening_range_mm=_range([one.opening_mm for one in state.ways]),
    )


def _range(figures: Sequence[float]) -> tuple[float, float] | None:
    return (min(figures), max(figures)) if figures else None


def _verdict(
    least_mm: float | None, read_mm: Sequence[float], switch: OpenSwitch | None
) -> FwcVerdict:
    if least_mm is None:
        return FwcVerdict.NO_LIMIT
    if any(mm < least_mm for mm in read_mm):
        return FwcVerdict.OUT
    if switch is None:
        return FwcVerdict.CANNOT_SAY
    # What equals the limit is within it, whatever the last digit of the sum says.
    within = round(switch.least_fwc.mm, 6) >= least_mm
    return FwcVerdict.WITHIN if within else FwcVerdict.ALERT


def _wheel_margin(
    points: SwitchFacts,
    state: _LieState,
    readings: Taken,
    switch: OpenSwitch,
    missing: list[str],
) -> Least | None:
    """The least spare mm behind the open switch, and where."""
    wheels, lie, closed = points.wheels, state.lie, state.closed
    if not readings.residual:
        missing.append(
            sentence(
                "measure the residual opening of the closed switch rail at each stretcher over the "
                "planing",
                lie,
            )
        )
    if not readings.gauge:
        used = "" if points.gauge_mm is None else f" ({points.gauge_mm:g} mm recorded is used)"
        missing.append(sentence(f"measure the track gauge{used}", lie))
    elif points.readings(lie).gauge_of_either:
        missing.append(
            sentence(
                "measure the track gauge again: it was read without saying on which lie, and the "
                "same reading serves both",
                lie,
            )
        )
    if wheels is None or not readings.residual or readings.gauge_at(0.0) is None:
        return None

    def margin(x: Floats) -> Floats:
        gauge = readings.gauge_at(x)
        departure = readings.departure_at(x) if closed is None else closed.closed_at(x)
        assert gauge is not None  # both asked above
        assert departure is not None
        return wheels.margin_mm(passage_mm(gauge, departure, switch.fwc(x)))

    return least_along(margin, switch.places_mm, margin(switch.places_mm))


def _rod_reports(
    points: SwitchFacts,
    read: Sequence[_LieState],
    found: Answers,
    changes_mm: Mapping[int, float],
) -> tuple[RodReport, ...]:
    """What each rod holds: as read, and as much more as it was lengthened since."""
    shown = {one.order: one for one in found.play}
    reports = []
    for rod in sorted(points.rods, key=lambda rod: rod.order):
        left, right = (_separation(rod, state) for state in read)
        longer = changes_mm.get(rod.order, 0.0)
        play = shown.get(rod.order)
        reports.append(
            RodReport(
                rod.order,
                rod.name,
                rod.distance_mm,
                None if left is None else left + longer,
                None if right is None else right + longer,
                play.finding if play else "",
                play.not_seen_mm if play else None,
            )
        )
    return tuple(reports)


def _separation(rod: Rod, state: _LieState) -> float | None:
    """What the rod holds on this lie; None where a reading it needs was not taken."""
    x, readings, read = rod.distance_mm, state.readings, state.read
    if read is None or readings is None or x is None or rod in read.unread:
        return None
    gauge, departure = readings.gauge_at(x), readings.departure_at(x)
    if gauge is None or departure is None:
        return None
    head = float(head_width(read.switch.shape, x))
    return separation_mm(float(gauge), head, float(departure), float(read.switch.fwc(x)))


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


def _rod_as_dict(rod: RodReport) -> dict[str, Any]:
    return {
        "order": rod.order,
        "name": rod.name,
        "distance_mm": rod.distance_mm,
        "separation_mm": {
            Lie.LEFT_CLOSED.value: thousandths(rod.left_closed_mm),
            Lie.RIGHT_CLOSED.value: thousandths(rod.right_closed_mm),
        },
        "play_mm": thousandths(rod.play_mm),
        "finding": rod.finding,
        "slack_not_seen_mm": thousandths(rod.slack_not_seen_mm),
    }
