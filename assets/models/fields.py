"""Fields and constraints that every part of the register uses the same way."""

import re
from collections.abc import Iterable
from typing import Any

from django.db import models
from django.db.models import F, Q

from assets.engineering.words import Vocabulary
from assets.plain_text import PlainText, text_fits
from assets.workbook.texts import plain


class _Plain:
    """Keeps text without control characters, whichever way it is written.

    Every write passes here: forms, workbooks, phones, commands, writing many rows at once. The
    database is not asked as well: SQLite and PostgreSQL have no pattern in common, so it would take
    a constraint for each of some fifty fields in two languages, and only bare SQL goes past this.
    In migrations the fields are Django's own.
    """

    default_validators = [text_fits]

    def to_python(self, value: Any) -> Any:
        value = super().to_python(value)
        return plain(value) if isinstance(value, str) else value

    def pre_save(self, instance: models.Model, add: bool) -> Any:
        value = super().pre_save(instance, add)
        if isinstance(value, str):
            value = plain(value)
            setattr(instance, self.attname, value)
        return value

    def formfield(self, **kwargs):
        return super().formfield(**{"form_class": PlainText, **kwargs})

    def deconstruct(self):
        name, _, args, kwargs = super().deconstruct()
        return name, f"django.db.models.{self.get_internal_type()}", args, kwargs


class Text(_Plain, models.CharField):
    """A line of text."""


class LongText(_Plain, models.TextField):
    """Text of any number of lines, as long as a cell of a workbook holds."""


class PlainData(models.JSONField):
    """Plain data whose texts hold no control characters; PostgreSQL refuses some of them."""

    def get_prep_value(self, value: Any) -> Any:
        return super().get_prep_value(_plain_data(value))

    def deconstruct(self):
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.JSONField", args, kwargs


def _plain_data(value: Any) -> Any:
    if isinstance(value, str):
        return plain(value)
    if isinstance(value, dict):
        return {_plain_data(key): _plain_data(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain_data(one) for one in value]
    return value


def coded(words: type[Vocabulary], label: str, default: str = "unknown", **options):
    """A field holding one word of a vocabulary; pair it with ``coded_rule``."""
    return Text(label, max_length=24, choices=words.choices(), default=default, **options)


def coded_rule(table: str, field: str, words: type[Vocabulary]) -> models.CheckConstraint:
    """Only words of the vocabulary are stored, whichever way they come in."""
    return models.CheckConstraint(
        name=f"{table}_{field}_word",
        condition=Q(**{f"{field}__in": [word.value for word in words]}),
        violation_error_message=(
            f"{field.replace('_', ' ').capitalize()} must be one of: "
            f"{', '.join(word.label for word in words)}."
        ),
    )


def any_of(field: str, words: Iterable[str]) -> Q:
    """The field is one of these words, told in a way that a partial index is found by.

    SQLite takes such an index only where it sees the index's condition in the query again, and
    it does not look into IN lists whose values are bound; beside OR it does.
    """
    ways = Q()
    for word in words:
        ways |= Q(**{field: word})
    return ways


def measured(label: str, unit: str = "mm", **options):
    """A number that may be unknown; the unit stands in the label."""
    return models.FloatField(f"{label} ({unit})", null=True, blank=True, **options)


def entered(model: type[models.Model]) -> list[str]:
    """Names of the fields that people enter, in the model's order."""
    return [f.name for f in model._meta.local_fields if f.editable and not f.primary_key]


_WITH_UNIT = re.compile(r"(.*?)\s*\(([^()]*)\)")


def label_and_unit(field: models.Field) -> tuple[str, str]:
    """A field's label without its unit, and the unit: "stroke (mm)" is ("stroke", "mm")."""
    label = str(field.verbose_name)
    found = _WITH_UNIT.fullmatch(label)
    return (found[1], found[2]) if found else (label, "")


def unit_of_field(field: models.Field) -> str:
    """The unit that a field's figures stand in; "" where it has none."""
    return label_and_unit(field)[1]


def range_rule(
    table: str, field: str, most: float, least: float = 0, unit: str = "mm"
) -> models.CheckConstraint:
    """A measured field stays within what such a thing can be at all.

    A range also keeps NaN and infinity out of the database.
    """
    return models.CheckConstraint(
        name=f"{table}_{field}_range",
        condition=Q(**{f"{field}__isnull": True})
        | Q(**{f"{field}__gte": least, f"{field}__lte": most}),
        violation_error_message=(
            f"{field.removesuffix('_mm').replace('_', ' ').capitalize()} must be between "
            f"{least:g} and {most:g} {unit}."
        ),
    )


def order_rule(table: str, low: str, high: str, message: str) -> models.CheckConstraint:
    """The low end of a pair is not above its high end, where both are known."""
    return models.CheckConstraint(
        name=f"{table}_{low}_not_above_{high}",
        condition=Q(**{f"{low}__isnull": True})
        | Q(**{f"{high}__isnull": True})
        | Q(**{f"{low}__lte": F(high)}),
        violation_error_message=message,
    )


def key_rule(table: str, field: str) -> models.CheckConstraint:
    """A key is given and stands in addresses as it is: no blank and no slash."""
    return models.CheckConstraint(
        name=f"{table}_{field}_given",
        condition=~Q(**{field: ""}) & ~Q(**{f"{field}__contains": "/"}),
        violation_error_message=(
            f"Give a {field}, without a slash: it is part of the page's address."
        ),
    )
