"""Fields and constraints that every part of the register uses the same way."""

from collections.abc import Iterable

from django.db import models
from django.db.models import F, Q

from assets.engineering.words import Vocabulary


def coded(words: type[Vocabulary], label: str, default: str = "unknown", **options):
    """A field holding one word of a vocabulary; pair it with ``coded_rule``."""
    return models.CharField(
        label, max_length=24, choices=words.choices(), default=default, **options
    )


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
