"""What each stretcher of a set of points held at its visits, for steps that no work explains."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from datetime import datetime, time

from django.utils import timezone

from assets.engineering.cannot_say import CannotSay
from assets.engineering.frame import frame_of
from assets.engineering.readings import taken
from assets.engineering.switch_inputs import LIES, SwitchFacts
from assets.engineering.two_rails.combining import Errors, combined
from assets.engineering.two_rails.held_lengths import HeldThen, Step, unexplained_steps
from assets.engineering.two_rails.play import both_lies
from assets.models import Fitting, Points
from inspections.latest.open_switch import PER_PLACE, lie_readings
from inspections.latest.readings import TELLING
from inspections.latest.taken_with import taken_with
from inspections.models import Inspection, Reading
from inspections.words import WHOLE_VISITS

MOST_VISITS = 24  # looked back on, the last ones


def held_history(points: Points, facts: SwitchFacts) -> dict[int, list[HeldThen]]:
    """What each rod (by its order) held at each visit that read enough, in order of time; three
    queries. A visit whose readings do not say where the open rail lies is left out."""
    try:
        frame = frame_of(facts)
    except CannotSay:
        return {}
    errors = Errors.of(facts.assumed)
    wanted = {*TELLING, *PER_PLACE}
    visits = list(
        Inspection.objects.filter(points=points, readings__quantity__in=wanted)
        .distinct()
        .prefetch_related("instruments")
        .order_by("-at", "-pk")[:MOST_VISITS]
    )
    by_visit: dict[int, list[Reading]] = defaultdict(list)
    readings = Reading.objects.standing().filter(
        inspection__in=visits, value__isnull=False, quantity__in=wanted
    )
    for reading in readings.select_related("position", "instrument"):
        by_visit[reading.inspection_id].append(reading)
    history: dict[int, list[HeldThen]] = defaultdict(list)
    for visit in reversed(visits):
        held = defaultdict(dict)
        readings = by_visit[visit.pk]
        used = taken_with(visit, readings, facts.assumed)
        for lie in LIES:
            try:
                read = taken(
                    lie_readings(readings, lie, used),
                    frame.rods,
                    facts.gauge_mm,
                    frame.shape,
                    facts.assumed,
                )
                found = combined(frame.shape, frame.held, frame.rods, read, errors, frame.homes_mm)
            except CannotSay:
                continue
            for order, one in found.held.items():
                held[order][lie] = one
        for order, lies in held.items():
            history[order].append(HeldThen(timezone.localtime(visit.at), both_lies(lies)))
    return dict(history)


def steps(points: Points, history: dict[int, list[HeldThen]]) -> tuple[Step, ...]:
    """The steps in what rods held that no recorded work or fitting explains; two queries."""
    after_work = Inspection.objects.filter(points=points).exclude(reason__in=WHOLE_VISITS)
    work = [timezone.localtime(at) for at in after_work.values_list("at", flat=True)]
    fitted = Fitting.objects.story_of(points).filter(stretcher__isnull=False)
    days = [day for fitting in fitted for day in (fitting.fitted_on, fitting.taken_out_on) if day]
    work += [timezone.make_aware(datetime.combine(day, time())) for day in days]
    return unexplained_steps(history, work)


def sentences(found: Iterable[Step], facts: SwitchFacts) -> list[str]:
    """One sentence for each step, a thing to look at."""
    names = {rod.order: rod.name for rod in facts.rods}
    return [step.sentence(names[step.order]) for step in found]


def doubted(found: Iterable[Step], history: Mapping[int, list[HeldThen]]) -> list[Step]:
    """The steps that came with the last visit: a misreading, or something that moved; measured
    again, the one becomes known from the other."""
    return [step for step in found if step.by == history[step.order][-1].at]
