"""The boxes that photographs come in by."""

from django import forms
from django.core.exceptions import ValidationError

from assets.photographs.keeping import Picture, prepare_all
from assets.plain_text import PlainText

MOST_AT_ONCE = 6


class CameraInput(forms.FileInput):
    """Opens the phone's camera, or lets a picture be chosen where there is none."""

    allow_multiple_selected = True

    def __init__(self, **attrs):
        super().__init__(attrs={"accept": "image/*", "capture": "environment", **attrs})


class PhotosField(forms.FileField):
    """Up to six photographs; gives Pictures that are ready to be kept."""

    def __init__(self, **options):
        super().__init__(**{"widget": CameraInput(), **options})

    def clean(self, data, initial=None) -> list[Picture]:
        files = [file for file in (data or []) if file]
        if not files:
            super().clean(None, initial)
            return []
        if len(files) > MOST_AT_ONCE:
            raise ValidationError(f"Send at most {MOST_AT_ONCE} photographs at once.")
        return prepare_all(files)


class PhotoForm(forms.Form):
    """Photographs of one thing, with a line on what they show."""

    photographs = PhotosField(
        label="Photographs",
        help_text="JPEG, PNG or WebP, at most 12 MB each. Where they were taken is not stored.",
    )
    caption = PlainText(label="What they show", max_length=200, required=False)


class TakeDownForm(forms.Form):
    reason = PlainText(label="Why it is taken down", max_length=200)
