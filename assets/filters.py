"""What the register's lists can be narrowed by."""

from collections.abc import Callable

import django_filters
from django import forms
from django.db.models import Case, Exists, Model, OuterRef, Q, QuerySet, Value, When

from .engineering.words import Profile
from .kinds import KINDS, PartKind
from .models import Fitting, Location, Points
from .models.parts import Part
from .models.places import PointsQuerySet

WHERE = [("fitted", "fitted"), ("spare", "in the store")]


def _words(model: type[Model], name: str):
    field = model._meta.get_field(name)
    return django_filters.ChoiceFilter(
        field_name=name,
        choices=field.choices,
        label=str(field.verbose_name).capitalize(),
        empty_label="any",
    )


def sort_by(orders: dict[str, tuple[str, Callable[[QuerySet], QuerySet]]]):
    """A choice of orders, each with its words and what puts rows in it; the first is the usual
    one, in which the rows come already."""

    def in_order(queryset, name, value):
        return orders[value][1](queryset)

    return django_filters.ChoiceFilter(
        method=in_order,
        choices=[(code, words) for code, (words, _) in orders.items()],
        empty_label=None,
        label="Sorted",
    )


def order_words(narrowed: django_filters.FilterSet) -> str:
    """The order of a list as its caption says it: "in walking order"."""
    field = narrowed.form["sort"]
    words = dict(field.field.choices)
    return words.get(field.value()) or next(iter(words.values()))


def as_listed(model: type[Model], name: str) -> Case:
    """To order by: a code by its place among its words."""
    words = enumerate(model._meta.get_field(name).choices)
    return Case(*(When(Q(**{name: word}), then=Value(place)) for place, (word, _) in words))


def _by(*fields):
    return lambda rows: rows.order_by(*fields, "pk")


POINTS_ORDERS = {
    "walking": ("in walking order", PointsQuerySet.in_walking_order),
    "number": (
        "by number",
        _by("number_order", "number", "location__mileage", "location__code"),
    ),
    "location": (
        "by location's name",
        _by("location__name", "location__code", "number_order", "number"),
    ),
    "state": (
        "by state",
        _by(
            as_listed(Points, "service_state"),
            *("location__mileage", "location__code", "number_order", "number"),
        ),
    ),
}
PART_ORDERS = {
    "tag": ("by tag", _by("tag")),
    "condition": ("by condition", _by(as_listed(Part, "condition"), "tag")),
}


class PointsFilter(django_filters.FilterSet):
    search = django_filters.CharFilter(method="look_for", label="Number, place or note")
    location = django_filters.ModelChoiceFilter(queryset=Location.objects.all(), empty_label="any")
    layout = _words(Points, "layout")
    service_state = _words(Points, "service_state")
    use = _words(Points, "use")
    rail = django_filters.ChoiceFilter(
        field_name="rail_section__profile",
        choices=Profile.choices(),
        label="Rail",
        empty_label="any",
    )
    track_circuited = django_filters.BooleanFilter(
        widget=forms.Select(choices=[("", "any"), ("true", "yes"), ("false", "no")])
    )
    empty_place = django_filters.BooleanFilter(
        method="with_an_empty_place",
        label="With a place empty",
        widget=forms.Select(choices=[("", "any"), ("true", "yes")]),
    )
    sort = sort_by(POINTS_ORDERS)

    class Meta:
        model = Points
        fields = []

    def look_for(self, queryset, name, value):
        for word in value.split():
            queryset = queryset.filter(
                Q(number__icontains=word)
                | Q(location__code__icontains=word)
                | Q(location__name__icontains=word)
                | Q(note__icontains=word)
            )
        return queryset

    def with_an_empty_place(self, queryset, name, value):
        if not value:
            return queryset
        rods = Fitting.objects.current().filter(
            position=OuterRef("positions"), stretcher__isnull=False
        )
        empty = queryset.filter(positions__isnull=False).annotate(rod=Exists(rods))
        return queryset.filter(pk__in=empty.filter(rod=False).values("pk"))


class PartFilter(django_filters.FilterSet):
    search = django_filters.CharFilter(
        method="look_for", label="Tag, keeping place, origin or note"
    )
    where = django_filters.ChoiceFilter(
        method="by_place", choices=WHERE, label="Where", empty_label="anywhere"
    )
    condition = _words(Part, "condition")
    quarantined = django_filters.BooleanFilter(
        widget=forms.Select(choices=[("", "any"), ("true", "yes"), ("false", "no")])
    )

    def look_for(self, queryset, name, value):
        for word in value.split():
            queryset = queryset.filter(
                Q(tag__icontains=word)
                | Q(kept_at__icontains=word)
                | Q(origin__icontains=word)
                | Q(note__icontains=word)
            )
        return queryset

    def by_place(self, queryset, name, value):
        return queryset.spare() if value == "spare" else queryset.fitted()


def _part_filter(kind: PartKind) -> type[PartFilter]:
    """What the list of a kind of part is narrowed by; the first of its own words orders it too."""
    first = kind.narrowed_by[0]
    own = {name: _words(kind.model, name) for name in kind.narrowed_by}
    orders = PART_ORDERS | {first: (f"by {first}", _by(as_listed(kind.model, first), "tag"))}
    return type(PartFilter)(
        f"{kind.model.__name__}Filter", (PartFilter,), {**own, "sort": sort_by(orders)}
    )


PART_FILTERS = {kind: _part_filter(kind) for kind in KINDS}
