"""Rows into the database, as many at a time as it takes.

The database's own rules decide. A batch that it refuses is halved until the rows at fault stand
alone; only those pay for being asked what is wrong with them. What one row refuses another may
make possible (a part taken out in the next row), so what was refused is tried again as long as
that helps.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.db import DataError, IntegrityError, models, transaction

from assets.workbook.columns import Column
from assets.workbook.planning import PlannedRow
from assets.workbook.refusals import WorkbookRefused

BATCH = 500
MOST_REFUSED = 500  # rows of one sheet; each takes many queries to explain
_AT_FAULT = (IntegrityError, DataError)


@dataclass(slots=True)
class Draft:
    """A planned row and the object that it becomes."""

    row: PlannedRow
    thing: models.Model


@dataclass(frozen=True)
class Writer:
    """One way of writing drafts: ``write`` takes a batch of objects, new ones or old ones."""

    drafts: list[Draft]
    write: Callable[[list[models.Model]], None]
    new: bool


def write_all(writers: Iterable[Writer]) -> Iterator[int]:
    """Writes every draft that the database takes and refuses the rows of the others.

    Yields the number of rows done now and then.
    """
    waiting = [(writer, list(writer.drafts)) for writer in writers]
    while True:
        failed = []
        for writer, drafts in waiting:
            rest: list[tuple[Draft, Exception]] = []
            for start in range(0, len(drafts), BATCH):
                batch = drafts[start : start + BATCH]
                rest += _halving(batch, writer)
                _not_too_many(rest)
                yield len(batch)
            failed.append((writer, rest))
        tried = sum(len(drafts) for _, drafts in waiting)
        left = sum(len(rest) for _, rest in failed)
        if left in (0, tried):
            break
        waiting = [(writer, [draft for draft, _ in rest]) for writer, rest in failed]
    for _, rest in failed:
        for draft, problem in rest:
            refuse(draft.row, *reasons(draft.thing, problem))


def _halving(drafts: list[Draft], writer: Writer) -> list[tuple[Draft, Exception]]:
    """Writes what can be written; those left over, each with its error."""
    try:
        with transaction.atomic():
            writer.write([draft.thing for draft in drafts])
    except _AT_FAULT as problem:
        if writer.new:
            for draft in drafts:  # some may have been given a key before another was refused
                draft.thing.pk, draft.thing._state.adding = None, True
        if len(drafts) == 1:
            return [(drafts[0], problem)]
        middle = len(drafts) // 2
        return _halving(drafts[:middle], writer) + _halving(drafts[middle:], writer)
    return []


def _not_too_many(refused: list[tuple[Draft, Exception]]) -> None:
    if len(refused) > MOST_REFUSED:
        draft, problem = refused[0]
        _, reason = reasons(draft.thing, problem)[0]
        raise WorkbookRefused(
            f"More than {MOST_REFUSED} rows of the sheet {draft.row.origin.sheet} break the "
            f"register's rules, the first of them row {draft.row.number}: {reason} Correct what "
            "they share, then load it again."
        )


def refuse(row: PlannedRow, *found: tuple[str, str]) -> None:
    """Refuse a row for (field, reason) pairs; a field that the sheet lacks means the whole row."""
    for name, reason in found:
        column = row.sheet.by_field.get(name)
        row.refuse(_by_heading(reason, column) if column else reason, name if column else "")


def _by_heading(reason: str, column: Column) -> str:
    """The reason with its column named as in the workbook, where a rule names its field."""
    words = column.field.removesuffix("_mm").replace("_", " ").capitalize()
    rule = f"{words} must be "
    if not reason.startswith(rule) or column.heading.startswith(words):
        return reason
    return f"{column.heading} must be {reason.removeprefix(rule)}"


def reasons(thing: models.Model, problem: Exception) -> list[tuple[str, str]]:
    """Field ("" for the whole row) and sentence of everything wrong with an object."""
    found = []
    try:
        thing.clean()
    except ValidationError as wrong:
        found += messages_of(wrong)
    for constraint in thing._meta.constraints:
        try:
            constraint.validate(type(thing), thing)
        except ValidationError as wrong:
            name = _field_of(constraint)
            found += [(name or field, sentence) for field, sentence in messages_of(wrong)]
    if not found:
        try:
            thing.validate_unique()
        except ValidationError as wrong:
            found += messages_of(wrong)
    # A trigger's sentence; PostgreSQL adds lines on where it came from.
    return list(dict.fromkeys(found)) or [("", str(problem).splitlines()[0])]


def messages_of(wrong: ValidationError) -> list[tuple[str, str]]:
    """Field and sentence of each message; "" where it is about the whole row."""
    if not hasattr(wrong, "error_dict"):
        return [("", sentence) for sentence in wrong.messages]
    return [
        ("" if field == NON_FIELD_ERRORS else field, sentence)
        for field, sentences in wrong.message_dict.items()
        for sentence in sentences
    ]


def _field_of(constraint: models.BaseConstraint) -> str:
    """The field that a rule is mainly about: the first it names."""
    if isinstance(constraint, models.UniqueConstraint):
        return constraint.fields[-1] if constraint.fields else ""
    names = [name for name, _ in _leaves(constraint.condition)]
    return names[0].split("__")[0] if names else ""


def _leaves(condition: models.Q) -> Iterator[tuple[str, object]]:
    for child in condition.children:
        if isinstance(child, models.Q):
            yield from _leaves(child)
        else:
            yield child
