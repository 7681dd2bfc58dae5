"""Boxes for what was measured and seen."""

from django import forms
from django.core.exceptions import ValidationError

from assets.figure_fields import FigureField
from assets.models import Points
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


class ReadingField(FigureField):
    """The box of one quantity at given points: refuses what such a reading cannot be."""

    def __init__(self, quantity: Quantity, points: Points, **kwargs):
        self.quantity, self.points = quantity, points
        super().__init__(unit=quantity.unit, **{"required": False, **kwargs})

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
