"""THE reader of what is fitted and does not suit: every rod judged where it is, by all the rules.

A rod that does not suit stays in sight until it is put right, so lists of the whole railway show
it too. Judging a large railway takes seconds: the outcome is kept for each set of points, and
judged again once something changed that the rules look at (defects.fitted.triggers). What is not
judged yet is counted and said, never passed off as good.
"""

from collections.abc import Iterable
from datetime import date

from django.db import OperationalError, transaction
from django.db.models import F, QuerySet

from assets.engineering.as_fitted import faults, judged
from assets.engineering.facts import PointsFacts, PositionFacts
from assets.engineering.suitability import Answer, Assessment, Outcome
from assets.engineering.suitability.facing_lock import facing_lock
from assets.engineering.suitability.number import number
from assets.models import Points, Position
from assets.register_facts import railway_facts
from config.points.reader import facts_of
from defects.models import Judged, Misfit
from inspections.upcoming.kept import next_limits_on, short_wait

MOST_AT_ONCE = 150  # sets of points judged at one look: some half a second
SHOWN = (Outcome.SUITS_AFTER_WORK, Outcome.DOES_NOT_SUIT)  # what is unknown is said elsewhere


def misfits_of(points: Points, facts: PointsFacts) -> list[Misfit]:
    """What is wrong with these points as they are fitted, those of the whole first; not saved."""
    places = [PositionFacts(facts, place.order) for place in facts.places]
    return _found(points, facts, list(faults(places)))


def of_points(facts: PointsFacts) -> list[Answer]:
    """What is said once of the points: too few stretchers, used facing without a lock stretcher.

    Where no stretcher is recorded at all nobody has looked: then they are not counted.
    """
    looked = any(place.stretcher for place in facts.places)
    return [*([number(facts)] if looked else []), facing_lock(facts)]


def misfits_at(points: Iterable[int], at: date) -> list[Misfit]:
    """What is wrong with the points of these ids on a day, as they are now.

    Three queries; some fifteen more where any of them changed since it was last judged.
    """
    asked = set(points)
    behind = _kept_up(Judged.stale(at).filter(pk__in=asked), at, MOST_AT_ONCE) if asked else set()
    found = list(Misfit.objects.filter(points__in=asked - behind).with_links())
    late = list(Points.objects.filter(pk__in=behind).with_places()) if behind else []
    for one, facts in zip(late, facts_of(late, at) if late else (), strict=True):
        found += misfits_of(one, facts)
    return found


def facts_at(position: Position) -> PointsFacts:
    """The facts of the points that a position belongs to, as they are now."""
    [facts] = facts_of(Points.objects.filter(pk=position.points_id).with_places())
    return facts


def keep_up(at: date, most: int = MOST_AT_ONCE) -> int:
    """Judges what has changed, if not too much; how many sets of points are left for next time.

    Two queries where nothing has changed. Where the database is busy all are left.
    """
    return len(_kept_up(Judged.stale(at), at, most))


def _kept_up(stale: QuerySet[Points], at: date, most: int) -> set[int]:
    """Judges the first of these; the ids of those that are stale still."""
    chosen = list(stale.order_by("pk").values_list("pk", flat=True)[: most + 1])
    if not chosen:
        return set()
    try:
        with short_wait():
            _judge(chosen[:most], at)
    except OperationalError:
        pass  # somebody else is writing for long: this can wait, the page cannot
    return set(stale.order_by().values_list("pk", flat=True))


@transaction.atomic
def _judge(chosen: list[int], at: date) -> None:
    have = set(Judged.objects.filter(points__in=chosen).values_list("pk", flat=True))
    Judged.objects.bulk_create(
        [Judged(points_id=pk, good_from=at) for pk in chosen if pk not in have],
        ignore_conflicts=True,
    )
    # Those that somebody else is writing to stay as they are, and stale.
    rows = Judged.objects.filter(points__in=chosen).order_by("points")
    locked = [row.pk for row in rows.select_for_update(of=("self",), skip_locked=True)]
    points = list(Points.objects.filter(pk__in=locked).with_places())
    all_facts = facts_of(points, at)
    found = faults(PositionFacts(facts, p.order) for facts in all_facts for p in facts.places)
    Misfit.objects.filter(points__in=locked).delete()
    Misfit.objects.bulk_create(
        misfit
        for one, facts in zip(points, all_facts, strict=True)
        for misfit in _found(one, facts, [next(found) for _ in facts.places])
    )
    Judged.objects.filter(points__in=locked).update(
        judged=F("changes"),
        railway=str(railway_facts()),
        good_from=at,
        good_until=next_limits_on(at),
    )


def _found(points: Points, facts: PointsFacts, by_place: list[Outcome | None]) -> list[Misfit]:
    found = [_misfit(points, answer) for answer in of_points(facts) if answer.outcome in SHOWN]
    for position, outcome in zip(points.positions.all(), by_place, strict=True):
        if outcome in SHOWN:
            found.append(_of_rod(points, position, judged(facts, position.order)))
    return found


def _of_rod(points: Points, position: Position, assessment: Assessment) -> Misfit:
    worst = [a for a in assessment.answers if a.outcome is assessment.fault]
    rod = next(f.stretcher for f in position.current_fittings if f.stretcher_id)
    return _misfit(points, worst[0], position=position, stretcher=rod, others=len(worst) - 1)


def _misfit(points: Points, answer: Answer, **about) -> Misfit:
    return Misfit(
        points=points,
        outcome=answer.outcome.value,
        rule=answer.rule,
        reason=answer.reason,
        remedy=answer.remedy,
        **about,
    )
