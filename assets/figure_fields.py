"""Boxes for figures, in every form: what is typed is read by the one parser of figures."""

from django import forms
from django.core.exceptions import ValidationError

from .engineering.figures import FigureRefused, figure, whole
from .engineering.units import Kind, kind_of

_WITH_LETTERS = {Kind.RESISTANCE, Kind.MILEAGE}  # usually written with them: 2 MΩ, 12m 34ch


class FigureInput(forms.TextInput):
    """A number as people write it: 200, not 200.0; phones offer their figures for it."""

    def __init__(self, attrs=None):
        super().__init__({"inputmode": "decimal", "autocomplete": "off", **(attrs or {})})

    def format_value(self, value):
        if isinstance(value, float):
            return f"{value:.15g}"
        return super().format_value(value)


class FigureField(forms.FloatField):
    """A figure in ``unit``, written as people write it; gives a float, or None where blank."""

    widget = FigureInput

    def __init__(self, *, unit: str, **kwargs):
        self.unit = unit
        super().__init__(**kwargs)
        # The figure keys of a phone have no letters.
        if kind_of(unit) in _WITH_LETTERS:
            self.widget.attrs["inputmode"] = "text"

    def to_python(self, value):
        if not isinstance(value, str):
            return super().to_python(value)
        return _read(figure, value, self.unit)


class WholeField(forms.IntegerField):
    """A whole number in ``unit``; gives an int, or None where blank."""

    widget = FigureInput

    def __init__(self, *, unit: str, **kwargs):
        self.unit = unit
        super().__init__(**kwargs)
        self.widget.attrs["inputmode"] = "numeric"

    def to_python(self, value):
        if not isinstance(value, str):
            return super().to_python(value)
        return _read(whole, value, self.unit)


def _read(parse, value: str, unit: str):
    if not value.strip():
        return None
    try:
        return parse(value, unit)
    except FigureRefused as problem:
        raise ValidationError(str(problem)) from None
