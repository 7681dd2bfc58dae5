"""What the rules say of parts fitted, or about to be fitted, at their places."""

from collections.abc import Sequence

from assets.engineering.facts import LostMotionFacts, PartFacts, PointsFacts, PositionFacts
from assets.engineering.suitability import Assessment, Outcome
from assets.fitting import Judged
from assets.models import Fitting, Points
from config.points.reader import facts_of, part_facts_of
from config.suiting.suits import JUDGES

AT_ONCE = 300  # sets of points whose facts are held together


def judge(fittings: Sequence[Fitting]) -> list[Judged]:
    """Each of these, saved or not, judged at its place by the register as it is.

    What is alike in every fact is judged once. Some ten queries for each 300 sets of points.
    """
    by_points: dict[int, list[int]] = {}
    for number, fitting in enumerate(fittings):
        by_points.setdefault(fitting.position.points_id, []).append(number)
    parts = part_facts_of([fitting.part for fitting in fittings])
    known: dict[tuple[str, PartFacts, PositionFacts], Judged] = {}
    found: dict[int, Judged] = {}
    ids = list(by_points)
    for start in range(0, len(ids), AT_ONCE):
        for pk, points in _facts(ids[start : start + AT_ONCE]):
            for number in by_points[pk]:
                fitting = fittings[number]
                facts, where = _there(parts[number], points, fitting.position.order)
                asked = (str(fitting.part_field), facts, where)
                if asked not in known:
                    known[asked] = _judged(JUDGES[asked[0]](facts, where))
                found[number] = known[asked]
    return [found[number] for number in range(len(fittings))]


def _facts(ids: list[int]) -> list[tuple[int, PointsFacts]]:
    points = list(Points.objects.with_places().filter(pk__in=ids))
    return list(zip((one.pk for one in points), facts_of(points), strict=True))


def _there(part: PartFacts, points: PointsFacts, order: int) -> tuple[PartFacts, PositionFacts]:
    """A part as it is where it is fitted, and where that is."""
    facts = part.as_set if isinstance(part, LostMotionFacts) else part
    return facts, PositionFacts(points, order)


def _judged(assessment: Assessment) -> Judged:
    failed = [a for a in assessment.answers if a.outcome is Outcome.DOES_NOT_SUIT]
    against = f"{failed[0].rule.capitalize()}: {failed[0].reason}" if failed else ""
    return Judged(assessment.outcome, against, assessment.remedies)
