"""A column from a model's field, so that adding one to a sheet is one line."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.db import models
from django.utils import timezone

from assets.models.fields import entered, label_and_unit
from assets.workbook.columns import Column, Kind, fold

_KINDS = (  # the first that a field is one of
    (models.BooleanField, Kind.YES_NO),
    (models.DateTimeField, Kind.DATE_TIME),
    (models.DateField, Kind.DATE),
    (models.IntegerField, Kind.WHOLE),
    (models.FloatField, Kind.NUMBER),
)


@dataclass(frozen=True)
class Link:
    """How a row of one sheet is named in the others: its ``paths``, joined by spaces."""

    sheet: str
    model: type[models.Model]
    paths: tuple[str, ...]

    def ids(self) -> dict[str, int]:
        """Key of each row by ``fold`` of its name; one query."""
        return {fold(_joined(parts)): pk for pk, *parts in self._rows()}

    def names(self) -> dict[str, str]:
        """Each name as the register spells it, by ``fold`` of it; one query."""
        texts = (_joined(parts) for _, *parts in self._rows())
        return {fold(text): text for text in texts}

    def _rows(self) -> Iterable[tuple]:
        return self.model._default_manager.order_by("pk").values_list("pk", *self.paths).iterator()


def column(model: type[models.Model], name: str, heading: str = "", **details) -> Column:
    """The column for a field: heading and unit from its label, kind, choices and help from itself.

    ``details`` go before what is derived. A link to another model needs ``refers_to``.
    """
    field = model._meta.get_field(name)
    label, unit = label_and_unit(field)
    kind = _kind_of(field)
    derived: dict[str, Any] = {
        "unit": unit,
        "figure_unit": unit,
        "kind": kind,
        "help": str(field.help_text),
    }
    if kind is Kind.CHOICE:
        derived["choices"] = tuple((v, t) for v, t in field.flatchoices if v != "")
    if kind is Kind.CHOICE and field.blank:
        derived["blank"] = ""
    elif kind is Kind.YES_NO and not field.null:
        derived["blank"] = field.default
    elif not details.get("key"):
        derived["required"] = _must_be_filled(field, kind)
    return Column(heading or label[:1].upper() + label[1:], name, **{**derived, **details})


def columns_of(
    model: type[models.Model], *names: str, **details: Mapping[str, Any]
) -> tuple[Column, ...]:
    """A column for each of these fields, or else for all that people enter, in the model's order.

    ``details`` are by field, and as those of ``column``.
    """
    return tuple(column(model, name, **details.get(name, {})) for name in names or entered(model))


def _kind_of(field: models.Field) -> Kind:
    if field.is_relation:
        return Kind.REFERENCE
    if field.choices:
        return Kind.CHOICE
    return next((kind for base, kind in _KINDS if isinstance(field, base)), Kind.TEXT)


def _must_be_filled(field: models.Field, kind: Kind) -> bool:
    if kind is Kind.CHOICE:
        return "unknown" not in dict(field.flatchoices)
    return not field.blank and not field.null


@dataclass(frozen=True)
class RowMaker:
    """What turns a record of ``paths`` (of a model or its history) into values by field."""

    paths: tuple[str, ...]
    make: Callable[[tuple], dict[str, Any]]


def row_maker(columns: Iterable[Column], links: dict[str, Link]) -> RowMaker:
    """How the stored columns are read from a queryset's ``values_list``, links as names."""
    stored = [c for c in columns if not c.info]
    plain = [c.field for c in stored if c.field not in links]
    moments = [c.field for c in stored if c.kind is Kind.DATE_TIME]
    linked: list[tuple[str, int, int]] = []
    paths = list(plain)
    for name in (c.field for c in stored if c.field in links):
        linked.append((name, len(paths), len(paths) + len(links[name].paths)))
        paths += [f"{name}__{path}" for path in links[name].paths]

    def make(record: tuple) -> dict[str, Any]:
        values = dict(zip(plain, record, strict=False))
        for name, start, end in linked:
            values[name] = None if record[start] is None else _joined(record[start:end])
        for name in moments:
            values[name] = clock_time(values[name])
        return values

    return RowMaker(tuple(paths), make)


def _joined(parts: Iterable[Any]) -> str:
    return " ".join(str(part) for part in parts)


def clock_time(moment: datetime | None) -> datetime | None:
    """A stored moment as the railway's clocks showed it, to the second."""
    if moment is None:
        return None
    return timezone.localtime(moment).replace(tzinfo=None, microsecond=0)


def moment_of(shown: datetime | None) -> datetime | None:
    """The moment that the railway's clocks showed; of the hour that they show twice, the first."""
    return None if shown is None else timezone.make_aware(shown).astimezone(UTC)
