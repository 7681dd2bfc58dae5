"""The sheet of events: the story of each defect, for reading. Nothing in it is ever read back.

What was done is entered as an act of whoever loads it, in a department's list.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from assets.sheets.columns import clock_time, column
from assets.sheets.loading import Choice
from assets.workbook.columns import Column, Kind, Sheet
from assets.workbook.planning import Key
from assets.workbook.reading import Row
from defects.models import Event
from defects.sheets.findings import Names

_PLAIN = (
    "move", "by", "department", "return_kind", "measure", "lifted", "urgency", "note",
    "agreed_by_engineer", "state", "owner",
)  # fmt: skip


def _column(name: str, heading: str = "", **details) -> Column:
    return column(Event, name, heading, info=True, required=False, **details)


EVENTS = Sheet(
    "Events",
    (
        Column("Defect", "defect", Kind.WHOLE, info=True, help="Its number."),
        _column("at", "When"),
        _column("move", "What"),
        _column("by", help="Who did it, by post."),
        _column("department", "For", help="Blank: by the responsible engineer."),
        _column("return_kind", "Kind of return"),
        _column("measure"),
        _column("lifted"),
        Column(
            "Other defect",
            "other",
            Kind.WHOLE,
            info=True,
            help="The one that this one repeats, or that caused it.",
        ),
        _column("urgency"),
        _column("note"),
        Column("Evidence", "evidence", info=True),
        _column("agreed_by_engineer"),
        _column("done_at"),
        _column("state"),
        _column("owner"),
    ),
    "What was done to each defect, one row each.",
    "Enter what was done in the list of your department: download it under Defects, fill in the "
    "column Act, and load it. A whole register, with all that was done, is moved to another "
    "machine as a copy (keep_copy, restore_copy).",
)


@dataclass(frozen=True)
class EventSheet:
    sheet = EVENTS
    link = None

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        """Every event, defect by defect; one query and those of the names."""
        rows = Event.objects.order_by("defect__number", "pk")
        if choice.points is not None:
            rows = rows.filter(defect__points__in=choice.points)
        names = Names(choice)
        linked = ("defect__number", "other__number", "at", "done_at", "reading", "examination")
        for pk, defect, other, at, done_at, reading, examination, *plain in rows.values_list(
            "pk", *linked, *_PLAIN
        ).iterator():
            yield (
                pk,
                {
                    "defect": defect,
                    "other": other,
                    "at": clock_time(at),
                    "done_at": clock_time(done_at),
                    "evidence": names.of(reading, examination),
                    **dict(zip(_PLAIN, plain, strict=True)),
                },
            )

    def prepare(self, row: Row) -> None:
        """Never read."""

    def changed_since(self, at: datetime) -> Mapping[Key, None]:
        return {}
