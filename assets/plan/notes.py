"""What readings and defects write on the plan."""

from dataclasses import dataclass

from assets.engineering.words import Side

SIGNS = {"within": "✓", "good": "✓", "alert": "△", "intervention": "✕", "immediate": "✕"}
SIGNS |= {"does_not_suit": "✕", "before": "○"}
SIGNS |= {"defective": "✕", "urgent": "✕", "at_once": "✕", "overdue": "✕", "planned": "△"}


@dataclass(frozen=True, slots=True)
class Note:
    """Something said of a place on the points. With a number it is a numbered mark, with the order
    of a place it is said of the stretcher there.

    ``kind`` is a verdict's class in the stylesheet: within, alert, intervention ...
    """

    x_mm: float | None  # from the toe; None: it cannot be placed
    side: Side
    words: str  # short: "FWC 52 mm, within"
    kind: str = ""
    number: int | None = None
    url: str = ""
    order: int | None = None

    @property
    def sign(self) -> str:
        """The sign that goes with the kind, so that colour is never needed."""
        return SIGNS.get(self.kind, "?")
