"""Entering anew what was entered wrongly."""

from django import forms

from assets.plain_text import PlainText
from inspections.catalogue.quantities import QUANTITIES
from inspections.models import Examination, Reading
from inspections.words import ItemCode, Look, QuantityCode

from .fields import box_for


def _reason() -> PlainText:
    return PlainText(label="Why the entry was wrong", max_length=200)


class ReadingCorrection(forms.Form):
    """The value as it should have been entered, or why there is none after all."""

    def __init__(self, reading: Reading, data=None):
        super().__init__(data)
        quantity = QUANTITIES[QuantityCode(reading.quantity)]
        place = reading.where.words
        self.what = f"{quantity.label}, {place}: {quantity.written(reading.value)}"
        self.fields["value"] = box_for(
            quantity, reading.inspection.points, label=f"Value ({quantity.unit})"
        )
        self.fields["not_taken_reason"] = PlainText(
            label="Or withdraw it, because",
            required=False,
            max_length=120,
            help_text="For a reading that was never taken there. Leave the value empty then.",
        )
        self.fields["reason"] = _reason()


class ExaminationCorrection(forms.Form):
    def __init__(self, examination: Examination, data=None):
        super().__init__(data)
        label = ItemCode(examination.item).label
        place = f", {examination.position.name}" if examination.position else ""
        self.what = f"{label}{place}: {Look(examination.found).label}"
        self.fields["found"] = forms.ChoiceField(
            label="Found", choices=Look.choices(), widget=forms.RadioSelect
        )
        self.fields["note"] = PlainText(label="Note", required=False, max_length=300)
        self.fields["reason"] = _reason()
