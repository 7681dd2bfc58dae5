"""The railway's limits: what a reading is judged by, for what, from which day."""

from datetime import date

from django.db import models
from django.db.models import Q
from simple_history.models import HistoricalRecords

from assets.engineering.words import Layout
from assets.models import Points, RailSection, SwitchDesign
from assets.models.fields import Text, coded, coded_rule, measured, order_rule, range_rule
from inspections.words import Level, QuantityCode, Scope

SCOPE_FIELDS = ("rail_section", "layout", "design", "points")


def _scope_rule() -> Q:
    """Just the field that the scope names is filled."""
    ways = Q()
    for scope in Scope:
        way = Q(scope=scope.value)
        for field in SCOPE_FIELDS:
            blank = Q(layout="") if field == "layout" else Q(**{f"{field}__isnull": True})
            way &= ~blank if field == scope.value else blank
        ways |= way
    return ways


class LimitQuerySet(models.QuerySet):
    def in_force(self, at: date) -> "LimitQuerySet":
        """For each quantity, level and scope the latest limit that began by ``at``."""
        later = Limit.objects.filter(
            quantity=models.OuterRef("quantity"),
            level=models.OuterRef("level"),
            scope=models.OuterRef("scope"),
            scope_key=models.OuterRef("scope_key"),
            effective_from__gt=models.OuterRef("effective_from"),
            effective_from__lte=at,
        )
        return self.filter(effective_from__lte=at).exclude(models.Exists(later))

    def for_points(self, points: Points) -> "LimitQuerySet":
        """Every limit, of any scope, that these points fall under."""
        return self.filter(
            Q(scope=Scope.RAILWAY.value)
            | Q(scope=Scope.RAIL_SECTION.value, rail_section=points.rail_section_id)
            | Q(scope=Scope.LAYOUT.value, layout=points.layout)
            | Q(scope=Scope.DESIGN.value, design=points.design_id)
            | Q(scope=Scope.POINTS.value, points=points.pk)
        )


class Limit(models.Model):
    """Least, nominal and most of a quantity at one level for one scope, from a day on.

    It holds until the next limit of the same quantity, level and scope begins, so two can never
    overlap; a limit with neither least nor most ends the one before it.
    """

    quantity = coded(QuantityCode, "quantity", default=QuantityCode.FWC.value)
    level = coded(Level, "level", default=Level.INTERVENTION.value)
    scope = coded(Scope, "holds for", default=Scope.RAILWAY.value)
    rail_section = models.ForeignKey(
        RailSection, null=True, blank=True, on_delete=models.PROTECT, related_name="limits"
    )
    layout = Text(max_length=24, blank=True, choices=Layout.choices())
    design = models.ForeignKey(
        SwitchDesign, null=True, blank=True, on_delete=models.PROTECT, related_name="limits"
    )
    points = models.ForeignKey(
        Points, null=True, blank=True, on_delete=models.PROTECT, related_name="limits"
    )
    scope_key = Text(max_length=30, editable=False, default="")
    minimum = measured("least", "in the quantity's unit")
    nominal = measured("nominal", "in the quantity's unit")
    maximum = measured("most", "in the quantity's unit")
    reason = Text(max_length=200, blank=True, help_text="Needed for a limit for one set of points.")
    source = Text(max_length=300)
    effective_from = models.DateField()
    confirmed_by = Text(max_length=80, blank=True)
    confirmed_on = models.DateField(null=True, blank=True)
    history = HistoricalRecords(excluded_fields=["scope_key"])

    objects = LimitQuerySet.as_manager()

    class Meta:
        ordering = ["quantity", "level", "scope", "scope_key", "-effective_from", "pk"]
        constraints = [
            coded_rule("limit", "quantity", QuantityCode),
            coded_rule("limit", "level", Level),
            coded_rule("limit", "scope", Scope),
            range_rule("limit", "minimum", 1e9, unit="in the quantity's unit"),
            range_rule("limit", "nominal", 1e9, unit="in the quantity's unit"),
            range_rule("limit", "maximum", 1e9, unit="in the quantity's unit"),
            order_rule("limit", "minimum", "maximum", "The least must not be more than the most."),
            order_rule("limit", "minimum", "nominal", "The least must not be above the nominal."),
            order_rule(
                "limit", "nominal", "maximum", "The nominal must not be more than the most."
            ),
            models.CheckConstraint(
                name="limit_scope_filled",
                condition=_scope_rule(),
                violation_error_message=(
                    "Fill in only the field that the limit applies to: a rail section, a layout, a "
                    "design or a set of points, or none for the whole railway."
                ),
            ),
            models.CheckConstraint(
                name="limit_points_reason",
                condition=~Q(scope=Scope.POINTS.value) | ~Q(reason=""),
                violation_error_message="A limit for one set of points needs a reason.",
            ),
            models.CheckConstraint(
                name="limit_confirmation_whole",
                condition=Q(confirmed_on__isnull=True, confirmed_by="")
                | (Q(confirmed_on__isnull=False) & ~Q(confirmed_by="")),
                violation_error_message="A confirmation needs both a name and a day.",
            ),
            models.UniqueConstraint(
                fields=["quantity", "level", "scope", "scope_key", "effective_from"],
                name="limit_once_per_day",
                violation_error_message=(
                    "A limit of this quantity, level and scope already begins on that day."
                ),
            ),
        ]

    def __str__(self) -> str:
        quantity = QuantityCode(self.quantity).label
        return f"{Level(self.level).label} of {quantity}, {self.scope_words}"

    @property
    def scope_words(self) -> str:
        """What it holds for, in words; may read the related row."""
        if self.scope == Scope.RAILWAY:
            return "the whole railway"
        if self.scope == Scope.LAYOUT:
            return f"layout {Layout(self.layout).label}"
        thing = getattr(self, self.scope)
        return f"{Scope(self.scope).label} {thing}" if self.scope != Scope.POINTS else f"{thing}"

    @property
    def confirmed(self) -> bool:
        return self.confirmed_on is not None

    def clean(self) -> None:
        self.scope_key = self._key()

    def save(self, *args, **kwargs) -> None:
        self.scope_key = self._key()
        super().save(*args, **kwargs)

    def _key(self) -> str:
        if self.scope == Scope.RAILWAY:
            return ""
        if self.scope == Scope.LAYOUT:
            return self.layout
        return str(getattr(self, f"{self.scope}_id") or "")
