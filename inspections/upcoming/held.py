"""What each stretcher of a set of points held at its visits, for steps that no work explains."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import Exists, OuterRef
from django.utils import timezone

from assets.engineering.cannot_say import CannotSay
from assets.engineering.frame import frame_of
from assets.engineering.readings import taken
from assets.engineering.switch_inputs import LIES, SwitchFacts
from assets.engineering.two_rails.combining import Errors, combined
from assets.engineering.two_rails.held_lengths import HeldThen, Step, unexplained_steps
from assets.engineering.two_rails.play import both_lies
from assets.models import Points
from inspections.latest.open_switch import PER_PLACE, lie_readings
from inspections.latest.readings import TELLING
from inspections.latest.taken_with import taken_with
from inspections.models import Inspection, Reading

MOST_VISITS = 24  # looked back on, the last ones


@dataclass(frozen=True)
class Held:
    """What the stretchers of one set of points held, visit by visit."""

    history: dict[int, list[HeldThen]] = field(default_factory=dict)  # by order, in order of time
    work: tuple[datetime, ...] = ()  # when work was done that may have changed it
    steps: tuple[Step, ...] = ()  # that no work explains

    @property
    def standing(self) -> list[Step]:
        """The steps since the last work: later work set the stretchers anew."""
        last = max(self.work, default=None)
        return [step for step in self.steps if last is None or step.after >= last]

    @property
    def doubted(self) -> list[Step]:
        """The steps that came with the last visit: a misreading, or something that moved; measured
        again, the one becomes known from the other."""
        return [s for s in self.standing if s.by == self.history[s.order][-1].at]


def held(points: Points, facts: SwitchFacts, work: Sequence[datetime] = ()) -> Held:
    """What each rod held at each visit that read enough, and the steps in it; two queries.

    ``work`` in the railway's own time. A visit whose readings do not say where the open rail lies
    is left out.
    """
    history = _history(points, facts)
    return Held(history, tuple(work), unexplained_steps(history, work))


def _history(points: Points, facts: SwitchFacts) -> dict[int, list[HeldThen]]:
    try:
        frame = frame_of(facts)
    except CannotSay:
        return {}
    errors = Errors.of(facts.assumed)
    by_visit: dict[Inspection, list[Reading]] = {}
    for reading in _readings(points):
        by_visit.setdefault(reading.inspection, []).append(reading)
    history: dict[int, list[HeldThen]] = defaultdict(list)
    for visit, readings in by_visit.items():
        found = defaultdict(dict)
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
                one = combined(frame.shape, frame.held, frame.rods, read, errors, frame.homes_mm)
            except CannotSay:
                continue
            for order, length in one.held.items():
                found[order][lie] = length
        for order, lies in found.items():
            history[order].append(HeldThen(timezone.localtime(visit.at), both_lies(lies)))
    return dict(history)


def _readings(points: Points) -> Iterable[Reading]:
    """Those of the last visits that read any of what tells, in order of time; two queries."""
    readings = Reading.objects.standing().filter(
        value__isnull=False, quantity__in={*TELLING, *PER_PLACE}
    )
    visits = (
        Inspection.objects.filter(points=points)
        .filter(Exists(readings.filter(inspection=OuterRef("pk"))))
        .latest_first()[:MOST_VISITS]
    )
    return (
        readings.filter(inspection__in=visits.values("pk"))
        .select_related("position", "instrument", "inspection")
        .prefetch_related("inspection__instruments")
        .order_by("inspection__at", "inspection", "pk")
    )


def sentences(found: Iterable[Step], facts: SwitchFacts) -> list[str]:
    """One sentence for each step, a thing to look at."""
    names = {rod.order: rod.name for rod in facts.rods}
    return [step.sentence(names[step.order]) for step in found]
