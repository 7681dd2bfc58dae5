"""What the list of defects can be narrowed by."""

import django_filters
from django import forms
from django.db.models import Exists, F, OuterRef, Q
from django.utils import timezone

from assets.departments import Department
from assets.filters import sort_by
from assets.models import Location, Points
from defects.models import Defect, Event
from defects.models.defects import DefectQuerySet
from defects.models.events import MEASURES
from defects.words import ReturnReason, State, Urgency

STATES = [("open", "open"), *State.choices(), ("any", "any")]

ORDERS = {
    "urgent": ("most urgent first", DefectQuerySet.most_urgent_first),
    "due": (
        "by the day due",
        lambda rows: rows.order_by(F("due_on").asc(nulls_last=True), "number", "pk"),
    ),
    "points": ("by points, in walking order", DefectQuerySet.in_walking_order),
    "newest": ("by number, newest first", lambda rows: rows.order_by("-number", "-pk")),
    "oldest": ("by number, oldest first", lambda rows: rows.order_by("number", "pk")),
}


def _said(word: str) -> Q:
    """Events that have the word in their note, their kind of return or their measure."""
    kinds = [kind.value for kind in ReturnReason if word.casefold() in kind.label]
    measures = [one.value for one in MEASURES if word.casefold() in one.label]
    return Q(note__icontains=word) | Q(return_kind__in=kinds) | Q(measure__in=measures)


class DefectFilter(django_filters.FilterSet):
    search = django_filters.CharFilter(method="look_for", label="Words, or a number")
    state = django_filters.ChoiceFilter(
        method="in_state", choices=STATES, label="State", empty_label=None
    )
    owner = django_filters.ChoiceFilter(
        choices=Department.choices(), label="Held by", empty_label="either"
    )
    urgency = django_filters.ChoiceFilter(choices=Urgency.choices(), empty_label="any")
    location = django_filters.ModelChoiceFilter(
        field_name="points__location", queryset=Location.objects.all(), empty_label="any"
    )
    points = django_filters.CharFilter(method="at_points", label="Points, like SKB 12")
    overdue = django_filters.BooleanFilter(
        method="only_overdue",
        label="Overdue only",
        widget=forms.Select(choices=[("", "no"), ("true", "yes")]),
    )
    measure = django_filters.BooleanFilter(
        method="only_with_measure",
        label="With a temporary measure",
        widget=forms.Select(choices=[("", "any"), ("true", "yes")]),
    )
    sort = sort_by(ORDERS)

    class Meta:
        model = Defect
        fields = []

    def __init__(self, data=None, *args, **kwargs):
        """Open defects unless another state is asked for."""
        data = data.copy() if data is not None else {}
        data.setdefault("state", "open")
        super().__init__(data, *args, **kwargs)

    def look_for(self, queryset, name, value):
        """Every word somewhere: in the defect, its events or its place."""
        for word in value.split():
            said = Event.objects.filter(_said(word), defect=OuterRef("pk"))
            found = (
                Q(title__icontains=word)
                | Q(description__icontains=word)
                | Q(remedy__icontains=word)
                | Q(cause__icontains=word)
                | Q(points__location__name__icontains=word)
                | Q(points__location__code__iexact=word)
                | Q(points__number__iexact=word)
                | Q(stretcher__tag__icontains=word)
                | Exists(said)
            )
            if word.isdecimal() and len(word) < 9:
                found |= Q(number=int(word))
            queryset = queryset.filter(found)
        return queryset

    def in_state(self, queryset, name, value):
        if value == "any":
            return queryset
        return queryset.open() if value == "open" else queryset.filter(state=value)

    def at_points(self, queryset, name, value):
        try:
            return queryset.filter(points=Points.objects.by_key(value))
        except Points.DoesNotExist:
            return queryset.none()

    def only_overdue(self, queryset, name, value):
        return queryset.overdue(timezone.localdate()) if value else queryset

    def only_with_measure(self, queryset, name, value):
        return queryset.with_measure() if value else queryset
