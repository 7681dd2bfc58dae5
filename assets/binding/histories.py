"""How rows stood when a workbook was written, read from their histories."""

from datetime import datetime
from typing import Any

from django.db import models
from django.db.models import Q

from assets.workbook.columns import Sheet
from assets.workbook.planning import Key

from .columns import RowMaker

_MOST_IDS = 500  # in one condition of a query

Stood = dict[Key, dict[str, Any] | None]


def changed_since(
    model: type[models.Model], sheet: Sheet, maker: RowMaker, at: datetime, but: str | None
) -> Stood:
    """Rows changed after ``at`` other than for the reason ``but``, as they stood before that.

    None where they did not exist yet. Two queries, and one more for each 500 changed rows.
    """
    history = model.history
    after = history.filter(history_date__gt=at)
    if but is not None:
        after = after.exclude(history_change_reason=but)
    latest = _last_of_each(after, maker, gone_too=True)
    before: dict[int, dict[str, Any] | None] = {}
    ids = list(latest)
    stood = Q(history_date__lte=at)
    if but is not None:
        stood |= Q(history_change_reason=but)
    for start in range(0, len(ids), _MOST_IDS):
        known = history.filter(stood, id__in=ids[start : start + _MOST_IDS])
        before |= _last_of_each(known, maker)
    found: Stood = {}
    for pk, values in latest.items():
        base = before.get(pk)
        for named in (values, base):
            if named is not None:
                found[sheet.key_of(named)] = base
    return found


def _last_of_each(history: models.QuerySet, maker: RowMaker, gone_too: bool = False):
    """The last of these records of each object; None where it was gone by then."""
    records = history.order_by("history_date", "history_id")
    return {
        pk: maker.make(record) if gone_too or kind != "-" else None
        for pk, kind, *record in records.values_list("id", "history_type", *maker.paths).iterator()
    }
