"""Instruments, seasons and regimes for lock and detection tests."""

from django import forms

from assets.forms import DayInput, RegisterForm, register_field
from inspections.models import Instrument, Regime, Season


class InstrumentForm(forms.ModelForm):
    class Meta:
        model = Instrument
        fields = ["tag", "kind", "check_due", "note"]
        widgets = {"check_due": DayInput}


class RegimeForm(RegisterForm):
    class Meta:
        model = Regime
        fields = [
            "name",
            "lock_go_mm",
            "lock_go_at",
            "lock_no_go_mm",
            "lock_no_go_at",
            "detect_go_mm",
            "detect_go_at",
            "detect_no_go_mm",
            "detect_no_go_at",
            "source",
        ]
        formfield_callback = register_field
        help_texts = {
            "lock_go_mm": "Blank: this test is not asked for.",
            "lock_go_at": "Such as: at the toe, or: 150 mm from the toe.",
            "source": "Where it comes from: a standard, the engineer's letter.",
        }


class SeasonForm(forms.ModelForm):
    class Meta:
        model = Season
        fields = ["name", "first_use", "last_use"]
        widgets = {"first_use": DayInput, "last_use": DayInput}
