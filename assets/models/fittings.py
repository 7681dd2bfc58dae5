"""Which part is, or was, where: a part's story is its list of fittings."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from assets.days import day
from assets.engineering.suitability.answers import Outcome

from .fields import LongText, Text
from .parts import LostMotionFitting, Machine, Stretcher

PART_FIELDS = ("stretcher", "machine", "lost_motion_fitting")
MISFIT = Outcome.DOES_NOT_SUIT.value
PART_KINDS = {"stretcher": Stretcher, "machine": Machine, "lost_motion_fitting": LostMotionFitting}


class PartLink(models.Model):
    """A link to one part of any kind. The parts differ too much to share a table."""

    stretcher = models.ForeignKey(
        Stretcher, null=True, blank=True, on_delete=models.PROTECT, related_name="%(class)ss"
    )
    machine = models.ForeignKey(
        Machine, null=True, blank=True, on_delete=models.PROTECT, related_name="%(class)ss"
    )
    lost_motion_fitting = models.ForeignKey(
        LostMotionFitting,
        null=True,
        blank=True,
        on_delete=models.PROTECT,
        related_name="%(class)ss",
    )

    class Meta:
        abstract = True

    @property
    def part(self):
        """The linked part, or None."""
        return self.stretcher or self.machine or self.lost_motion_fitting

    @property
    def part_field(self) -> str | None:
        """Which of the three fields holds the part."""
        return next((f for f in PART_FIELDS if getattr(self, f"{f}_id")), None)


def link_field(part) -> str:
    """The field of a PartLink that holds this part."""
    return next(field for field, model in PART_KINDS.items() if isinstance(part, model))


def one_part() -> Q:
    """Exactly one of the three fields is filled."""
    ways = Q()
    for chosen in PART_FIELDS:
        ways |= Q(**{f"{field}__isnull": field != chosen for field in PART_FIELDS})
    return ways


class FittingQuerySet(models.QuerySet):
    def current(self) -> "FittingQuerySet":
        """Fittings that have not ended."""
        return self.filter(taken_out_on__isnull=True)

    def on(self, day: date) -> "FittingQuerySet":
        """What was fitted on a day; a part taken out that day no longer counts."""
        return self.filter(fitted_on__lte=day).filter(
            Q(taken_out_on__isnull=True) | Q(taken_out_on__gt=day)
        )

    def of(self, part) -> "FittingQuerySet":
        return self.filter(**{link_field(part): part})

    def in_order(self) -> "FittingQuerySet":
        """The latest first; within a day as the work was done."""
        return self.order_by("-fitted_on", "-order_on_day", "-pk")

    def against_the_verdict(self) -> "FittingQuerySet":
        """Parts there still that did not suit when they were fitted, and no engineer agreed."""
        return self.current().filter(outcome=MISFIT, agreed_on__isnull=True)

    def story_of(self, points) -> "FittingQuerySet":
        """What was ever fitted at a set of points, the latest first, with part and position."""
        return self.story_of_each([points])

    def story_of_each(self, all_points) -> "FittingQuerySet":
        """The same at many sets of points."""
        links = (*PART_FIELDS, "position__points__location")
        return self.filter(position__points__in=all_points).select_related(*links).in_order()


class Fitting(PartLink):
    """A part in a position, from a day until it is taken out."""

    position = models.ForeignKey(
        "assets.Position", on_delete=models.PROTECT, related_name="fittings"
    )
    fitted_on = models.DateField()
    order_on_day = models.PositiveSmallIntegerField(
        "order that day",
        default=1,
        help_text="2, 3 ... where the part or the place had a fitting earlier that day.",
    )
    found_fitted = models.BooleanField(
        "found fitted",
        default=False,
        help_text="The day is when it was found there; when it was fitted is not known.",
    )
    fitted_by = Text(max_length=80, blank=True)
    fitted_reason = Text("why it was fitted", max_length=200, blank=True)
    work_done = LongText("work done to it", blank=True, editable=False)
    outcome = Text(
        "result when it was fitted",
        max_length=24,
        choices=Outcome.choices(),
        blank=True,
        editable=False,
    )
    against = LongText("what was against it", blank=True, editable=False)
    agreed_on = models.DateField("agreed on", null=True, blank=True, editable=False)
    agreed_by = Text("agreed by", max_length=80, blank=True, editable=False)
    agreement = Text("what was agreed", max_length=200, blank=True, editable=False)
    taken_out_on = models.DateField(null=True, blank=True)
    taken_out_by = Text(max_length=80, blank=True)
    taken_out_reason = Text(max_length=200, blank=True)
    history = HistoricalRecords()

    objects = FittingQuerySet.as_manager()

    class Meta:
        ordering = ["-fitted_on", "-order_on_day", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="fitting_has_one_part",
                condition=one_part(),
                violation_error_message="A fitting is of one part: no less and no more.",
            ),
            models.CheckConstraint(
                name="fitting_ends_after_it_begins",
                condition=Q(taken_out_on__isnull=True) | Q(taken_out_on__gte=F("fitted_on")),
                violation_error_message="It cannot be taken out before it was fitted.",
            ),
            models.CheckConstraint(
                name="fitting_end_has_a_reason",
                condition=Q(taken_out_on__isnull=True) | ~Q(taken_out_reason=""),
                violation_error_message="Say why it was taken out.",
            ),
            models.CheckConstraint(
                name="fitting_order_on_day_counts",
                condition=Q(order_on_day__gte=1),
                violation_error_message="The order that day counts from 1.",
            ),
            models.CheckConstraint(
                name="fitting_outcome_word",
                condition=Q(outcome__in=["", *(outcome.value for outcome in Outcome)]),
                violation_error_message="The result must be one that the rules give.",
            ),
            models.CheckConstraint(
                name="fitting_misfit_says_against",
                condition=(Q(outcome=MISFIT) & ~Q(against=""))
                | (~Q(outcome=MISFIT) & Q(against="")),
                violation_error_message="What was against it belongs to a part that does not suit.",
            ),
            models.CheckConstraint(
                name="fitting_misfit_has_a_reason",
                condition=~Q(outcome=MISFIT) | Q(found_fitted=True) | ~Q(fitted_reason=""),
                violation_error_message="It does not suit here: say why it was fitted.",
            ),
            models.CheckConstraint(
                name="fitting_agreement_is_whole",
                condition=Q(agreed_on__isnull=True, agreed_by="", agreement="")
                | (
                    Q(agreed_on__gte=F("fitted_on"), outcome=MISFIT)
                    & ~Q(agreed_by="")
                    & ~Q(agreement="")
                ),
                violation_error_message=(
                    "An agreement is to a part that does not suit, not before it was fitted, and "
                    "says by whom and what."
                ),
            ),
            *(
                models.UniqueConstraint(
                    fields=[field],
                    condition=Q(taken_out_on__isnull=True, **{f"{field}__isnull": False}),
                    name=f"fitting_{field}_in_one_place",
                    violation_error_message=(
                        "This part is fitted somewhere already: take it out there first."
                    ),
                )
                for field in PART_FIELDS
            ),
            *(
                models.UniqueConstraint(
                    fields=["position"],
                    condition=Q(taken_out_on__isnull=True, **{f"{field}__isnull": False}),
                    name=f"fitting_one_{field}_per_position",
                    violation_error_message=(
                        "This position has a part of that kind already: take it out first."
                    ),
                )
                for field in PART_FIELDS
            ),
            *(
                models.UniqueConstraint(
                    fields=[field, "fitted_on", "order_on_day"],
                    name=f"fitting_{field}_in_order",
                    violation_error_message=(
                        "This part has another fitting on that day: give the order that day."
                    ),
                )
                for field in PART_FIELDS
            ),
            *(
                models.UniqueConstraint(
                    fields=["position", "fitted_on", "order_on_day"],
                    condition=Q(**{f"{field}__isnull": False}),
                    name=f"fitting_{field}_in_order_here",
                    violation_error_message=(
                        "A part of that kind was fitted here on that day: give the order that day."
                    ),
                )
                for field in PART_FIELDS
            ),
        ]

    def __str__(self) -> str:
        return f"{self.part} at {self.position}"

    def clean(self) -> None:
        """Says beside the form what the database would refuse: see assets.triggers."""
        part = self.part
        if part is None or self.position_id is None or self.fitted_on is None:
            return
        elsewhere = self._overlapping(Fitting.objects.of(part)).first()
        if elsewhere:
            raise ValidationError(
                f"{part} was at {elsewhere.position} from {day(elsewhere.fitted_on)}"
                f"{_until(elsewhere)}: a part is in one place at a time."
            )
        here = self._overlapping(self._rivals()).first()
        if here:
            raise ValidationError(
                f"{self.position} held {here.part} from {day(here.fitted_on)}"
                f"{_until(here)}: a position holds one part of a kind at a time."
            )

    @property
    def is_against_the_verdict(self) -> bool:
        """It did not suit when it was fitted, whoever agreed since, and is there still."""
        return self.outcome == MISFIT and self.taken_out_on is None

    def _rivals(self) -> FittingQuerySet:
        """Whatever part of the same kind was ever at the same place."""
        return Fitting.objects.filter(
            position=self.position_id, **{f"{self.part_field}__isnull": False}
        )

    def _overlapping(self, others: FittingQuerySet) -> FittingQuerySet:
        """Those of the others that had not ended when this began, or begin before it ended."""
        same_day = Q(fitted_on=self.fitted_on)
        first = Q(fitted_on__lt=self.fitted_on) | (same_day & Q(order_on_day__lt=self.order_on_day))
        later = Q(fitted_on__gt=self.fitted_on) | (same_day & Q(order_on_day__gt=self.order_on_day))
        lasting = Q(taken_out_on__isnull=True) | Q(taken_out_on__gt=self.fitted_on)
        begun = Q() if self.taken_out_on is None else Q(fitted_on__lt=self.taken_out_on)
        return others.exclude(pk=self.pk).filter((first & lasting) | (later & begun))

    def set_order_on_day(self) -> None:
        """Puts it after what was fitted earlier that day: of this part, and at this place."""
        that_day = Q(fitted_on=self.fitted_on)
        earlier = Fitting.objects.of(self.part).filter(that_day) | self._rivals().filter(that_day)
        last = earlier.aggregate(last=models.Max("order_on_day"))["last"]
        self.order_on_day = (last or 0) + 1


def _until(fitting: Fitting) -> str:
    return f" to {day(fitting.taken_out_on)}" if fitting.taken_out_on else " and still is"
