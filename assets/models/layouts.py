"""Matchings: which column of a railway's own spreadsheet holds what, kept by name."""

from django.db import models

from assets.workbook.layout import Layout

from .fields import PlainData, Text


class Matching(models.Model):
    """One sheet of a spreadsheet pattern against one sheet of the register."""

    name = Text(max_length=80, unique=True)
    layout = PlainData()
    made_by = Text(max_length=80, blank=True)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def as_layout(self) -> Layout:
        return Layout.from_data(self.layout)
