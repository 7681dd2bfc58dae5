"""Photographs of what was looked at on a visit."""

from django.db import models

from assets.models.photographs import PhotoLink

from .visits import Examination


class ExaminationPhoto(PhotoLink):
    """A photograph of one thing as it was found."""

    examination = models.ForeignKey(Examination, on_delete=models.PROTECT, related_name="photos")

    class Meta:
        ordering = ["photo__added_at", "pk"]

    def __str__(self) -> str:
        return f"{self.examination}: {self.photo}"
