"""Boxes for what was measured and seen."""

from django import forms
from django.core.exceptions import ValidationError

from assets.engineering.units import parse_figure
from assets.models import Points
from assets.plain_text import PlainText
from inspections.catalogue.quantities import Quantity

NOT_TAKEN = (
    "could not get at it",
    "no instrument for it",
    "points could not be moved",
    "not fitted",
    "no time",
)


class MomentInput(forms.DateTimeInput):
    """A day and a time to the minute, by the phone's own picker."""

    input_type = "datetime-local"

    def __init__(self, **kwargs):
        super().__init__(format="%Y-%m-%dT%H:%M", **kwargs)


class FigureField(PlainText):
    """A figure in a unit, as people write it: mm, inches and fractions, kΩ. Gives a float."""

    def __init__(self, unit: str, **kwargs):
        self.unit = unit
        # The figure keys of a phone have no letters, and ohms are written like 2 MΩ.
        keys = "text" if unit == "Ω" else "decimal"
        widget = forms.TextInput(attrs={"inputmode": keys, "autocomplete": "off"})
        super().__init__(**{"required": False, "widget": widget, "max_length": 40, **kwargs})

    def clean(self, value):
        written = super().clean(value)
        if not written:
            return None
        try:
            return parse_figure(written, self.unit)
        except ValueError as wrong:
            raise ValidationError(str(wrong)) from None

    def prepare_value(self, value):
        return f"{value:.10g}" if isinstance(value, float) else value


class ReadingField(FigureField):
    """The box of one quantity at given points: refuses what such a reading cannot be."""

    def __init__(self, quantity: Quantity, points: Points, **kwargs):
        self.quantity, self.points = quantity, points
        super().__init__(quantity.unit, **kwargs)

    def clean(self, value):
        figure = super().clean(value)
        implausible = self.quantity.refuses(figure, self.points) if figure is not None else ""
        if implausible:
            raise ValidationError(implausible)
        return figure


class TestField(forms.TypedChoiceField):
    """A test with two answers; gives 1.0, 0.0 or None."""

    def __init__(self, quantity: Quantity, **kwargs):
        no, yes = quantity.answers
        super().__init__(
            required=False,
            choices=[("1", yes), ("0", no)],
            coerce=float,
            empty_value=None,
            widget=forms.RadioSelect,
            **kwargs,
        )


def box_for(quantity: Quantity, points: Points, **kwargs) -> forms.Field:
    """The box that takes a reading of this quantity."""
    if quantity.answers:
        return TestField(quantity, **kwargs)
    return ReadingField(quantity, points, **kwargs)


def why_not_field(what: str) -> forms.ChoiceField:
    """Why a reading was not taken; nothing chosen means that it was, or that nobody tried."""
    return forms.ChoiceField(
        required=False,
        choices=[("", "not taken?"), *((reason, reason) for reason in NOT_TAKEN)],
        widget=forms.Select(attrs={"aria-label": f"If not taken, why: {what}"}),
    )
