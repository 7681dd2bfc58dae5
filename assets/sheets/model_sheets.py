"""A sheet whose rows are the rows of one model with a history."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models
from simple_history.utils import bulk_create_with_history, bulk_update_with_history

from assets.sheets.changed_since import Stood, changed_since
from assets.sheets.columns import Link, RowMaker, row_maker
from assets.sheets.loading import Choice, Loading
from assets.sheets.writing import Draft, Writer, messages_of, refuse, write_all
from assets.workbook.columns import Column, Sheet
from assets.workbook.planning import Outcome, PlannedRow
from assets.workbook.reading import Row

_MOST_IDS = 500  # in one condition of a query


def _everything(queryset: models.QuerySet, choice: Choice) -> models.QuerySet:
    return queryset


@dataclass(frozen=True)
class ModelSheet:
    """Binds a sheet to a model: each column is a field, each row an object.

    ``links`` has the columns that name rows of other sheets, ``order`` the order of rows,
    ``narrow`` which of them belong to a choice, ``info`` what the columns for information show by
    primary key. ``before`` fills in what the model fills in when it saves one object. ``maker`` and
    ``fill`` read rows and fill objects where a column is not simply a field.
    ``asks_database`` says that the model's ``clean`` asks the database row by row what its own
    rules see to: it is then only asked what is wrong with rows that were refused. ``after`` looks
    at the new rows once all are written, and may refuse them still.
    """

    name: str
    model: type[models.Model]
    columns: tuple[Column, ...]
    help: str
    order: tuple[str, ...]
    links: Mapping[str, Link] = field(default_factory=dict)
    link: Link | None = None  # how its own rows are named elsewhere
    narrow: Callable[[models.QuerySet, Choice], models.QuerySet] = _everything
    info: Callable[[], Mapping[int, Mapping[str, Any]]] | None = None
    before: Callable[[Any], None] | None = None
    maker: RowMaker | None = None
    fill: Callable[[Loading, PlannedRow, Any, Mapping[str, Any]], None] | None = None
    asks_database: bool = False
    after: Callable[[Loading, list[Draft]], None] | None = None
    moved: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def sheet(self) -> Sheet:
        return Sheet(self.name, self.columns, self.help, moved=self.moved)

    @property
    def sheets(self) -> tuple["ModelSheet"]:
        return (self,)

    @cached_property
    def _maker(self) -> RowMaker:
        return self.maker or row_maker(self.columns, dict(self.links))

    def held(self, choice: Choice) -> Iterator[tuple[int, dict[str, Any]]]:
        """Primary key and values of each row of the choice; one query, and what ``info`` asks."""
        rows = self.narrow(self.model._default_manager.all(), choice).order_by(*self.order, "pk")
        make, info = self._maker.make, self.info() if self.info else {}
        for pk, *record in rows.values_list("pk", *self._maker.paths).iterator():
            values = make(record)
            if pk in info:
                values |= info[pk]
            yield pk, values

    def prepare(self, row: Row) -> None:
        """Nothing needs evening out: what is blank is blank in the register too."""

    def changed_since(self, at: datetime) -> Stood:
        return changed_since(self.model, self.sheet, self._maker, at)

    def write(self, loading: Loading, planned: Mapping[str, list[PlannedRow]]) -> Iterator[int]:
        """Writes the new and changed rows with their history; refuses those that cannot be."""
        rows = planned.get(self.name, [])
        new = [row for row in rows if row.outcome is Outcome.NEW]
        changed = [row for row in rows if row.outcome is Outcome.CHANGED]
        about = {"default_user": loading.account, "default_change_reason": loading.reason}

        def update(things: list[models.Model]) -> None:
            names = sorted(set().union(*(thing._changed for thing in things)))
            bulk_update_with_history(things, self.model, names, **about)

        def create(things: list[models.Model]) -> None:
            bulk_create_with_history(things, self.model, **about)

        updates = [*self._checked(loading, changed, self._found_again(loading, changed))]
        creations = [*self._checked(loading, new, (self.model() for _ in new))]
        yield from write_all([Writer(updates, update, False), Writer(creations, create, True)])
        if self.after is not None:
            self.after(loading, [draft for draft in creations if not draft.row.refusals])

    def _found_again(self, loading: Loading, rows: list[PlannedRow]) -> Iterator[models.Model]:
        """The objects of rows that change them, in the order of the rows."""
        pks = [loading.pks[self.name][row.existing_key] for row in rows]
        for start in range(0, len(pks), _MOST_IDS):
            batch = pks[start : start + _MOST_IDS]
            things = self.model._default_manager.in_bulk(batch)
            yield from (things[pk] for pk in batch)

    def _checked(self, loading: Loading, rows: Iterable[PlannedRow], things) -> Iterator[Draft]:
        """Objects with the rows' values, as far as the model finds nothing wrong with them."""
        links = [f.name for f in self.model._meta.concrete_fields if f.is_relation]
        for row, thing in zip(rows, things, strict=True):
            given = (
                {change.column.field: change.new for change in row.changes}
                if row.outcome is Outcome.CHANGED
                else row.values
            )
            thing._changed = set(given)
            (self.fill or self._fill)(loading, row, thing, given)
            try:
                thing.clean_fields(exclude=links)
                if not self.asks_database:
                    thing.clean()
            except ValidationError as wrong:
                refuse(row, *messages_of(wrong))
            if self.before is not None:
                self.before(thing)
            if not row.refusals:
                yield Draft(row, thing)

    def _fill(self, loading: Loading, row: PlannedRow, thing, given: Mapping[str, Any]) -> None:
        for name, value in given.items():
            link = self.links.get(name)
            if link is None:
                setattr(thing, name, value)
            elif value is None:
                setattr(thing, f"{name}_id", None)
            else:
                pk = loading.pk_of(link, value)
                if pk is None:
                    row.refuse(f"The row of {link.sheet} that this names is refused.", name)
                setattr(thing, f"{name}_id", pk)
