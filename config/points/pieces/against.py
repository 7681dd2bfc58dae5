"""Parts of a set of points that were fitted although they did not suit."""

from config.points.pieces.panel import Mark, Panel
from config.points.reader import Known


def of_points(here: Known) -> Panel | None:
    """What was against each, why it was fitted, and whether the engineer agreed; None: no such."""
    fittings = [fitting for fitting in here.story if fitting.is_against_the_verdict]
    if not fittings:
        return None
    waiting = sum(fitting.agreed_on is None for fitting in fittings)
    marks = [Mark(f"{waiting} fitted against the result", "does_not_suit")] if waiting else []
    return Panel(
        "Fitted although it did not suit",
        "points/_against.html",
        {"fittings": fittings},
        anchor="against",
        marks=marks,
    )
