"""The figures that the railway has confirmed; any other is assumed (assets.engineering.assumed)."""

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from assets.days import day
from assets.engineering.assumed import ASSUMPTIONS, BY_CODE, FigureCode

from .fields import Text, coded_rule


def _plausible() -> Q:
    """Each figure is within what it can be; NaN and infinity are within nothing."""
    ways = Q()
    for row in ASSUMPTIONS:
        ways |= Q(code=row.code.value, value__gte=row.least, value__lte=row.most)
    return ways


class RailwayFigure(models.Model):
    """One figure of the railway, with who confirmed it and where it is from."""

    code = Text("figure", max_length=24, choices=FigureCode.choices(), unique=True)
    value = models.FloatField("value (in the unit of the figure)")
    source = Text(
        max_length=120,
        help_text="Where it is from: a standard, a drawing, the engineer's letter. Sentences that "
        "tell the figure name this.",
    )
    confirmed_by = Text(max_length=80)
    confirmed_on = models.DateField()
    account = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        null=True,
        editable=False,
        on_delete=models.PROTECT,
        related_name="+",
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["code", "pk"]
        verbose_name = "figure of the railway"
        constraints = [
            coded_rule("railway_figure", "code", FigureCode),
            models.CheckConstraint(
                name="railway_figure_plausible",
                condition=_plausible(),
                violation_error_message="The figure is outside what such a figure can be.",
            ),
            models.CheckConstraint(
                name="railway_figure_confirmed",
                condition=~Q(confirmed_by="") & ~Q(source=""),
                violation_error_message="Say who confirmed the figure, and where it is from.",
            ),
        ]

    def __str__(self) -> str:
        return f"{FigureCode(self.code).label}, {self.written}"

    @property
    def written(self) -> str:
        """The figure with its unit: "20 mm"."""
        return BY_CODE[self.code].written(self.value)

    @property
    def standing(self) -> str:
        """ "confirmed by Engineer C on 3 May 2026 from the engineer's letter 4"."""
        return f"confirmed by {self.confirmed_by} on {day(self.confirmed_on)} from {self.source}"

    def clean(self) -> None:
        row = BY_CODE.get(self.code)
        if row and self.value is not None and not row.least <= self.value <= row.most:
            raise ValidationError({"value": f"This figure is between {row.least:g} and "
                                            f"{row.written(row.most)}."})  # fmt: skip
