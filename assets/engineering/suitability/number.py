"""How many stretchers a set of points has and needs: said once for the points, not for each rod."""

from assets.engineering.suitability.answers import (
    Answer,
    Said,
    after_work,
    cannot_say,
    sentence,
    suits,
)

from ..facts import PointsFacts
from ..words import Role

FEWEST_STRETCHERS = 2  # the lock stretcher not counted
SOURCE = "a training sheet on points: the length of the switch sets the number, at least two"


def number(points: PointsFacts) -> Answer:
    """Whether the points have as many stretchers as they need."""
    return Answer("number of stretchers", *_number(points), SOURCE)


def _number(points: PointsFacts) -> Said:
    there = sum(p.role is not Role.LOCK and p.stretcher is not None for p in points.places)
    design = points.least_stretchers
    need = max(FEWEST_STRETCHERS, design or 0)
    count = {0: "no stretcher", 1: "1 stretcher"}.get(there, f"{there} stretchers")
    told = f"{count}, not counting the lock stretcher"
    if there < need:
        return after_work(
            sentence(f"{told}; at least {need} are needed"),
            f"fit {need - there} more before the points are used",
        )
    if design is None:
        return cannot_say(
            f"{told}; never fewer than {FEWEST_STRETCHERS}, but what this switch design needs is "
            "not known",
            "the drawing, or the length of the switch, for the number of stretchers",
        )
    return suits(sentence(f"{told}; at least {need} are needed"))
