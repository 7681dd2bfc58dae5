"""What readings are taken with, how finely it reads, and every check that it passed or failed."""

from datetime import date

from django.db import models
from django.db.models import F, Q
from simple_history.models import HistoricalRecords

from assets.days import day
from assets.models.fields import Text, coded, coded_rule, measured, range_rule
from inspections.models.entry import Entry, correction_rule
from inspections.words import InstrumentKind

IN_ITS_UNIT = "in the unit of its kind"


class InstrumentQuerySet(models.QuerySet):
    def with_checks(self) -> "InstrumentQuerySet":
        """What asks for checks then asks the database once for all; one query more."""
        return self.prefetch_related("checks")


class Instrument(models.Model):
    tag = Text(max_length=20, unique=True)
    kind = coded(InstrumentKind, "kind", default=InstrumentKind.RULE.value)
    resolution = measured(
        "resolution", IN_ITS_UNIT, help_text="The least step that it is read to. Blank: not known."
    )
    uncertainty = measured(
        "uncertainty",
        IN_ITS_UNIT,
        help_text="As one σ: half of what a certificate gives with k = 2. Blank: not known.",
    )
    repeats = models.BooleanField(
        "repeatability was found with it",
        default=False,
        help_text="The railway's figure for how far readings differ was found with this very one: "
        "its own uncertainty is in that already.",
    )
    check_due = models.DateField(
        null=True,
        blank=True,
        help_text="Counts until its first check is recorded. Blank: not known.",
    )
    note = Text(max_length=200, blank=True)
    history = HistoricalRecords()

    objects = InstrumentQuerySet.as_manager()

    class Meta:
        ordering = ["tag", "pk"]
        constraints = [
            coded_rule("instrument", "kind", InstrumentKind),
            range_rule("instrument", "resolution", 1e9, unit=IN_ITS_UNIT),
            range_rule("instrument", "uncertainty", 1e9, unit=IN_ITS_UNIT),
        ]

    def __str__(self) -> str:
        return f"{self.tag} ({InstrumentKind(self.kind).label})"

    def clean(self) -> None:
        self.tag = " ".join(self.tag.split())

    @property
    def unit(self) -> str:
        return InstrumentKind(self.kind).unit

    def written(self, value: float | None, otherwise: str = "not known") -> str:
        """A figure of it with its unit: "0.2 mm"."""
        return otherwise if value is None else f"{value:.10g} {self.unit}"

    @property
    def resolution_words(self) -> str:
        return self.written(self.resolution)

    @property
    def uncertainty_words(self) -> str:
        return self.written(self.uncertainty)

    @property
    def standing_checks(self) -> list["InstrumentCheck"]:
        """The checks that no later entry has corrected, the latest first."""
        checks = list(self.checks.all())
        corrected = {check.corrects_id for check in checks}
        standing = [check for check in checks if check.pk not in corrected]
        return sorted(standing, key=lambda check: (check.day, check.pk), reverse=True)

    def last_check(self, on: date) -> "InstrumentCheck | None":
        """The last check by a day, that day's own included."""
        return next((check for check in self.standing_checks if check.day <= on), None)

    def due(self, on: date) -> date | None:
        """When its next check was due as things stood on a day; None: not known."""
        last = self.last_check(on)
        return last.next_due if last else self.check_due

    def past_check(self, on: date) -> bool:
        """Whether it had failed its last check by a day, or the next was overdue; one whose due
        day is not known is not marked."""
        last, due = self.last_check(on), self.due(on)
        return bool(last and not last.passed) or (due is not None and due < on)

    def check_words(self, on: date) -> str:
        """ "due 3 May 2026", "check overdue, due 3 May 2026", "check due: not known"."""
        last, due = self.last_check(on), self.due(on)
        if last and not last.passed:
            return f"did not pass its check of {day(last.day)}"
        if due is None:
            return "check due: not known"
        return f"check overdue, due {day(due)}" if due < on else f"due {day(due)}"


class InstrumentCheck(Entry):
    """One check of an instrument: never changed; a correction refers to the mistaken one."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="checks")
    day = models.DateField("checked on")
    by = Text("checked by", max_length=80)
    certificate = Text(max_length=80, blank=True)
    passed = models.BooleanField()
    found_error = measured(
        "error found",
        IN_ITS_UNIT,
        help_text="The most that it was off, above 0 where it showed too much. Blank: not stated.",
    )
    next_due = models.DateField(
        "next check due", null=True, blank=True, help_text="Blank: not known."
    )
    history = HistoricalRecords()

    class Meta:
        ordering = ["instrument", "-day", "-pk"]
        verbose_name = "check"
        constraints = [
            correction_rule("instrument_check"),
            range_rule("instrument_check", "found_error", 1e9, -1e9, unit=IN_ITS_UNIT),
            models.CheckConstraint(
                name="instrument_check_who_given",
                condition=~Q(by=""),
                violation_error_message="Say who checked it.",
            ),
            models.CheckConstraint(
                name="instrument_check_due_after",
                condition=Q(next_due__isnull=True) | Q(next_due__gt=F("day")),
                violation_error_message="The next check is due after the day of this one.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.instrument.tag}, {day(self.day)}: {self.result}"

    @property
    def result(self) -> str:
        return "passed" if self.passed else "did not pass"

    @property
    def error_words(self) -> str:
        """Reads the instrument."""
        return self.instrument.written(self.found_error, "not stated")
