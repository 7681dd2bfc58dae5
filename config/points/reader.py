"""THE reader: all that pages and rules need to know of points and parts, from register, visits and
defects together.

What a verdict is made from is read here and nowhere else, so no page can leave a part of it out.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Q
from django.utils import timezone

from assets.engineering.facts import PartFacts, PointsFacts
from assets.models import Fitting, Points
from assets.models.fittings import PART_FIELDS, link_field
from assets.models.parts import Part
from assets.register_facts import figures_in_force, part_facts, points_facts, railway_facts
from config.points.changes import Owing, owing_of, switch_before_work
from defects.models import Defect
from inspections.latest.as_set import as_set_of_each
from inspections.latest.open_switch import ReadPoints, place_needs, switch_of
from inspections.latest.readings import (
    LastLooks,
    LastReadings,
    last_examinations,
    last_readings,
    visits_of,
)
from inspections.latest.track_circuit import circuit_findings, circuit_found
from inspections.models import Inspection
from inspections.verdicts.limits import Limits, limits_for, limits_of_each

OpenDefects = dict[Part, tuple[str, ...]]


@dataclass(frozen=True)
class Known:
    """All that is recorded of one set of points on a day, read once for every piece of a page."""

    points: Points  # with their places
    limits: Limits
    readings: LastReadings  # each with ``before_work``: what is said where it is outdated, or ""
    looks: LastLooks
    visits: list[Inspection]  # the latest first
    story: list[Fitting]  # every fitting there ever was, the latest first
    defects: list[Defect]  # all that were ever raised, the most urgent first
    switch: ReadPoints
    facts: PointsFacts
    owing: Owing

    @property
    def switch_before_work(self) -> str:
        """What is said of the readings of the open switch if they are outdated, else ""."""
        visit = self.switch.visit
        return "" if visit is None else switch_before_work(self.owing.changes, visit)


def known(points: Points, on: date) -> Known:
    """All that is known of points read ``with_places()``; sixteen queries."""
    assumed = figures_in_force()
    limits = limits_for(points, on)
    readings, looks = last_readings(points), last_examinations(points)
    visits = visits_of(points)
    story = list(Fitting.objects.story_of(points))
    needs = place_needs([points], {points.pk: limits}, as_set_of_each([points], assumed))
    found = circuit_found(points, looks.values(), readings.values())
    owing = owing_of([points], assumed, story)[points.pk]
    for reading in readings.values():
        reading.before_work = owing.before_work(reading)
    return Known(
        points=points,
        limits=limits,
        readings=readings,
        looks=looks,
        visits=visits,
        story=story,
        defects=list(
            Defect.objects.filter(points=points)
            .with_links()
            .select_related("reading")
            .most_urgent_first()
        ),
        switch=switch_of(points, limits, visits, story, assumed),
        facts=points_facts(
            points, open_defects(_fitted([points])), needs, found, railway_facts(), assumed
        ),
        owing=owing,
    )


def facts_of(all_points: Iterable[Points], on: date | None = None) -> list[PointsFacts]:
    """Facts of many sets of points read ``with_places()``, in the order given; seven queries.

    The limits are those of the day ``on`` (default: today).
    """
    all_points = list(all_points)
    assumed = figures_in_force()
    defects = open_defects(_fitted(all_points))
    limits = limits_of_each(all_points, on or timezone.localdate())
    needs = place_needs(all_points, limits, as_set_of_each(all_points, assumed))
    circuits = circuit_findings(all_points)
    railway = railway_facts()
    return [
        points_facts(points, defects, needs, circuits[points.pk], railway, assumed)
        for points in all_points
    ]


def part_facts_of(parts: Iterable[Part]) -> list[PartFacts]:
    """Facts of parts of any kind with their open defects, in the order given; one query."""
    parts = list(parts)
    defects = open_defects(parts)
    return [part_facts(part, defects.get(part, ())) for part in parts]


def open_defects(parts: list[Part]) -> OpenDefects:
    """A sentence for each open defect of each of these parts, whatever their kind; one query."""
    asked = {(link_field(part), part.pk): part for part in parts}
    about = Q()
    for field in PART_FIELDS:
        about |= Q(**{f"{field}__in": [pk for kind, pk in asked if kind == field]})
    found: OpenDefects = {}
    open_now = Defect.objects.open().filter(about).order_by("number", "pk")
    for defect in open_now.only(*PART_FIELDS, "number", "title"):
        field = defect.part_field
        part = asked[field, getattr(defect, f"{field}_id")]
        sentence = f"Defect {defect.number}: {defect.title}."
        found[part] = (*found.get(part, ()), sentence)
    return found


def _fitted(all_points: list[Points]) -> list[Part]:
    return [
        fitting.part
        for points in all_points
        for position in points.positions.all()
        for fitting in position.current_fittings
    ]
