"""The sheet of the routing table; those of the defects themselves are in ``defect_sheets``."""

from assets.sheets.columns import column
from assets.sheets.model_sheets import ModelSheet
from defects.models import Route

ROUTES = ModelSheet(
    "Routes",
    Route,
    (
        column(Route, "found", "What was found", key=True, help='A code: "fwc.below".'),
        column(Route, "title"),
        column(Route, "mends"),
        column(Route, "works_with"),
        column(Route, "checks"),
        column(Route, "remedy"),
        column(Route, "urgency"),
        column(Route, "needs_cause", "Needs a cause", help="Stated before it can be closed."),
        column(Route, "source"),
    ),
    "Who repairs and who checks what was found, the usual remedy and how soon.",
    ("found",),
)
