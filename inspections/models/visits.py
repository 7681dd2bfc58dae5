"""Visits to a set of points: the readings taken and the things looked at."""

import uuid
from collections.abc import Sequence

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce, RowNumber
from django.urls import reverse

from assets.days import day
from assets.engineering.words import Lie, Side
from assets.models import Points, Position
from assets.models.fields import LongText, Text, any_of, coded, coded_rule, measured, range_rule
from inspections.catalogue.where import Where
from inspections.words import ItemCode, Look, QuantityCode, Reason, Verdict, Way

from .entry import Entry, correction_rule
from .instruments import Instrument
from .limits import Limit

OUT = any_of("verdict", [verdict.value for verdict in Verdict if verdict.is_out])


def word_or_blank(table: str, field: str, words: list[str]) -> models.CheckConstraint:
    """A field that holds one of these words, or nothing where it has no meaning."""
    return models.CheckConstraint(
        name=f"{table}_{field}_word_or_blank",
        condition=Q(**{f"{field}__in": ["", *words]}),
        violation_error_message=f"{field.capitalize()} must be {' or '.join(words)}, or blank.",
    )


def newest_of(entries: models.QuerySet, *place: str) -> models.QuerySet:
    """The newest entry of each place, to be narrowed further without looking behind it."""
    rank = models.Window(RowNumber(), partition_by=place, order_by=["-inspection__at", "-pk"])
    newest = entries.annotate(rank=rank).filter(rank=1)
    return entries.model.objects.filter(pk__in=newest.values("pk"))


def _count(rows: models.QuerySet) -> models.Func:
    """How many rows a subquery has."""
    counted = rows.order_by().values("inspection").annotate(n=models.Count("pk")).values("n")
    return Coalesce(models.Subquery(counted), 0)


class InspectionQuerySet(models.QuerySet):
    def latest_first(self) -> "InspectionQuerySet":
        return self.order_by("-at", "-pk")

    def with_counts(self) -> "InspectionQuerySet":
        """How much was read, how many readings are out and how many things defective."""
        readings = Reading.objects.standing().filter(inspection=models.OuterRef("pk"))
        looks = Examination.objects.standing().filter(inspection=models.OuterRef("pk"))
        return self.annotate(
            reading_count=_count(readings),
            out_count=_count(readings.out()),
            immediate_count=_count(readings.filter(verdict=Verdict.IMMEDIATE.value)),
            look_count=_count(looks),
            defective_count=_count(looks.out()),
        )


class Inspection(models.Model):
    """One visit to one set of points."""

    points = models.ForeignKey(Points, on_delete=models.PROTECT, related_name="inspections")
    at = models.DateTimeField("when")
    by = Text("who", max_length=80)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, null=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = coded(Reason, "why", default=Reason.ROUTINE.value)
    instruments = models.ManyToManyField(Instrument, blank=True, related_name="inspections")
    note = LongText(blank=True)
    # Made by whoever sends the visit, so that sending it twice records it once.
    client_id = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    recorded_at = models.DateTimeField(auto_now_add=True)
    # Too little of what the form asks was answered for it to count as the inspection.
    partial = models.BooleanField(default=False, editable=False)

    objects = InspectionQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            coded_rule("inspection", "reason", Reason),
            models.CheckConstraint(
                name="inspection_who_given",
                condition=~Q(by=""),
                violation_error_message="Say who made the visit.",
            ),
        ]
        indexes = [
            models.Index(fields=["points", "-at"], name="inspection_by_points"),
            models.Index(fields=["-at", "-id"], name="inspection_newest"),
        ]

    def __str__(self) -> str:
        return f"{self.points.key}, {day(self.at)}"

    def get_absolute_url(self) -> str:
        return reverse("inspections:inspection", args=[self.pk])

    @property
    def out_only(self) -> int:
        """Readings out of limits short of immediate action; of a visit ``with_counts``."""
        return self.out_count - self.immediate_count

    @property
    def too_thin(self) -> bool:
        """Made as an inspection, but not counted as one."""
        return self.partial and Reason(self.reason).is_whole


class ReadingQuerySet(models.QuerySet):
    def standing(self) -> "ReadingQuerySet":
        """Readings that no later entry has corrected."""
        return self.filter(correction__isnull=True)

    def out(self) -> "ReadingQuerySet":
        """Readings at intervention level or worse."""
        return self.filter(OUT)

    def taken(self) -> "ReadingQuerySet":
        """Standing readings that have a value."""
        return self.standing().filter(value__isnull=False)

    def sound(self) -> "ReadingQuerySet":
        """Within limits; past the alert limit only is still within."""
        return self.filter(verdict__in=[one.value for one in Verdict if one.is_sound])

    def same_place(self, where: Where) -> "ReadingQuerySet":
        return self.filter(**where.lookups())

    def latest(self) -> "ReadingQuerySet":
        """The last value taken of each quantity at each place; free places count as one."""
        place = ("inspection__points", "quantity", "position", "side", "lie")
        return newest_of(self.taken(), *place)

    def newest_along(self, quantities: Sequence[str]) -> "ReadingQuerySet":
        """The last value of these quantities on each lie at each distance, with its visit."""
        place = ("inspection__points", "quantity", "position", "at_mm", "lie")
        taken = self.taken().filter(quantity__in=quantities)
        return newest_of(taken, *place).select_related("inspection", "position")

    def in_time(self) -> "ReadingQuerySet":
        return self.order_by("inspection__at", "pk")


