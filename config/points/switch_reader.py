"""One set of points ready for the arithmetic of its switch, with what speaks against its readings:
work done since, and stretchers that hold something else than before though nobody worked on them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time

from django.utils import timezone

from assets.engineering.assumed import Assumed
from assets.models import Fitting, Points
from assets.register_facts import figures_in_force
from config.points.changes import changes_of_each, switch_before_work
from inspections.latest.open_switch import ReadPoints, switch_of
from inspections.latest.readings import visits_of
from inspections.upcoming.held import Held, held, sentences
from inspections.upcoming.owed import Change, Done
from inspections.verdicts.limits import Limits, limits_for


@dataclass(frozen=True)
class KnownSwitch:
    """What the pages and the command of the open switch start from."""

    read: ReadPoints
    held: Held
    outdated: tuple[str, ...]  # why the readings no longer hold

    @property
    def steps(self) -> list[str]:
        """What the stretchers hold otherwise since the last work, with no work to explain it."""
        return sentences(self.held.standing, self.read.facts)

    @property
    def doubts(self) -> list[str]:
        """What speaks against turning anything before it is measured again."""
        return [f"{one} Measure again." for one in sentences(self.held.doubted, self.read.facts)]


def known_switch(points: Points, on: date) -> KnownSwitch:
    """The switch of points read ``with_places()`` on a day; eight queries."""
    story = list(Fitting.objects.story_of(points))
    assumed = figures_in_force()
    changes = changes_of_each([points], assumed, story)[points.pk]
    return switch_known(points, limits_for(points, on), story, changes, assumed)


def switch_known(
    points: Points,
    limits: Limits,
    story: list[Fitting],
    changes: Sequence[Change],
    assumed: Assumed,
) -> KnownSwitch:
    """The same from limits, fittings and changes that have been read; four queries."""
    read = switch_of(points, limits, visits_of(points), story, assumed)
    lengths = held(points, read.facts, _work(changes))
    outdated = read.changed_since or why_outdated(read, changes)
    return KnownSwitch(read, lengths, outdated)


def why_outdated(read: ReadPoints, changes: Sequence[Change]) -> tuple[str, ...]:
    """The sentence that readings from before work get, if they are."""
    said = "" if read.visit is None else switch_before_work(changes, read.visit)
    return (f"These readings were taken {said}: measure again.",) if said else ()


def _work(changes: Iterable[Change]) -> tuple[datetime, ...]:
    """When something was done that may change what stretchers hold."""
    return tuple(
        timezone.localtime(change.at)
        if change.at
        else timezone.make_aware(datetime.combine(change.on, time()))
        for change in changes
        if change.what != Done.DRIVE
    )
