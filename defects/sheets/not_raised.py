"""The sheet of findings from which no defect was raised, each with the reason."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any

from assets.sheets.columns import clock_time, moment_of
from assets.sheets.happenings import Happening
from assets.sheets.loading import Choice, Loading
from assets.sheets.register import POINTS_HELP
from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.planning import Key, Outcome, PlannedRow
from assets.workbook.reading import Row
from defects import proposals
from defects.models import Dismissal
from defects.moves.event_log import Behalf
from defects.sheets.entering import as_validation, not_to_come
from defects.sheets.findings import FINDING_HELP, Names, finding_named
from inspections.sheets.visits import points_of, refuse_unshown_time

RANK = 30  # after the raising of a defect at the same moment

NOT_RAISED = Sheet(
    "Not raised",
    (
        Column("Points", "points", Kind.REFERENCE, refers_to="Points", key=True, help=POINTS_HELP),
        Column("Finding", "finding", key=True, help=FINDING_HELP),
        Column("Why", "reason", required=True),
        Column("By", "by", required=True),
        Column("When", "at", Kind.DATE_TIME, required=True),
    ),
    "A reading that was out, or a thing found defective, from which no defect was raised, and why.",
)


@dataclass(frozen=True)
class NotRaisedSheet:
    sheet = NOT_RAISED
    link = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        names = Names(choice)
        rows = Dismissal.objects.order_by("at", "pk").select_related(
            "reading__inspection__points__location", "examination__inspection__points__location"
        )
        for dismissal in rows.iterator():
            points = (dismissal.reading or dismissal.examination).inspection.points
            if choice.points is not None and points.pk not in choice.points:
                continue
            yield (
                dismissal.pk,
                {
                    "points": points.key,
                    "finding": names.of(dismissal.reading_id, dismissal.examination_id),
                    "reason": dismissal.reason,
                    "by": dismissal.by,
                    "at": clock_time(dismissal.at),
                },
            )

    def prepare(self, row: Row) -> None:
        """Nothing needs evening out."""

    def changed_since(self, at: datetime) -> Mapping[Key, None]:
        return {}


def happenings(loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> list[Happening]:
    """The new rows, each to be entered when its time comes."""
    found = []
    for row in planned.get(NOT_RAISED.name, []):
        if row.outcome is Outcome.CHANGED:
            field = row.changes[0].column.field
            row.refuse("Why a finding was not raised stays as it was written.", field)
        elif row.outcome is Outcome.NEW:
            found.append(_dismissing(loading, row))
    return found


def _dismissing(loading: Loading, row: PlannedRow) -> Happening:
    at = moment_of(row.values["at"])
    return Happening(at, RANK, row, as_validation(partial(_dismiss, loading, row, at)))


def _dismiss(loading: Loading, row: PlannedRow, at: datetime) -> None:
    values = row.values
    refuse_unshown_time(values["at"], "at")
    not_to_come(loading, at, "at")
    points = points_of(loading, values["points"])
    finding = finding_named(points, values["finding"], "finding")
    actor = Behalf(" ".join(values["by"].split()), "", loading.account)
    proposals.dismiss(finding, user=actor, at=at, reason=values["reason"])
