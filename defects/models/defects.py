"""A defect: one thing wrong at one place, from raising to a proven close."""

from datetime import date

from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from assets.departments import Department
from assets.engineering.words import Lie, Side
from assets.models import PartLink, Points, Position
from assets.models.fields import LongText, Text, any_of, coded, coded_rule, measured, range_rule
from assets.models.fittings import PART_FIELDS
from defects.words import OPEN_STATES, State, TemporaryMeasure, Urgency
from inspections.catalogue.where import Where
from inspections.models import Examination, Reading
from inspections.models.visits import word_or_blank
from inspections.verdicts.finding import Found, Subject
from inspections.words import SubjectKind, Way

OPEN = any_of("state", OPEN_STATES)
MEASURE_STANDS = any_of(
    "temporary_measure",
    [measure.value for measure in TemporaryMeasure if measure != TemporaryMeasure.NONE],
)


class DefectQuerySet(models.QuerySet):
    def open(self) -> "DefectQuerySet":
        return self.filter(OPEN)

    def owned_by(self, department: Department) -> "DefectQuerySet":
        """Open defects that this department holds now."""
        return self.open().filter(owner=department)

    def standing(self) -> "DefectQuerySet":
        """All but those raised in error."""
        return self.exclude(state=State.IN_ERROR.value)

    def with_measure(self) -> "DefectQuerySet":
        """Those whose temporary measure has not been lifted, closed ones too."""
        return self.filter(MEASURE_STANDS)

    def overdue(self, at: date) -> "DefectQuerySet":
        return self.open().filter(due_on__lt=at)

    def most_urgent_first(self) -> "DefectQuerySet":
        order = models.Case(
            *(
                models.When(urgency=urgency.value, then=models.Value(place))
                for place, urgency in enumerate(Urgency)
            )
        )
        return self.order_by(order, "due_on", "number", "pk")

    def in_walking_order(self) -> "DefectQuerySet":
        """Along the line, and at each set of points from the toe."""
        return self.order_by(
            "points__location__mileage",
            "points__location__code",
            "points__number_order",
            "points__number",
            models.F("position__order").asc(nulls_first=True),
            "due_on",
            "number",
            "pk",
        )

    def with_links(self) -> "DefectQuerySet":
        """What every list and page shows of a defect, in one query."""
        return self.select_related(
            "points__location", "position__points__location", *PART_FIELDS, "route"
        )


