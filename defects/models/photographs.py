"""Photographs of a defect."""

from django.db import models

from assets.models.photographs import PhotoLink

from .defects import Defect


class DefectPhoto(PhotoLink):
    """A photograph of what is wrong, or of how it was put right."""

    defect = models.ForeignKey(Defect, on_delete=models.PROTECT, related_name="photos")

    class Meta:
        ordering = ["photo__added_at", "pk"]

    def __str__(self) -> str:
        return f"{self.defect}: {self.photo}"
