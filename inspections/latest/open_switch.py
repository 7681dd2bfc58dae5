"""What the open switch does between the rods: the register, the limits and the latest readings,
put before the switch arithmetic (assets.engineering.report).

The figures come from one visit, so that they hang together: the latest that read enough free wheel
clearance and switch opening on one lie, or the latest that read any.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

import numpy as np
from django.utils import timezone

from assets import switch_facts as register
from assets.days import day
from assets.engineering.assumed import Assumed
from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval, PlaceNeeds
from assets.engineering.setting_up import Step, sheet
from assets.engineering.shape import Shape, gap_behind
from assets.engineering.switch_inputs import LieReadings, Read, Rod, SwitchFacts, SwitchLimits
from assets.engineering.words import FOUR_RAILS, Heel, Lie, Role
from assets.models import Fitting, Points, Position
from assets.register_facts import figures_in_force
from inspections.latest.as_set import AsSet
from inspections.latest.readings import TELLING, visits_of
from inspections.latest.taken_with import TakenWith, taken_with
from inspections.models import Inspection, Reading
from inspections.verdicts.limits import Limits, limits_for
from inspections.words import QuantityCode

PER_PLACE = {
    QuantityCode.FWC: "fwc",
    QuantityCode.RESIDUAL_OPENING: "residual",
    QuantityCode.CLOSED_GAP: "closed_gap",
    QuantityCode.FWP: "fwp",
    QuantityCode.TRACK_GAUGE: "gauge",
}


@dataclass(frozen=True)
class ReadPoints:
    """A set of points ready for the arithmetic, with the visit whose readings it rests on."""

    points: Points
    facts: SwitchFacts
    visit: Inspection | None
    changed_since: tuple[str, ...] = ()  # rods fitted or taken out after that visit
    left_out: tuple[str, ...] = ()  # later visits that read only a part
    readings: tuple[Reading, ...] = ()  # of that visit
    used: TakenWith | None = None

    @property
    def past_check(self) -> tuple[str, ...]:
        """One sentence for each instrument past its check when it took these readings; a query."""
        if self.visit is None or self.used is None:
            return ()
        found = self.used.past_check(self.readings, timezone.localdate(self.visit.at))
        return tuple(
            f"{one} was past its check when these readings were taken: measure again with another "
            "or have it checked."
            for one in found
        )


def read_points(points: Points, at: date | None = None) -> ReadPoints:
    """The points (read ``with_places``) with their limits and latest readings; seven queries."""
    limits = limits_for(points, at or timezone.localdate())
    story = Fitting.objects.story_of(points)
    return switch_of(points, limits, visits_of(points), story, figures_in_force())


def switch_of(
    points: Points,
    limits: Limits,
    visits: Iterable[Inspection],
    story: Iterable[Fitting],
    assumed: Assumed,
) -> ReadPoints:
    """The same from limits, ``visits_of`` and fittings that have been read; two queries."""
    visits = [visit for visit in visits if visit.telling]
    # A later visit that read only a part does not hang together with an earlier one.
    visit = next((one for one in visits if one.together), visits[0] if visits else None)
    readings = []
    if visit is not None:
        readings = list(
            Reading.objects.standing()
            .filter(inspection=visit, value__isnull=False, quantity__in=[*TELLING, *PER_PLACE])
            .select_related("position", "instrument")
        )
    used = taken_with(visit, readings, assumed)
    shape = register.shape_of(points)
    facts = SwitchFacts(
        shape=shape.shape,
        shape_missing=shape.missing,
        rods=register.rods_of(points),
        heel=points.heel_kind,
        stiffness_n_mm2=register.stiffness_of(points),
        gauge_mm=points.gauge_mm,
        limits=switch_limits(limits),
        wheels=register.wheels_in_force(),
        assumed=assumed,
        studs_mm=points.studs_mm,
        four_rails=points.layout in FOUR_RAILS,
        left_closed=lie_readings(readings, Lie.LEFT_CLOSED, used),
        right_closed=lie_readings(readings, Lie.RIGHT_CLOSED, used),
    )
    later = visits[: visits.index(visit)] if visit else []
    return ReadPoints(
        points,
        facts,
        visit,
        _changed_since(story, visit),
        tuple(map(_left_out, later)),
        tuple(readings),
        used,
    )


def _left_out(visit: Inspection) -> str:
    count = "1 reading" if visit.telling == 1 else f"{visit.telling} readings"
    verb, they = ("is", "it does") if visit.telling == 1 else ("are", "they do")
    return f"{count} of {day(visit.at)} {verb} left out: {they} not agree with these."


def switch_limits(limits: Limits) -> SwitchLimits:
    """The limits that the arithmetic keeps to."""
    fwc_bound = limits.of(QuantityCode.FWC).kept_to
    opening_bound = limits.of(QuantityCode.SWITCH_OPENING).kept_to
    residual_bound = limits.of(QuantityCode.RESIDUAL_OPENING).kept_to
    return SwitchLimits(
        fwc_least_mm=fwc_bound.minimum if fwc_bound else None,
        opening_min_mm=opening_bound.minimum if opening_bound else None,
        opening_nominal_mm=opening_bound.nominal if opening_bound else None,
        opening_max_mm=opening_bound.maximum if opening_bound else None,
        residual_most_mm=residual_bound.maximum if residual_bound else None,
    )


def lie_readings(readings: Iterable[Reading], lie: Lie, used: TakenWith) -> LieReadings:
    """One lie's readings, each with the σ of what it was taken with; a gauge read without its lie
    serves where none was read on this one."""
    places: dict[str, list[Read]] = {name: [] for name in PER_PLACE.values()}
    either: list[Read] = []
    opening = sigma = None
    for reading in readings:
        if reading.lie not in ("", lie):
            continue
        if reading.quantity == QuantityCode.SWITCH_OPENING:
            opening, sigma = reading.value, used.sigma_mm(reading)
            continue
        at_mm = reading.at_mm
        order = reading.position.order if reading.position else None
        if order is None and at_mm is None:
            at_mm = 0.0  # neither a rod nor a distance: at the toe
        read = Read(reading.value, order, at_mm, used.sigma_mm(reading))
        name = PER_PLACE[QuantityCode(reading.quantity)]
        (places[name] if reading.lie else either).append(read)
    if not places["gauge"]:
        places["gauge"] = either
    return LieReadings(
        opening_mm=opening,
        opening_sigma_mm=sigma,
        gauge_of_either=bool(either) and places["gauge"] is either,
        **{name: tuple(read) for name, read in places.items()},
    )


def _changed_since(story: Iterable[Fitting], visit: Inspection | None) -> tuple[str, ...]:
    if visit is None:
        return ()
    on = timezone.localdate(visit.at)
    changed = [
        fitting.position
        for fitting in story
        if fitting.stretcher_id
        and (
            (fitting.fitted_on > on and not fitting.found_fitted)
            or (fitting.taken_out_on and fitting.taken_out_on > on)
        )
    ]
    places = dict.fromkeys(p.name for p in sorted(changed, key=lambda position: position.order))
    return tuple(f"The {name} was changed after these readings: measure again." for name in places)


def place_needs(
    all_points: Iterable[Points],
    limits_by_points: Mapping[int, Limits],
    set_by_points: Mapping[int, AsSet],
) -> dict[int, PlaceNeeds]:
    """What the setting-up sheet asks of each position: separation over backs, and movement.

    Separation and permitted movement run over the openings that the railway allows, at the gauge
    last read there. ``limits_by_points`` are as of ``limits_of_each``, ``set_by_points`` as of
    ``as_set_of_each``. No query.
    """
    found: dict[int, PlaceNeeds] = {}
    for points in all_points:
        limits = switch_limits(limits_by_points[points.pk])
        shape = register.shape_of(points).shape
        if shape is None or points.heel_kind == Heel.UNKNOWN:
            continue
        rods = tuple(
            Rod(order=p.order, role=Role(p.role), distance_mm=p.distance_mm)
            for p in points.positions.all()
            if p.distance_mm is not None and p.distance_mm < shape.heel_mm
        )
        asked = _asked(shape, points.heel_kind == Heel.HELD, rods, limits)
        stands = set_by_points[points.pk]
        found |= {
            p.pk: _need(asked[p.order], stands, p)
            for p in points.positions.all()
            if p.order in asked
        }
    return found


@dataclass(frozen=True)
class Asked:
    """What the sheet asks at one place for each opening of the limits that is known (mm)."""

    beyond_gauge: Interval | None  # separation less the gauge
    openings: tuple[float, ...]  # at the toe, in order
    travels: tuple[float, ...]  # movement at the place, one for each
    nominal: float | None
    permitted: Interval


def _need(asked: Asked, stands: AsSet, position: Position) -> PlaceNeeds:
    gauge, beyond = stands.gauge_at(position), asked.beyond_gauge
    separation = None
    if gauge is not None and beyond is not None:
        separation = Interval(gauge.mm + beyond.least, gauge.mm + beyond.most)
    read = stands.both_openings() if position.role == Role.LOCK else None
    return PlaceNeeds(
        separation=separation,
        travel_mm=asked.nominal,
        permitted_travel=asked.permitted,
        measured_travel=read and _measured(asked, [one.mm for one in read]),
        separation_from=gauge.told if gauge else "",
        measured_travel_from=f"opening {read[0].told}, {read[1].told}" if read else "",
    )


def _measured(asked: Asked, read: list[float]) -> Interval | None:
    """The movement for the openings read; None where one is outside what is permitted."""
    known = asked.openings
    if len(known) < 2 or not all(known[0] <= opening <= known[-1] for opening in read):
        return None
    travels = [float(np.interp(opening, known, asked.travels)) for opening in read]
    return Interval(min(travels), max(travels))


@lru_cache(maxsize=2_000)  # many sets of points are alike
def _asked(
    shape: Shape, held: bool, rods: tuple[Rod, ...], limits: SwitchLimits
) -> Mapping[int, Asked]:
    openings = {limits.opening_nominal_mm, limits.opening_min_mm, limits.opening_max_mm} - {None}
    no_gauge = {rod.order: 0.0 for rod in rods}
    sheets: dict[float, dict[int, Step]] = {}
    for opening in sorted(openings) if rods else ():
        try:
            wanted = replace(limits, opening_nominal_mm=opening)
            steps = sheet(shape, held, rods, wanted, no_gauge).steps
        except CannotSay:
            continue  # what is lacking is said on the page of the switch
        sheets[opening] = {step.order: step for step in steps}
    asked = {}
    for rod in rods:
        gap = float(gap_behind(shape, rod.distance_mm))
        beyond = [one[rod.order].separation_mm for one in sheets.values()]
        travel = {opening: one[rod.order].opening_mm - gap for opening, one in sheets.items()}
        asked[rod.order] = Asked(
            beyond_gauge=Interval(min(beyond), max(beyond)) if beyond else None,
            openings=tuple(travel),
            travels=tuple(travel.values()),
            nominal=travel.get(limits.opening_nominal_mm),
            permitted=Interval(
                travel.get(limits.opening_min_mm), travel.get(limits.opening_max_mm)
            ),
        )
    return asked
