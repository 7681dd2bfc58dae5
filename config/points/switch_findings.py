"""What the arithmetic of the switch finds at one set of points: things to measure, no defects.

Nothing is found in readings that no longer hold: then they are owed anew, and that is said instead.
"""

from collections.abc import Iterable, Mapping

from assets.engineering.lie_report import FwcVerdict, LieReport
from assets.engineering.report import SwitchReport
from assets.engineering.two_rails.certainty import Sure
from assets.models import Position
from config.points.switch_reader import KnownSwitch
from inspections.models import LeastClearance, ToMeasure
from inspections.upcoming.held import sentences
from inspections.words import CalculatedFinding as Found

RANKS = {found: rank for rank, found in enumerate(Found)}


def to_measure(known: KnownSwitch, result: SwitchReport) -> list[ToMeasure]:
    """Everything found, the gravest first, not saved."""
    if known.outdated:
        return []
    limit = known.read.facts.limits.fwc_least_mm
    places = {place.order: place for place in known.read.points.positions.all()}
    found = [one for lie in result.lies for one in _of_lie(lie, limit, result)]
    found += [
        _found(Found.PLAY, f"{play.finding} Measure again.", places[play.order], doubts=True)
        for play in result.answers.play
        if play.shown
    ]
    for step in known.held.standing:
        [said] = sentences([step], known.read.facts)
        doubts = step in known.held.doubted
        found.append(_found(Found.STEP, said, places.get(step.order), doubts=doubts))
    found += _too_long(result, places)
    found.sort(key=lambda one: one.rank)
    for at, one in enumerate(found):
        one.points = known.read.points
        one.others = None if at else len(found) - 1
    return found


def least_clearances(known: KnownSwitch, result: SwitchReport) -> list[LeastClearance]:
    """Where each lie has its least clearance, not saved; none from readings that do not hold."""
    if known.outdated:
        return []
    return [
        LeastClearance(
            points=known.read.points,
            lie=lie.lie.value,
            mm=lie.least_fwc.mm,
            at_mm=lie.least_fwc.at_mm,
            sigma_mm=lie.how_sure.least_sigma_mm if lie.how_sure else None,
        )
        for lie in result.lies
        if lie.least_fwc is not None
    ]


def _found(
    found: Found, sentence: str, position: Position | None = None, doubts: bool = False
) -> ToMeasure:
    return ToMeasure(
        found=found.value,
        rank=RANKS[found],
        position=position,
        sentence=sentence,
        doubts=doubts,
    )


def _of_lie(lie: LieReport, limit: float | None, result: SwitchReport) -> Iterable[ToMeasure]:
    name, least, sure = lie.lie.label, lie.least_fwc, lie.how_sure
    if least is None:
        return
    where = f"measure {least.at_mm:.0f} mm from the toe"
    told = f"the clearance is calculated as {least.mm:.1f} mm there"
    if lie.verdict == FwcVerdict.ALERT:
        yield _found(
            Found.BETWEEN,
            f"With {name}, {where}: {told}, and the limit is {limit:g} mm.",
        )
    if lie.verdict == FwcVerdict.WHEELS_TOUCH and lie.wheel_margin is not None:
        margin = lie.wheel_margin
        yield _found(
            Found.WHEELS,
            f"With {name}, measure {margin.at_mm:.0f} mm from the toe: according to the "
            f"calculation the narrowest wheelset allowed is {abs(margin.mm):.1f} mm short of room "
            "there.",
        )
    doubt = next((one.doubt for one in result.answers.lies if one.lie == lie.lie), "")
    if doubt:
        yield _found(Found.DISAGREE, doubt, doubts=True)
    elif sure is not None and sure.all == Sure.TOO_CLOSE:
        if sure.clearance == Sure.TOO_CLOSE:
            said = f"With {name}, {where}: {told}, known to {sure.spread_mm:.1f} mm"
            yield _found(
                Found.TOO_CLOSE, f"{said}, too close to the limit of {limit:g} mm to call."
            )
        else:
            yield _found(
                Found.TOO_CLOSE,
                f"With {name}, measure the switch opening again: it is calculated as "
                f"{lie.opening_mm:.1f} mm, too close to its limit to call.",
            )


def _too_long(result: SwitchReport, places: Mapping[int, Position]) -> Iterable[ToMeasure]:
    """The stretchers that would have to be shortened, where a limit is broken."""
    must = result.advice and result.advice.must
    broken = any(_breaks_a_limit(lie) for lie in result.lies)
    for move in must.moves if must and broken else ():
        if move.change_mm < 0:
            place = places[move.order]
            yield _found(
                Found.TOO_LONG,
                f"Measure at the {place.name}: according to the calculation the stretcher is "
                f"{-move.change_mm:.1f} mm too long.",
                place,
            )


def _breaks_a_limit(lie: LieReport) -> bool:
    opening = lie.how_sure and lie.how_sure.opening
    return lie.verdict in (FwcVerdict.ALERT, FwcVerdict.OUT) or bool(opening and not opening.within)
