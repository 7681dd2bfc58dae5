"""The framework's own sentences that people meet most, in the words of the rest of the program."""

from django import forms
from django.db import models

EMPTY = "Fill this in."
NOT_THERE = "%(value)s is not in the list: choose one that is."


def speak_plainly() -> None:
    """Once, when the program starts; a field that has its own sentence keeps it."""
    forms.Field.default_error_messages |= {"required": EMPTY}
    forms.ModelChoiceField.default_error_messages |= {"invalid_choice": NOT_THERE}
    forms.ModelMultipleChoiceField.default_error_messages |= {"invalid_choice": NOT_THERE}
    forms.ChoiceField.default_error_messages |= {"invalid_choice": NOT_THERE}
    models.Field.default_error_messages |= {"blank": EMPTY, "null": EMPTY}
