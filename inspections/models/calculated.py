"""What the arithmetic of the switch came to at each set of points, kept so that no list has to
calculate the whole railway again.

How far it is kept up stands in ``Outlook.calculated``; ``config.points.to_measure`` calculates what
has become stale. What is stale is never shown as true.
"""

from datetime import date

from django.db import connections, models

from assets.engineering.words import Lie, ServiceState
from assets.models import Points, Position
from assets.models.fields import LongText, Text, coded
from inspections.models.ahead import Outlook, is_calculated
from inspections.words import CalculatedFinding

_ALONG = tuple(
    f"points__{field}"
    for field in ("location__mileage", "location__code", "number_order", "number", "pk")
)


class LeastClearance(models.Model):
    """The least free wheel clearance along the switch on one lie, as calculated."""

    points = models.ForeignKey(Points, on_delete=models.CASCADE, related_name="least_clearances")
    lie = Text(max_length=24, choices=Lie.choices())
    mm = models.FloatField()
    at_mm = models.FloatField()  # from the toe
    sigma_mm = models.FloatField(null=True)  # None: not known how sure

    class Meta:
        ordering = ["points_id", "lie", "pk"]

    def __str__(self) -> str:
        return f"{self.points}: {self.mm:.1f} mm"


class ToMeasureQuerySet(models.QuerySet):
    def standing(self, at: date) -> "ToMeasureQuerySet":
        """Those that hold on a day: of points in use, and of nothing that changed since."""
        in_use = models.Q(points__service_state=ServiceState.IN_USE.value)
        return self.filter(in_use, is_calculated(at, "points__outlook__"))

    def first_of_each(self) -> "ToMeasureQuerySet":
        """The gravest of each set of points, the gravest of all first, along the line."""
        return self.filter(others__isnull=False).order_by("rank", *_ALONG, "pk")

    def along_the_line(self) -> "ToMeasureQuerySet":
        """The sets of points in walking order, at each the gravest first."""
        return self.order_by(*_ALONG, "rank", "pk")


class ToMeasure(models.Model):
    """One thing that the arithmetic finds: something to measure, never a defect by itself."""

    points = models.ForeignKey(Points, on_delete=models.CASCADE, related_name="to_measure")
    found = coded(CalculatedFinding, "finding", default=CalculatedFinding.TOO_CLOSE.value)
    rank = models.PositiveSmallIntegerField()  # of the finding, the gravest first
    position = models.ForeignKey(Position, null=True, on_delete=models.CASCADE, related_name="+")
    sentence = LongText()
    doubts = models.BooleanField(default=False)  # whether nothing is to be turned before it
    others = models.PositiveSmallIntegerField(null=True)  # of the first only: how many more

    objects = ToMeasureQuerySet.as_manager()

    class Meta:
        ordering = ["points_id", "rank", "pk"]

    def __str__(self) -> str:
        return f"{self.points}: {self.get_found_display()}"

    @property
    def more(self) -> str:
        """How much else there is at these points: "", "(and 1 more)"."""
        return f"(and {self.others} more)" if self.others else ""


def calculate_again(using: str = "default", **kwargs) -> None:
    """Makes all of it stale: another release may calculate otherwise."""
    if Outlook._meta.db_table in connections[using].introspection.table_names():
        Outlook.objects.using(using).update(calculated=-1)