class Reading(Entry):
    """A value of one quantity at one place, with the limit that judged it then.

    ``side`` and ``lie`` are "" where the quantity has none. A lock test is 1 (locked) or 0.
    ``position`` and ``at_mm`` both blank means at the toe; ``at_mm`` is a place between rods.
    """

    inspection = models.ForeignKey(Inspection, on_delete=models.PROTECT, related_name="readings")
    quantity = coded(QuantityCode, "quantity", default=QuantityCode.FWC.value)
    position = models.ForeignKey(
        Position, null=True, blank=True, on_delete=models.PROTECT, related_name="readings"
    )
    at_mm = measured("place, from the toe")
    side = Text(max_length=24, blank=True, choices=Side.choices())
    lie = Text(max_length=24, blank=True, choices=Lie.choices())
    value = models.FloatField(null=True, blank=True)
    not_taken_reason = Text(max_length=120, blank=True)
    stretcher = models.ForeignKey(
        "assets.Stretcher",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="readings",
        help_text="The stretcher that was there when it was measured.",
    )
    instrument = models.ForeignKey(
        Instrument, null=True, blank=True, on_delete=models.PROTECT, related_name="readings"
    )
    instrument_past_check = models.BooleanField(default=False)
    verdict = coded(Verdict, "verdict", default=Verdict.NO_LIMIT.value)
    limit = models.ForeignKey(
        Limit, null=True, blank=True, on_delete=models.PROTECT, related_name="readings"
    )
    limit_confirmed = models.BooleanField(default=False)
    way = Text(max_length=24, blank=True, choices=Way.choices(), help_text="Past which end of it.")

    objects = ReadingQuerySet.as_manager()

    class Meta:
        ordering = ["inspection", "quantity", "pk"]
        constraints = [
            coded_rule("reading", "quantity", QuantityCode),
            coded_rule("reading", "verdict", Verdict),
            range_rule("reading", "value", 1e9, unit="in the quantity's unit"),
            range_rule("reading", "at_mm", 30_000),
            word_or_blank("reading", "side", [Side.LEFT.value, Side.RIGHT.value]),
            word_or_blank("reading", "lie", [Lie.LEFT_CLOSED.value, Lie.RIGHT_CLOSED.value]),
            word_or_blank("reading", "way", [way.value for way in Way]),
            correction_rule("reading"),
            models.CheckConstraint(
                name="reading_place_once",
                condition=Q(position__isnull=True) | Q(at_mm__isnull=True),
                violation_error_message=(
                    "A reading is at a stretcher or at a distance from the toe, not both."
                ),
            ),
            models.CheckConstraint(
                name="reading_value_or_why_not",
                condition=Q(value__isnull=False, not_taken_reason="")
                | (Q(value__isnull=True) & ~Q(not_taken_reason="")),
                violation_error_message="Give a value, or say why the reading was not taken.",
            ),
        ]
        indexes = [models.Index(fields=["verdict"], name="reading_out_of_limits", condition=OUT)]

    def __str__(self) -> str:
        return f"{QuantityCode(self.quantity).label} {self.value}"

    @property
    def where(self) -> Where:
        """Reads the visit and the position."""
        return Where(
            self.inspection.points_id,
            self.position_id,
            self.at_mm,
            self.side,
            self.lie,
            name=self.position.name if self.position else "",
        )


class ExaminationQuerySet(models.QuerySet):
    def standing(self) -> "ExaminationQuerySet":
        """Examinations that no later entry has corrected."""
        return self.filter(correction__isnull=True)

    def latest(self) -> "ExaminationQuerySet":
        """What was found when each thing at each place was last seen."""
        return newest_of(self.taken(), "inspection__points", "item", "position")

    def taken(self) -> "ExaminationQuerySet":
        """Standing examinations of what could be seen."""
        return self.standing().exclude(found=Look.NOT_SEEN.value)

    def out(self) -> "ExaminationQuerySet":
        """Found defective."""
        return self.filter(found=Look.DEFECTIVE.value)

    def sound(self) -> "ExaminationQuerySet":
        """Found good."""
        return self.filter(found=Look.GOOD.value)

    def same_place(self, where: Where) -> "ExaminationQuerySet":
        return self.filter(**where.lookups_of_looks())


class Examination(Entry):
    """A thing looked at: good, defective or not seen."""

    inspection = models.ForeignKey(
        Inspection, on_delete=models.PROTECT, related_name="examinations"
    )
    item = coded(ItemCode, "thing examined", default=ItemCode.FIXINGS.value)
    position = models.ForeignKey(
        Position, null=True, blank=True, on_delete=models.PROTECT, related_name="examinations"
    )
    found = coded(Look, "found", default=Look.NOT_SEEN.value)
    note = Text(max_length=300, blank=True)
    stretcher = models.ForeignKey(
        "assets.Stretcher",
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="examinations",
    )

    objects = ExaminationQuerySet.as_manager()

    class Meta:
        ordering = ["inspection", "item", "pk"]
        constraints = [
            coded_rule("examination", "item", ItemCode),
            coded_rule("examination", "found", Look),
            correction_rule("examination"),
        ]
        indexes = [
            models.Index(
                fields=["item", "position"],
                name="examination_defective",
                condition=Q(found="defective"),
            )
        ]

    def __str__(self) -> str:
        return f"{ItemCode(self.item).label}: {Look(self.found).label}"

    @property
    def where(self) -> Where:
        """Reads the visit and the position."""
        name = self.position.name if self.position else ""
        return Where(self.inspection.points_id, self.position_id, name=name)
