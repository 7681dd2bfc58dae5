"""How sure each answer about one set of points is, and what to do about it, in one call.

Lengths in mm, x from the toe. What cannot be worked out is left out, and ``missing`` says what to
measure. Nothing here is a measurement, and nothing says that points are fit for traffic.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from assets.engineering.cannot_say import CannotSay
from assets.engineering.frame import Frame, frame_of
from assets.engineering.open_switch import Least
from assets.engineering.readings import taken
from assets.engineering.shape import Floats
from assets.engineering.switch_inputs import LIES, SwitchFacts, SwitchLimits
from assets.engineering.thousandths import thousandths
from assets.engineering.words import Lie

from .advice import Advice, Limits, Turns, advise
from .cases import Cases, Read, geometries, judged_places
from .certainty import GUARD, Decision, Sure, decide
from .combining import Combined, Errors, Estimate, combined
from .play import Play, both_lies, play
from .read_next import MeasureNext, measure_next


@dataclass(frozen=True)
class LieAnswer:
    """One lie: where its clearance is least, how sure that is, and against its limit."""

    lie: Lie
    least_fwc: Least
    least_sigma_mm: float
    opening: Estimate
    clearance: Decision | None  # None: no limit is set
    at_toe: Decision | None
    doubted: tuple[str, ...]  # readings that do not fit the others
    combined: Combined

    @property
    def sure(self) -> Sure:
        """Whether every verdict of this lie would stand if all were read once more."""
        told = [one.sure for one in (self.clearance, self.at_toe) if one is not None]
        return Sure.TOO_CLOSE if Sure.TOO_CLOSE in told else Sure.CLEAR

    def fwc_mm(self, x_mm: Floats) -> tuple[Floats, Floats]:
        """The least and the most that clearance at each x may be, each 95 % sure."""
        likely = self.combined.switch.fwc(x_mm)
        spread = GUARD * self.combined.fwc_sigma(x_mm)
        return likely - spread, likely + spread

    @property
    def doubt(self) -> str:
        """What to measure again on this lie, where its readings disagree; else ""."""
        if not self.doubted:
            return ""
        return (
            f"With {self.lie.label}, measure again: {', '.join(self.doubted)}. They do not agree "
            "with the other readings."
        )


@dataclass(frozen=True)
class Answers:
    """One set of points."""

    lies: tuple[LieAnswer, ...] = ()
    held: tuple[tuple[int, Estimate], ...] = ()  # by order: what each rod holds, over the backs
    play: tuple[Play, ...] = ()
    measure_next: MeasureNext | None = None  # None: nothing is too close to call
    advice: Advice | None = None  # None: cannot say, see ``missing``
    cases: Cases | None = None  # None: what a turn does cannot be said, see ``missing``
    missing: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """Plain numbers, words and lists, ready to be written as JSON."""
        unseen = {one.order: one.not_seen_mm for one in self.play}
        told = self.measure_next
        return {
            "lies": {one.lie.value: _lie_as_dict(one) for one in self.lies},
            "rods": {
                order: {
                    "held_mm": thousandths(held.mm),
                    "held_sigma_mm": thousandths(held.sigma_mm),
                    "slack_not_seen_mm": thousandths(unseen.get(order)),
                }
                for order, held in self.held
            },
            "measure_next": None
            if told is None
            else {"at_mm": thousandths(told.at_mm), "lie": told.lie.value, "why": told.why},
            "advice": None if self.advice is None else _advice_as_dict(self.advice),
        }


def answers(
    points: SwitchFacts,
    doubts: Sequence[str] = (),
    ask_may: bool = False,
) -> Answers:
    """What the readings of both lies come to. ``doubts``: what else speaks against turning, like a
    step without work; each says what to measure again."""
    try:
        frame = frame_of(points)
    except CannotSay as lacking:
        return Answers(missing=(_sentence(str(lacking)),))
    missing: list[str] = []
    errors = Errors.of(points.assumed)
    found: dict[Lie, Combined] = {}
    for lie in LIES:
        try:
            readings = taken(
                points.readings(lie), frame.rods, points.gauge_mm, frame.shape, points.assumed
            )
            found[lie] = combined(
                frame.shape, frame.held, frame.rods, readings, errors, frame.homes_mm
            )
        except CannotSay as lacking:
            missing.append(f"With {lie.label}: {lacking}.")
    lies = tuple(_answer(lie, one, points.limits) for lie, one in found.items())
    held = {
        rod.order: both_lies(read)
        for rod in frame.rods
        if (read := {lie: one.held[rod.order] for lie, one in found.items()
                     if rod.order in one.held})
    }  # fmt: skip
    shown = () if len(found) < len(LIES) else play(frame.rods, *(found[lie] for lie in LIES))
    close = any(one.sure == Sure.TOO_CLOSE for one in lies)
    against = [one.doubt for one in lies if one.doubt]
    against += [f"{one.finding} Measure again." for one in shown if one.shown]
    advice = cases = None
    try:
        cases = _cases(points, frame, found) if found else None
        if cases is not None and len(found) == len(LIES):
            holds = {order: one.mm for order, one in held.items()}
            advice = advise(cases, Limits.of(points), holds, [*against, *doubts], ask_may)
    except CannotSay as lacking:
        missing.append(_sentence(str(lacking)))
    return Answers(
        lies,
        tuple(held.items()),
        shown,
        measure_next(found, _fwc_sigma_mm(points, errors)) if close else None,
        advice,
        cases,
        tuple(missing),
    )


def _fwc_sigma_mm(points: SwitchFacts, errors: Errors) -> float:
    """σ of one clearance more (mm), read as the worst of those that were."""
    read = [one.sigma_mm for lie in LIES for one in points.readings(lie).fwc]
    return max((sigma for sigma in read if sigma is not None), default=errors.fwc_mm)


def _answer(lie: Lie, found: Combined, limits: SwitchLimits) -> LieAnswer:
    opening = Estimate(found.switch.opening_mm, float(found.fwc_sigma(0.0)[0]))
    least, low, high = limits.fwc_least_mm, limits.opening_min_mm, limits.opening_max_mm
    clearance = at_toe = None
    if least is not None:
        clearance = decide(found.least_fwc.mm, found.least_sigma_mm, least_mm=least)
    if low is not None or high is not None:
        at_toe = decide(opening.mm, opening.sigma_mm, low, high)
    return LieAnswer(
        lie, found.least_fwc, found.least_sigma_mm, opening, clearance, at_toe, found.doubted, found
    )


def _cases(points: SwitchFacts, frame: Frame, found: Mapping[Lie, Combined]) -> Cases:
    """Both lies as read, in every way that studs and goosenecks may be."""
    stiffness = None if points.stiffness_n_mm2 is None else points.stiffness_n_mm2.most
    ways = geometries(
        frame.shape,
        frame.held,
        frame.rods,
        frame.homes_mm,
        points.studs_mm,
        [rod.order for rod in frame.rods if rod.gooseneck is not False],
        stiffness,
        points.assumed.gooseneck_n_mm,
    )
    places = judged_places(frame.shape, frame.rods)
    reads = {}
    for lie, one in found.items():
        departures = taken(
            points.readings(lie), frame.rods, None, frame.shape, points.assumed
        ).departures
        sigma = one.fwc_sigma(places)
        reads[lie] = Read(
            one.switch.blade.at([rod.x_mm for rod in frame.rods]),
            sigma,
            float(sigma[0]),
            np.array([departures.get(x, 0.0) for x in frame.homes_mm]),
        )
    return Cases(frame.shape, frame.rods, ways, reads, stiffness)


def _lie_as_dict(one: LieAnswer) -> dict[str, Any]:
    least = thousandths(one.least_fwc.mm)
    return {
        "least_sigma_mm": thousandths(one.least_sigma_mm),
        "sure": one.sure.value,
        # As it was read the open rail depends neither on studs nor on goosenecks.
        "least_fwc_range_mm": [least, least],
    }


def _advice_as_dict(advice: Advice) -> dict[str, Any]:
    turns = advice.turns
    return {
        "reached": turns is None or turns.reached,
        "text": advice.text,
        "reason": "" if turns is None else turns.reason,
        "moves": _turns_as_list(turns),
        "must": _turns_as_list(advice.must),
        "may": _turns_as_list(advice.may),
        "measure_again": list(advice.measure_again),
        "outcomes": {
            end.lie.value: {
                "opening_mm": thousandths(end.opening_mm.least),
                "opening_most_mm": thousandths(end.opening_mm.most),
                "least_fwc_mm": thousandths(end.least_fwc.mm),
                "least_fwc_most_mm": thousandths(end.least_fwc_mm.most),
                "least_fwc_at_mm": thousandths(end.least_fwc.at_mm),
            }
            for end in (() if turns is None else turns.ends)
        },
    }


def _turns_as_list(turns: Turns | None) -> list[dict[str, Any]]:
    if turns is None:
        return []
    return [
        {
            "order": move.order,
            "change_mm": thousandths(move.change_mm),
            "turns": None if move.turning is None else thousandths(move.turning.turns),
            "flats": None if move.turning is None else move.turning.flats,
            "text": move.text,
        }
        for move in turns.moves
    ]


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."
