"""A limit, entered or changed, with what it would change shown before it is saved."""

import hashlib

from django import forms
from django.core.exceptions import ValidationError

from assets.engineering.figures import FigureRefused, figure
from assets.forms import DayInput
from assets.models import Points
from assets.plain_text import PlainText
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Limit
from inspections.verdicts.verdicts_a_limit_changes import Change
from inspections.words import QuantityCode

FIGURES = ("minimum", "nominal", "maximum")


class LimitForm(forms.ModelForm):
    minimum = PlainText(label="Least", required=False)
    nominal = PlainText(label="Nominal", required=False)
    maximum = PlainText(label="Most", required=False)
    seen = PlainText(required=False, widget=forms.HiddenInput)

    class Meta:
        model = Limit
        fields = [
            "quantity",
            "level",
            "scope",
            "rail_section",
            "layout",
            "design",
            "points",
            *FIGURES,
            "reason",
            "source",
            "effective_from",
        ]
        widgets = {"effective_from": DayInput}
        labels = {"effective_from": "Applies from", "layout": "Layout"}
        help_texts = {
            "quantity": "Figures are in the quantity's unit; millimetres may be written as inches. "
            "For a lock test, 1 is locked and 0 is not.",
            "scope": "Then fill in only the one box below that goes with it.",
            "source": "Where the figure comes from: a standard, a drawing, the engineer's letter.",
            "effective_from": "It applies until the next limit of the same kind begins. With "
            "neither least nor most it ends the one before.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["points"].queryset = Points.objects.select_related(
            "location"
        ).in_walking_order()
        for name in ("rail_section", "design", "points"):
            self.fields[name].empty_label = "none"
        for name in FIGURES:
            self.fields[name].widget.attrs["inputmode"] = "decimal"
            value = self.initial.get(name)
            if isinstance(value, float):
                self.initial[name] = f"{value:.15g}"

    def _figure(self, name: str) -> float | None:
        written = self.cleaned_data[name]
        code = self.cleaned_data.get("quantity")
        if not written or not code:
            return None
        quantity = QUANTITIES[QuantityCode(code)]
        try:
            value = figure(written, "" if quantity.answers else quantity.unit)
        except FigureRefused as wrong:
            raise ValidationError(str(wrong)) from None
        if not quantity.least <= value <= quantity.most:
            raise ValidationError(
                f"A {quantity.label} is between {quantity.written(quantity.least)} and "
                f"{quantity.written(quantity.most)}."
            )
        return value

    def clean_minimum(self):
        return self._figure("minimum")

    def clean_nominal(self):
        return self._figure("nominal")

    def clean_maximum(self):
        return self._figure("maximum")

    def validate_unique(self) -> None:
        """Once a day for each scope: the scope's key is worked out, so no box checks it."""
        if self.errors:
            return
        try:
            self.instance.validate_constraints()
        except ValidationError as broken:
            self.add_error(None, broken)

    def mark_of(self, changes: list[Change]) -> str:
        """Tells whether what a person saw is still what would happen."""
        told = [(c.reading.pk, c.before.verdict.value, c.after.verdict.value) for c in changes]
        values = [str(self.cleaned_data[name]) for name in self.Meta.fields]
        return hashlib.sha256(repr((values, told)).encode()).hexdigest()
