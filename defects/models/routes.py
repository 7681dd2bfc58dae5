"""The routing table: what was found, who mends it, who checks it."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from assets.departments import Department
from assets.models.fields import Text, coded, coded_rule
from defects.words import Urgency


class RouteQuerySet(models.QuerySet):
    def get_by_natural_key(self, found: str) -> "Route":
        return self.get(found=found)


class Route(models.Model):
    """One row of the routing table; the railway may change it.

    ``found`` is a code: a quantity and a direction ("fwc.below"), with ".gauge_out" where the track
    gauge is out as well; an examination ("item.weld"); or a register check
    ("check.too_few_rods").
    """

    found = Text(max_length=60, unique=True)
    title = Text(max_length=120, help_text="What was found, in words.")
    mends = coded(Department, "mends", default=Department.SIGNALLING.value)
    works_with = Text("works with", max_length=24, blank=True, choices=Department.choices())
    checks = coded(Department, "checks", default=Department.SIGNALLING.value)
    remedy = Text("usual remedy", max_length=300, blank=True)
    urgency = coded(Urgency, "urgency", default=Urgency.PLANNED.value)
    needs_cause = models.BooleanField("needs a stated cause before it can be closed", default=False)
    source = Text(max_length=200, default="common practice, no source")
    history = HistoricalRecords()

    objects = RouteQuerySet.as_manager()

    class Meta:
        ordering = ["found", "pk"]
        constraints = [
            coded_rule("route", "mends", Department),
            coded_rule("route", "checks", Department),
            coded_rule("route", "urgency", Urgency),
            models.CheckConstraint(
                name="route_works_with_word",
                condition=Q(works_with__in=["", *[d.value for d in Department]]),
                violation_error_message="Works with must be a department or blank.",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def natural_key(self) -> tuple[str]:
        return (self.found,)
