"""Instruments and seasons."""

from django import forms

from assets.forms import DayInput
from inspections.models import Instrument, Season


class InstrumentForm(forms.ModelForm):
    class Meta:
        model = Instrument
        fields = ["tag", "kind", "check_due", "note"]
        widgets = {"check_due": DayInput}


class SeasonForm(forms.ModelForm):
    class Meta:
        model = Season
        fields = ["name", "first_use", "last_use"]
        widgets = {"first_use": DayInput, "last_use": DayInput}
