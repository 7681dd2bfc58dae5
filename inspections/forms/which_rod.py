"""The form that asks which rod was measured."""

from django import forms

from inspections.models import Difference
from inspections.words import WhichRod


class WhichRodForm(forms.Form):
    which = forms.ChoiceField(label="The readings are", widget=forms.RadioSelect)

    def __init__(self, difference: Difference, data=None):
        super().__init__(data)
        rods = {WhichRod.THEN: difference.rod_then, WhichRod.NOW: difference.rod_now}
        self.fields["which"].choices = [
            (word.value, f"{word.label}{f': {rods[word]}' if rods.get(word) else ''}")
            for word in WhichRod
            # Without a rod there is nothing that the readings could be of.
            if word == WhichRod.NOT_KNOWN or rods[word]
        ]
