"""What was changed in a record, by whom and when, read from its history."""

from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Any


@dataclass(frozen=True)
class Change:
    """One saving of one record; ``lines`` are (field label, old, new)."""

    at: datetime
    by: str
    what: str  # which record
    kind: str  # "entered", "changed" or "removed"
    lines: tuple[tuple[str, Any, Any], ...] = ()


KINDS = {"+": "entered", "~": "changed", "-": "removed"}
MOST = 60  # a page shows the latest; the rest stays in the database


def changes_of(model, **which) -> list[Change]:
    """The latest changes of the records chosen by ``which``, newest first; one query."""
    fields = [f for f in model.history.model.tracked_fields if f.name != "id"]
    rows = list(
        model.history.filter(**which)
        .select_related("history_user")
        .order_by("id", "-history_date", "-history_id")[: MOST * 4]
    )
    found = []
    for newer, older in pairwise([*rows, None]):
        same_record = older is not None and older.id == newer.id
        lines = _differences(fields, newer, older) if same_record else ()
        if newer.history_type == "~" and same_record and not lines:
            continue  # saved without a change
        found.append(
            Change(
                at=newer.history_date,
                by=_name(newer.history_user),
                what=str(model._meta.verbose_name),
                kind=KINDS[newer.history_type],
                lines=lines,
            )
        )
    return sorted(found, key=lambda change: change.at, reverse=True)[:MOST]


def _differences(fields, newer, older) -> tuple[tuple[str, Any, Any], ...]:
    lines = []
    for field in fields:
        old, new = getattr(older, field.attname), getattr(newer, field.attname)
        if old != new:
            words = dict(field.flatchoices or ())
            lines.append((str(field.verbose_name), words.get(old, old), words.get(new, new)))
    return tuple(lines)


def _name(user) -> str:
    return (user.get_full_name() or user.get_username()) if user else "the program"
