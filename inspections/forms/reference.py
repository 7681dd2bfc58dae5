"""Instruments, their checks, and seasons."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from assets.engineering.figures import FigureRefused, figure
from assets.forms import DayInput
from assets.plain_text import PlainText
from inspections.models import Instrument, InstrumentCheck, Season
from inspections.words import InstrumentKind


def _shown(form: forms.ModelForm, *names: str) -> None:
    """Figures as people write them: 0.5, not 0.5000001."""
    for name in names:
        form.fields[name].widget.attrs["inputmode"] = "decimal"
        if isinstance(value := form.initial.get(name), float):
            form.initial[name] = f"{value:.15g}"


def _read(written: str, unit: str) -> float | None:
    try:
        return figure(written, unit) if written else None
    except FigureRefused as wrong:
        raise ValidationError(str(wrong)) from None


class InstrumentForm(forms.ModelForm):
    resolution = PlainText(
        required=False,
        help_text="The least step that it is read to: mm, N·m for a torque wrench, Ω for an "
        "insulation tester. Blank: not known.",
    )
    uncertainty = PlainText(
        required=False,
        help_text="As one σ, in the same unit: half of what a certificate gives with k = 2. Blank: "
        "not known.",
    )

    class Meta:
        model = Instrument
        fields = ["tag", "kind", "resolution", "uncertainty", "repeats", "check_due", "note"]
        widgets = {"check_due": DayInput}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        _shown(self, "resolution", "uncertainty")

    def _figure(self, name: str) -> float | None:
        kind = self.cleaned_data.get("kind")
        return _read(self.cleaned_data[name], InstrumentKind(kind).unit) if kind else None

    def clean_resolution(self):
        return self._figure("resolution")

    def clean_uncertainty(self):
        return self._figure("uncertainty")


class CheckForm(forms.ModelForm):
    """A check of one instrument; ``mistaken`` is the check that it is entered in place of."""

    passed = forms.TypedChoiceField(
        label="Result",
        choices=[("", "choose"), ("yes", "passed"), ("no", "did not pass")],
        coerce=lambda word: word == "yes",
    )
    found_error = PlainText(label="Error found", required=False)

    class Meta:
        model = InstrumentCheck
        fields = ["day", "by", "certificate", "passed", "found_error", "next_due"]
        widgets = {"day": DayInput, "next_due": DayInput}

    def __init__(
        self, *args, instrument: Instrument, mistaken: InstrumentCheck | None = None, **kwargs
    ):
        super().__init__(*args, **kwargs)
        self.instance.instrument, self.instance.corrects = instrument, mistaken
        self.fields["found_error"].help_text = (
            f"In {instrument.unit}: the most that it was off, above 0 where it showed too much. "
            "Blank: not stated."
        )
        if mistaken is not None:
            for name in self.Meta.fields:
                self.initial[name] = getattr(mistaken, name)
            self.initial["passed"] = "yes" if mistaken.passed else "no"
            self.fields["correction_reason"] = PlainText(
                label="Why it is corrected", max_length=200
            )
        _shown(self, "found_error")

    def clean_found_error(self):
        return _read(self.cleaned_data["found_error"], self.instance.instrument.unit)

    def clean_day(self):
        day = self.cleaned_data["day"]
        if day > timezone.localdate():
            raise ValidationError("A check cannot be in the future.")
        return day

    def save(self, by: str) -> InstrumentCheck:
        """Entered by this person; a correction with its reason."""
        self.instance.entered_by = by
        self.instance.correction_reason = self.cleaned_data.get("correction_reason", "")
        return super().save()

    def _post_clean(self) -> None:
        self.instance.correction_reason = self.cleaned_data.get("correction_reason", "")
        super()._post_clean()


class SeasonForm(forms.ModelForm):
    class Meta:
        model = Season
        fields = ["name", "first_use", "last_use"]
        widgets = {"first_use": DayInput, "last_use": DayInput}
