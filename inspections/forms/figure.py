"""A figure of the railway, confirmed."""

from assets.engineering.assumed import Assumption
from assets.figure_fields import FigureField
from assets.forms import RegisterForm
from assets.models import RailwayFigure


class FigureForm(RegisterForm):
    """The figure and where it is from; who confirms it, and the day, are those of the sending."""

    class Meta:
        model = RailwayFigure
        fields = ["value", "source"]

    def __init__(self, *args, row: Assumption, **kwargs):
        super().__init__(*args, **kwargs)
        self.instance.code = row.code.value
        if self.instance.pk is None:
            self.initial["value"] = row.value
        label = f"Value ({row.unit})" if row.unit else "Value"
        told = f"Assumed: {row.assumed}. It can be {row.range}."
        self.fields["value"] = FigureField(unit=row.unit, label=label, help_text=told)
