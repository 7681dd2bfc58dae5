"""The box for text in every form: what it gives the register can keep, print and export."""

from django import forms

from assets.workbook.texts import LONGEST_TEXT, fits_a_cell, plain


def text_fits(text: str) -> None:
    """Raises ValidationError where a cell of a workbook could not hold the text."""
    if not fits_a_cell(text):
        raise forms.ValidationError(f"This is too long: at most {LONGEST_TEXT} characters.")


class PlainText(forms.CharField):
    """A line or more of text, without control characters (see ``assets.workbook.texts``)."""

    default_validators = [text_fits]

    def to_python(self, value):
        return super().to_python(plain(value) if isinstance(value, str) else value)
