"""The sheet of the figures that the railway has confirmed."""

from collections.abc import Mapping
from typing import Any

from assets.engineering.assumed import BY_CODE
from assets.models import RailwayFigure
from assets.sheets.columns import column
from assets.sheets.loading import Loading
from assets.sheets.model_sheets import ModelSheet
from assets.workbook.planning import PlannedRow


def _unit(values: Mapping[str, Any]) -> str:
    """The unit of the figure in a row; "" where it has none, or is not known."""
    row = BY_CODE.get(values.get("code") or "")
    return row.unit if row else ""


def _fill(
    loading: Loading, row: PlannedRow, figure: RailwayFigure, given: Mapping[str, Any]
) -> None:
    """Whoever loads the workbook answers for what it confirms."""
    for name, value in given.items():
        setattr(figure, name, value)
    figure.account = loading.account
    figure._changed.add("account")


FIGURES = ModelSheet(
    "Figures",
    RailwayFigure,
    (
        column(RailwayFigure, "code", key=True),
        column(
            RailwayFigure,
            "value",
            "Value",
            unit="",
            figure_unit="",
            unit_in_row=_unit,
            help="In the unit of the figure.",
        ),
        column(RailwayFigure, "source"),
        column(RailwayFigure, "confirmed_by", help="The responsible engineer."),
        column(RailwayFigure, "confirmed_on"),
    ),
    "What the railway has confirmed of the figures that the program assumes. One that is not here "
    "is assumed: the page Figures of the railway shows all.",
    ("code",),
    fill=_fill,
)
