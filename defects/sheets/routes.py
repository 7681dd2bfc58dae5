"""The sheet of the routing table; those of the defects themselves are in ``sheets.defects``."""

from collections.abc import Mapping
from typing import Any

from assets.sheets.columns import RowMaker, column
from assets.sheets.loading import Loading
from assets.sheets.model_sheets import ModelSheet
from assets.workbook.columns import Column
from assets.workbook.planning import PlannedRow
from defects.models import Route
from defects.routing.routing import code_of, found_of
from inspections.verdicts.finding import Found, Subject

_FOUND = ("subject_kind", "subject", "way", "gauge_out")
_PLAIN = (
    "title",
    "mends",
    "works_with",
    "checks",
    "remedy",
    "urgency",
    "needs_cause",
    "source",
)


def _values(record) -> dict[str, Any]:
    kind, subject, *rest = record
    found = Found(Subject(kind, subject), *rest[:2])
    return {"found": code_of(found), **dict(zip(_PLAIN, rest[2:], strict=True))}


def _fill(loading: Loading, row: PlannedRow, route: Route, given: Mapping[str, Any]) -> None:
    for name, value in given.items():
        columns = found_of(value).columns if name == "found" else {name: value}
        for column_name, its in columns.items():
            setattr(route, column_name, its)


ROUTES = ModelSheet(
    "Routes",
    Route,
    (
        Column("What was found", "found", key=True, help='A code: "fwc.below".'),
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
    _FOUND,
    maker=RowMaker((*_FOUND, *_PLAIN), _values),
    fill=_fill,
)
