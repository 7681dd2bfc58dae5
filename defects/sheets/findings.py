"""Readings and examinations as the rows of the defects' sheets name them."""

from django.core.exceptions import ValidationError

from assets.models import Points
from assets.sheets.loading import Choice
from assets.workbook.columns import fold
from inspections.models import Examination, Reading
from inspections.sheets.visits import findings_at, names_of_findings

FINDING_HELP = "The name of a row in the sheet Readings or Examinations."


class Names:
    """Names of readings and examinations, read once when the first is asked for."""

    def __init__(self, choice: Choice):
        self._choice = choice
        self._names: dict[type, dict[int, str]] | None = None

    def of(self, reading: int | None, examination: int | None) -> str:
        """The name by primary key; "" where there is neither."""
        if reading is None and examination is None:
            return ""
        if self._names is None:
            self._names = names_of_findings(self._choice)
        model, pk = (Reading, reading) if reading is not None else (Examination, examination)
        return self._names[model][pk]


def finding_named(points: Points, name: str | None, field: str) -> Reading | Examination | None:
    """The reading or examination at these points that a row names; ValidationError if none."""
    if not name:
        return None
    found = findings_at(points.pk).get(fold(name))
    if found is None:
        raise ValidationError({field: f'{points.key} has no reading or examination "{name}".'})
    model, pk = found
    return model.objects.select_related("inspection", "position").get(pk=pk)
