"""What the list of visits can be narrowed by, and sorted."""

import django_filters
from django import forms
from django.db.models import F, Q

from assets.forms import DayInput
from assets.models import Location, Points
from assets.plain_text import PlainText
from inspections.models import Examination, Inspection, Reading
from inspections.words import Reason

ORDERS = {
    "newest": ("newest first", ["-at"]),
    "oldest": ("oldest first", ["at"]),
    "points": (
        "by points, in walking order",
        [
            "points__location__mileage",
            "points__location__code",
            "points__number_order",
            "points__number",
            "-at",
        ],
    ),
    "most_out": (
        "most out of limits first",
        [(F("out_count") + F("defective_count")).desc(), "-at"],
    ),
    "who": ("by who", ["by", "-at"]),
}


class _Form(forms.Form):
    def clean(self):
        first, last = self.cleaned_data.get("first_day"), self.cleaned_data.get("last_day")
        if first and last and first > last:
            self.add_error("last_day", "The last day is before the first.")
        return self.cleaned_data


class _PointsField(PlainText):
    """Points by their key: a box to choose from would hold every set of points there is."""

    def clean(self, value):
        key = super().clean(value)
        try:
            return Points.objects.by_key(key) if key else None
        except Points.DoesNotExist as problem:
            raise forms.ValidationError(str(problem)) from problem


class _PointsFilter(django_filters.Filter):
    field_class = _PointsField


class VisitFilter(django_filters.FilterSet):
    points = _PointsFilter(label="Points, like SKB 12")
    location = django_filters.ModelChoiceFilter(
        field_name="points__location",
        queryset=Location.objects.all(),
        empty_label="any",
        label="Location",
    )
    reason = django_filters.ChoiceFilter(choices=Reason.choices(), empty_label="any", label="Why")
    by = django_filters.CharFilter(lookup_expr="icontains", label="Who")
    first_day = django_filters.DateFilter(
        field_name="at", lookup_expr="date__gte", widget=DayInput, label="From"
    )
    last_day = django_filters.DateFilter(
        field_name="at", lookup_expr="date__lte", widget=DayInput, label="To"
    )
    found = django_filters.ChoiceFilter(
        method="by_finding",
        choices=[("out", "something out or defective"), ("clear", "nothing out or defective")],
        empty_label="anything",
        label="Found",
    )
    sort = django_filters.ChoiceFilter(
        method="leave",
        choices=[(code, words) for code, (words, _) in ORDERS.items()],
        empty_label=None,
        label="Sorted",
    )

    class Meta:
        model = Inspection
        fields = []
        form = _Form

    def by_finding(self, queryset, name, value):
        readings = Reading.objects.standing().out().order_by().values("inspection")
        looks = Examination.objects.standing().out().order_by().values("inspection")
        wrong = Q(pk__in=readings) | Q(pk__in=looks)
        return queryset.exclude(wrong) if value == "clear" else queryset.filter(wrong)

    def leave(self, queryset, name, value):
        """Sorting is done last, over whatever was chosen: see ``in_order``."""
        return queryset

    def in_order(self):
        """The chosen visits in the chosen order, the newest first unless said."""
        _, fields = ORDERS[self.form.cleaned_data.get("sort") or "newest"]
        return self.qs.order_by(*fields, "-pk")
