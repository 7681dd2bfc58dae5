"""The routing table: what was found, who mends it, who checks it."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from assets.departments import Department
from assets.models.fields import Text, coded, coded_rule
from defects.words import Urgency
from inspections.models.visits import word_or_blank
from inspections.verdicts.finding import Found, Subject
from inspections.words import SubjectKind, Way


class Route(models.Model):
    """One row of the routing table; the railway may change it. What is found: see ``Found``."""

    subject_kind = Text(max_length=24, blank=True, choices=SubjectKind.choices())
    subject = Text(max_length=60)
    way = Text(max_length=24, blank=True, choices=Way.choices())
    gauge_out = models.BooleanField(default=False)
    title = Text(max_length=120, help_text="What was found, in words.")
    mends = coded(Department, "mends", default=Department.SIGNALLING.value)
    works_with = Text("works with", max_length=24, blank=True, choices=Department.choices())
    checks = coded(Department, "checks", default=Department.SIGNALLING.value)
    remedy = Text("usual remedy", max_length=300, blank=True)
    urgency = coded(Urgency, "urgency", default=Urgency.PLANNED.value)
    needs_cause = models.BooleanField("needs a stated cause before it can be closed", default=False)
    source = Text(max_length=200, default="common practice, no source")
    history = HistoricalRecords()

    class Meta:
        ordering = ["subject_kind", "subject", "way", "gauge_out", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["subject_kind", "subject", "way", "gauge_out"],
                name="route_once",
                violation_error_message="There is already a row for this.",
            ),
            word_or_blank("route", "subject_kind", [kind.value for kind in SubjectKind]),
            word_or_blank("route", "way", [way.value for way in Way]),
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

    @property
    def found(self) -> Found:
        return Found(Subject(self.subject_kind, self.subject), self.way, self.gauge_out)
