"""Is it open already, or has it been found there before?"""

from datetime import datetime, timedelta

from assets.models import Points
from defects.models import Defect
from inspections.verdicts.finding import Finding

REPEAT_WITHIN = timedelta(days=365)


def standing_at(points: Points) -> list[Defect]:
    """The points' defects but those raised in error, the last first; one query."""
    return list(Defect.objects.standing().filter(points=points).order_by("-number", "-pk"))


def last_of(among: list[Defect], finding: Finding) -> Defect | None:
    """The last of these defects with the same found at the same place, open or closed.

    A clearance lost with the track gauge is still the same clearance.
    """
    if not finding.subject:
        return None
    for defect in among:
        found = defect.found
        same = (found.subject, found.way) == (finding.subject, finding.found.way)
        if same and defect.where.same(finding.where):
            return defect
    return None


def repeat_of(last: Defect | None, at: datetime, finding: Finding) -> tuple[Defect | None, bool]:
    """What is repeated, and whether within a year, which makes it a step more urgent.

    A reading out again is always linked to the last time; other findings within a year.
    """
    if last is None:
        return None, False
    within = at - (last.closed_at or last.raised_at) <= REPEAT_WITHIN
    read = finding.is_measured and finding.entry is not None
    return (last if within or read else None), within
