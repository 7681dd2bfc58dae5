"""When the railway runs: inspections due in a closed season move to before first use."""

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from assets.days import day
from assets.models.fields import Text


class Season(models.Model):
    """A stretch of days in which trains run; between seasons the points lie idle."""

    name = Text(max_length=60, unique=True)
    first_use = models.DateField("first day of use")
    last_use = models.DateField("last day of use")
    history = HistoricalRecords()

    class Meta:
        ordering = ["first_use", "pk"]
        constraints = [
            models.CheckConstraint(
                name="season_ends_after_it_begins",
                condition=Q(last_use__gte=F("first_use")),
                violation_error_message="The season cannot end before it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} ({day(self.first_use)} to {day(self.last_use)})"
