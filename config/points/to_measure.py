"""Keeping up what the arithmetic of the switch finds, so that lists need not calculate the railway.

Calculating one set of points takes some hundredths of a second, a large railway minutes: it is done
where something has changed, so many sets at a time. The database counts the changes
(``inspections.recording.triggers``). What is not calculated yet is counted and said, never passed
off as good.
"""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.db import OperationalError, transaction
from django.db.models import F

from assets.engineering.report import report
from assets.models import Fitting, Points
from assets.register_facts import figures_in_force
from config.points.changes import changes_of_each
from config.points.switch_findings import least_clearances, to_measure
from config.points.switch_reader import switch_known
from inspections.models import LeastClearance, Outlook, ToMeasure
from inspections.upcoming.kept import next_limits_on, short_wait
from inspections.verdicts.limits import limits_of_each

MOST_AT_ONCE = 10  # sets of points calculated at one look: some half a second


def keep_up(at: date, most: int = MOST_AT_ONCE) -> int:
    """Calculates what has changed, if not too much; how many sets are left for next time.

    One query where nothing has changed. Where the database is busy all are left.
    """
    stale = Outlook.objects.to_calculate(at)
    rows = list(stale.order_by("points")[:most])
    if not rows:
        return 0
    _calculate(rows, at)
    return stale.count()


def kept_up(rows: Iterable[Outlook], at: date, most: int = MOST_AT_ONCE) -> set[int]:
    """Calculates the first of these that are stale; the ids of points that are stale still."""
    stale = [row for row in rows if not row.is_calculated(at)]
    if not stale:
        return set()
    _calculate(stale[:most], at)
    behind = Outlook.objects.to_calculate(at).filter(points__in=[row.points_id for row in stale])
    return set(behind.values_list("points", flat=True))


def of_points(points: Points, at: date) -> list[ToMeasure]:
    """What is to be measured at one set of points, the gravest first; two queries, and some fifteen
    more where anything changed since it was last calculated."""
    kept_up(Outlook.objects.filter(points=points), at, 1)
    return list(ToMeasure.objects.standing(at).filter(points=points).select_related("position"))


def of_many(points: list[int], at: date) -> tuple[list[ToMeasure], int]:
    """What is to be measured at the points of these ids, along the line, and at how many sets of
    them that is not calculated yet; two queries, and some fifteen more and five for each set where
    anything changed."""
    behind = kept_up(Outlook.objects.filter(points__in=points), at)
    found = ToMeasure.objects.standing(at).filter(points__in=points).along_the_line()
    return list(found.select_related("points__location")), len(behind)


def _calculate(rows: list[Outlook], at: date) -> None:
    """Calculates these and keeps the outcome of those that nothing was changed of meanwhile."""
    counted = {row.points_id: row.changes for row in rows}
    all_points = list(Points.objects.with_places().filter(pk__in=counted))
    limits = limits_of_each(all_points, at)
    stories = _stories(all_points)
    assumed = figures_in_force()
    every = [one for each in stories.values() for one in each]
    changes = changes_of_each(all_points, assumed, every)
    found: dict[int, tuple[list[ToMeasure], list[LeastClearance]]] = {}
    for points in all_points:
        pk = points.pk
        known = switch_known(points, limits[pk], stories[pk], changes[pk], assumed)
        result = report(known.read.facts, known.doubts)
        found[pk] = to_measure(known, result), least_clearances(known, result)
    try:
        with short_wait():
            _keep(found, counted, at)
    except OperationalError:
        pass  # somebody else is writing for long: this can wait, the page cannot


@transaction.atomic
def _keep(found: dict, counted: dict[int, int], at: date) -> None:
    # Those that somebody else is writing to stay as they are, and stale.
    stale = Outlook.objects.to_calculate(at).filter(points__in=found).order_by("points")
    locked = stale.select_for_update(of=("self",), skip_locked=True)
    same = [row.points_id for row in locked if row.changes == counted[row.points_id]]
    for model, which in ((ToMeasure, 0), (LeastClearance, 1)):
        model.objects.filter(points__in=same).delete()
        model.objects.bulk_create(one for pk in same for one in found[pk][which])
    Outlook.objects.filter(points__in=same).update(
        calculated=F("changes"), calculated_until=next_limits_on(at)
    )


def _stories(all_points: list[Points]) -> dict[int, list[Fitting]]:
    """By points: every fitting there ever was, the latest first; one query."""
    stories: dict[int, list[Fitting]] = defaultdict(list)
    for fitting in Fitting.objects.story_of_each(all_points):
        stories[fitting.position.points_id].append(fitting)
    return stories
