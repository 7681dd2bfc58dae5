"""How rows stood when a workbook was written, read from their histories."""

from datetime import datetime
from typing import Any

from django.db import models

from assets.sheets.columns import RowMaker
from assets.workbook.columns import Sheet
from assets.workbook.planning import Key

_MOST_IDS = 500  # in one condition of a query

Stood = dict[Key, dict[str, Any]]


def changed_since(model: type[models.Model], sheet: Sheet, maker: RowMaker, at: datetime) -> Stood:
    """Rows changed after ``at``, by whatever means, as they stood then.

    What another copy of the same workbook changed counts too: two people may fill in a copy each.
    A row that did not exist yet had nothing filled in. One query, and one more for each 500
    changed rows.
    """
    history = model.history
    latest = _last_of_each(history.filter(history_date__gt=at), maker, gone_too=True)
    before: dict[int, dict[str, Any] | None] = {}
    ids = list(latest)
    for start in range(0, len(ids), _MOST_IDS):
        known = history.filter(history_date__lte=at, id__in=ids[start : start + _MOST_IDS])
        before |= _last_of_each(known, maker)
    found = {sheet.key_of(values): before.get(pk) or {} for pk, values in latest.items()}
    # A key names in the workbook what it named then, whatever it names now.
    return found | {sheet.key_of(base): base for base in before.values() if base is not None}


def _last_of_each(history: models.QuerySet, maker: RowMaker, gone_too: bool = False):
    """The last of these records of each object; None where it was gone by then."""
    records = history.order_by("history_date", "history_id")
    return {
        pk: maker.make(record) if gone_too or kind != "-" else None
        for pk, kind, *record in records.values_list("id", "history_type", *maker.paths).iterator()
    }