class Defect(PartLink):
    """Who holds it is ``owner``; who mends and who checks are fixed unless it is handed over."""

    number = models.PositiveIntegerField(unique=True)
    points = models.ForeignKey(Points, on_delete=models.PROTECT, related_name="defects")
    position = models.ForeignKey(
        Position, null=True, blank=True, on_delete=models.PROTECT, related_name="defects"
    )
    route = models.ForeignKey(
        "defects.Route", null=True, blank=True, on_delete=models.PROTECT, related_name="defects"
    )
    # What was found, as ``Found`` has it, and where exactly, as the reading says it.
    subject_kind = Text(max_length=24, blank=True, choices=SubjectKind.choices())
    subject = Text(max_length=60, blank=True)
    way = Text(max_length=24, blank=True, choices=Way.choices())
    gauge_out = models.BooleanField(default=False)
    at_mm = measured("place, from the toe")
    side = Text(max_length=24, blank=True, choices=Side.choices())
    lie = Text(max_length=24, blank=True, choices=Lie.choices())
    reading = models.ForeignKey(
        Reading, null=True, blank=True, on_delete=models.PROTECT, related_name="defects"
    )
    examination = models.ForeignKey(
        Examination, null=True, blank=True, on_delete=models.PROTECT, related_name="defects"
    )
    title = Text(max_length=160)
    description = LongText(blank=True)
    remedy = Text(max_length=300, blank=True)
    urgency = coded(Urgency, "urgency", default=Urgency.PLANNED.value)
    state = coded(State, "state", default=State.RAISED.value, editable=False)
    owner = coded(Department, "held by", default=Department.SIGNALLING.value)
    mends = coded(Department, "mends", default=Department.SIGNALLING.value)
    checks = coded(Department, "checks", default=Department.SIGNALLING.value)
    raised_at = models.DateTimeField()
    raised_by = Text(max_length=80)
    due_on = models.DateField(null=True, blank=True)
    work_done_at = models.DateTimeField(null=True, blank=True, editable=False)
    closed_at = models.DateTimeField(null=True, blank=True, editable=False)
    temporary_measure = coded(
        TemporaryMeasure, "temporary measure", default=TemporaryMeasure.NONE.value
    )
    needs_cause = models.BooleanField(default=False)
    cause = Text("cause found", max_length=300, blank=True)
    repeat_of = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="repeats"
    )
    caused_by = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="consequences"
    )
    # Counts the moves, so that a person acting on an old page is told what changed meanwhile.
    version = models.PositiveIntegerField(default=0, editable=False)
    history = HistoricalRecords()

    objects = DefectQuerySet.as_manager()

    class Meta:
        ordering = ["-number", "-pk"]
        constraints = [
            coded_rule("defect", "urgency", Urgency),
            coded_rule("defect", "state", State),
            coded_rule("defect", "owner", Department),
            coded_rule("defect", "mends", Department),
            coded_rule("defect", "checks", Department),
            coded_rule("defect", "temporary_measure", TemporaryMeasure),
            word_or_blank("defect", "subject_kind", [kind.value for kind in SubjectKind]),
            word_or_blank("defect", "way", [way.value for way in Way]),
            word_or_blank("defect", "side", [Side.LEFT.value, Side.RIGHT.value]),
            word_or_blank("defect", "lie", [Lie.LEFT_CLOSED.value, Lie.RIGHT_CLOSED.value]),
            range_rule("defect", "at_mm", 30_000),
            models.CheckConstraint(
                name="defect_has_at_most_one_part",
                condition=Q(stretcher__isnull=True, machine__isnull=True)
                | Q(stretcher__isnull=True, lost_motion_fitting__isnull=True)
                | Q(machine__isnull=True, lost_motion_fitting__isnull=True),
                violation_error_message="A defect names one part at most.",
            ),
            models.CheckConstraint(
                name="defect_closed_has_a_time",
                condition=Q(state=State.CLOSED.value, closed_at__isnull=False)
                | (~Q(state=State.CLOSED.value) & Q(closed_at__isnull=True)),
                violation_error_message="A closed defect has a time of closing; others have none.",
            ),
            models.CheckConstraint(
                name="defect_closed_has_its_cause",
                condition=~Q(state=State.CLOSED.value) | Q(needs_cause=False) | ~Q(cause=""),
                violation_error_message=(
                    "A loose or broken fixing needs a stated cause before it can be closed."
                ),
            ),
            models.CheckConstraint(
                name="defect_not_a_repeat_of_itself",
                condition=Q(repeat_of__isnull=True) | ~Q(repeat_of=models.F("pk")),
                violation_error_message="A defect cannot be a repeat of itself.",
            ),
            models.CheckConstraint(
                name="defect_title_given",
                condition=~Q(title=""),
                violation_error_message="Say what is wrong.",
            ),
        ]
        indexes = [
            models.Index(
                # All that counting and ordering a queue takes, so that it reads nothing else.
                fields=["owner", "urgency", "due_on", "number", "state"],
                name="defect_open_queue",
                condition=OPEN,
            ),
            models.Index(
                fields=["temporary_measure"],
                name="defect_measure_stands",
                condition=MEASURE_STANDS,
            ),
            models.Index(fields=["points", "subject"], name="defect_by_place"),
            models.Index(fields=["points", "state"], name="defect_by_points"),
        ]

    def __str__(self) -> str:
        return f"Defect {self.number}: {self.title}"

    def get_absolute_url(self) -> str:
        return reverse("defects:defect", args=[self.number])

    @property
    def is_open(self) -> bool:
        return State(self.state).is_open

    @property
    def found(self) -> Found:
        """What was found, as the routing table and the rules for closing take it."""
        return Found(Subject(self.subject_kind, self.subject), self.way, self.gauge_out)

    @property
    def where(self) -> Where:
        """Exact where it was raised from a reading; by hand no side, lie or distance is named."""
        exact = self.reading_id is not None
        return Where(self.points_id, self.position_id, self.at_mm, self.side, self.lie, exact)

    @property
    def crosses_departments(self) -> bool:
        """On the interface: one department mends, the other checks."""
        return self.mends != self.checks
