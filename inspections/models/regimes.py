"""How the railway tests locks and detection: which gauge, put where, must or must not."""

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from assets.models.fields import Text, measured, order_rule, range_rule
from inspections.catalogue.trials import Trial
from inspections.words import QuantityCode

THICKEST_MM = 30
_COLUMNS = {
    QuantityCode.LOCK_GO: "lock_go",
    QuantityCode.LOCK_NO_GO: "lock_no_go",
    QuantityCode.DETECT_GO: "detect_go",
    QuantityCode.DETECT_NO_GO: "detect_no_go",
}
_WORDS = {
    "lock_go": "gauge that must lock",
    "lock_no_go": "gauge that must not lock",
    "detect_go": "gauge that detection must make with",
    "detect_no_go": "gauge that detection must not make with",
}


def _put_somewhere(name: str) -> models.CheckConstraint:
    """A gauge and its place go together."""
    return models.CheckConstraint(
        name=f"regime_{name}_whole",
        condition=Q(**{f"{name}_mm__isnull": True, f"{name}_at": ""})
        | (Q(**{f"{name}_mm__isnull": False}) & ~Q(**{f"{name}_at": ""})),
        violation_error_message=f"Say both how thick the {_WORDS[name]} is and where it is put.",
    )


def _place(name: str):
    return Text(f"{_WORDS[name]}: where it is put", max_length=80, blank=True)


class Regime(models.Model):
    """One way of testing, whole; the one in force is asked of every set of points, on each lie.

    A test that the regime does not ask for is blank. Between the gauge that must and the one that
    must not, nothing is said.
    """

    name = Text(max_length=80, unique=True)
    lock_go_mm = measured(_WORDS["lock_go"])
    lock_go_at = _place("lock_go")
    lock_no_go_mm = measured(_WORDS["lock_no_go"])
    lock_no_go_at = _place("lock_no_go")
    detect_go_mm = measured(_WORDS["detect_go"])
    detect_go_at = _place("detect_go")
    detect_no_go_mm = measured(_WORDS["detect_no_go"])
    detect_no_go_at = _place("detect_no_go")
    source = Text(max_length=300)
    in_force = models.BooleanField(default=False, help_text="One regime is in force at a time.")
    confirmed_by = Text(max_length=80, blank=True)
    confirmed_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        verbose_name = "test regime"
        ordering = ["name", "pk"]
        constraints = [
            *(
                range_rule("regime", f"{name}_mm", THICKEST_MM, least=0.1)
                for name in _COLUMNS.values()
            ),
            *(_put_somewhere(name) for name in _COLUMNS.values()),
            order_rule(
                "regime",
                "lock_go_mm",
                "lock_no_go_mm",
                "The gauge that must lock must not be thicker than the one that must not.",
            ),
            order_rule(
                "regime",
                "detect_go_mm",
                "detect_no_go_mm",
                "The gauge that detection must make with must not be thicker than the other.",
            ),
            models.CheckConstraint(
                name="regime_asks_something",
                condition=Q(lock_go_mm__isnull=False)
                | Q(lock_no_go_mm__isnull=False)
                | Q(detect_go_mm__isnull=False)
                | Q(detect_no_go_mm__isnull=False),
                violation_error_message="A regime asks for at least one test.",
            ),
            models.CheckConstraint(
                name="regime_confirmation_whole",
                condition=Q(confirmed_on__isnull=True, confirmed_by="")
                | (Q(confirmed_on__isnull=False) & ~Q(confirmed_by="")),
                violation_error_message="A confirmation needs both a name and a day.",
            ),
            models.UniqueConstraint(
                fields=["in_force"],
                condition=Q(in_force=True),
                name="regime_one_in_force",
                violation_error_message="Another regime is in force: end that one first.",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def confirmed(self) -> bool:
        return self.confirmed_on is not None

    @property
    def trials(self) -> dict[QuantityCode, Trial]:
        """What it asks for, by test."""
        return {
            code: Trial(getattr(self, f"{name}_mm"), getattr(self, f"{name}_at"))
            for code, name in _COLUMNS.items()
            if getattr(self, f"{name}_mm") is not None
        }


def trials_in_force() -> dict[QuantityCode, Trial]:
    """What the railway's regime asks for; empty where it has chosen none; one query."""
    regime = Regime.objects.filter(in_force=True).first()
    return {} if regime is None else regime.trials
