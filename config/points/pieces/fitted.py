"""What the rules say of the stretchers fitted, each judged where it is."""

from assets.engineering.as_fitted import judged
from assets.engineering.suitability import Outcome
from assets.models import Fitting
from assets.models.parts import Part
from config.points.misfits import facts_at
from config.points.misfits import of_points as said_of_points
from config.points.pieces.panel import Mark, Panel
from config.points.reader import Known
from defects.models import Misfit


def of_points(known: Known) -> Panel | None:
    """What is said once of the points, but for what is in order; no query."""
    answers = [a for a in said_of_points(known.facts) if a.outcome is not Outcome.SUITS]
    if not answers:
        return None
    return Panel(
        "The points as a whole",
        "points/_as_fitted.html",
        {"answers": answers},
        anchor="as-fitted",
    )


def of_part(part: Part, present: Fitting | None) -> Panel | None:
    """Every rule's answer for a stretcher where it is fitted; None in store; some ten queries."""
    if present is None or present.stretcher_id is None:
        return None
    assessment = judged(facts_at(present.position), present.position.order)
    misfit = assessment.outcome is Outcome.DOES_NOT_SUIT
    return Panel(
        f"As fitted at {present.position}",
        "points/_as_fitted.html",
        {"assessment": assessment, "answers": assessment.answers},
        anchor="as-fitted",
        marks=[Mark("does not suit where it is", Outcome.DOES_NOT_SUIT.value)] if misfit else [],
    )


def marks_of(misfits: list[Misfit]) -> list[Mark]:
    """ "1 stretcher does not suit", "too few stretchers": what is wrong, in a word each."""
    unsuited = sum(one.does_not_suit and one.stretcher_id is not None for one in misfits)
    found = []
    if unsuited:
        words = "1 stretcher does" if unsuited == 1 else f"{unsuited} stretchers do"
        found.append(Mark(f"{words} not suit", Outcome.DOES_NOT_SUIT.value))
    return found + [Mark(one.words, one.outcome) for one in misfits if one.stretcher_id is None]


def marks(misfits: list[Misfit]) -> dict[int, list[Mark]]:
    """The same for each set of points of a list."""
    by_points: dict[int, list[Misfit]] = {}
    for one in misfits:
        by_points.setdefault(one.points_id, []).append(one)
    return {points: marks_of(here) for points, here in by_points.items()}
