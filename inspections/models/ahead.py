"""What lies ahead of each set of points, kept so that no page has to read every visit again.

The database itself counts what changes it (see ``inspections.recording.triggers``): a row is made
with the first visit, whichever way the visit comes in. ``inspections.upcoming.kept`` works out what
has become stale.
"""

from datetime import date

from django.db import models
from django.db.models import F, Q

from assets.engineering.words import ServiceState
from assets.models import Points, Position
from assets.models.fields import Text
from inspections.catalogue.quantities import QUANTITIES
from inspections.catalogue.where import Where
from inspections.words import QuantityCode

IN_USE = Q(points__service_state=ServiceState.IN_USE.value)
OWED_STALE = ~Q(owed_followed=F("changes"))


def is_calculated(at: date, outlook: str = "") -> Q:
    """Whether what the arithmetic came to holds on a day; ``outlook`` is the way to the row."""
    until = Q(**{f"{outlook}calculated_until__isnull": True})
    until |= Q(**{f"{outlook}calculated_until__gte": at})
    return until & Q(**{f"{outlook}calculated": F(f"{outlook}changes")})


def _trends_stale(at: date) -> Q:
    return ~Q(followed=F("changes")) | Q(good_from__gt=at) | Q(good_until__lt=at)


class OutlookQuerySet(models.QuerySet):
    def owing(self) -> "OutlookQuerySet":
        """Those of points in use where something is owed, the longest first."""
        return self.filter(IN_USE, owed__gt=0).order_by("changed_on", "points")

    def to_calculate(self, at: date) -> "OutlookQuerySet":
        """Those whose switch has to be calculated again on a day, in use or not."""
        return self.exclude(is_calculated(at))

    def owing_or_stale(self, at: date) -> "OutlookQuerySet":
        """Those of points in use where something is owed, the longest first; before them those
        that are ``behind``: anything of them has to be worked out again."""
        behind = _trends_stale(at) | OWED_STALE | ~is_calculated(at)
        case = models.Case(models.When(behind, then=True), default=False)
        found = self.annotate(behind=models.ExpressionWrapper(case, models.BooleanField()))
        return found.filter(Q(owed__gt=0) | behind, IN_USE).order_by(
            "-behind", "changed_on", "points"
        )

    def owed_stale(self) -> "OutlookQuerySet":
        """Those where what is owed has to be worked out again."""
        return self.filter(OWED_STALE)

    def stale(self, at: date) -> "OutlookQuerySet":
        """Those of points in use whose readings have to be followed again on a day."""
        return self.filter(_trends_stale(at), IN_USE)


class Outlook(models.Model):
    """How far the visits to one set of points have been looked through."""

    points = models.OneToOneField(
        Points, on_delete=models.CASCADE, primary_key=True, related_name="outlook"
    )
    inspected_at = models.DateTimeField(null=True)  # the last visit that looked at the whole
    changes = models.PositiveIntegerField(default=0)  # of readings, limits and parts, counted
    followed = models.IntegerField(default=-1)  # the count when they were last followed
    good_from = models.DateField(null=True)
    good_until = models.DateField(null=True)  # None: until something changes
    owed = models.PositiveSmallIntegerField(default=0)  # readings to be taken since a change
    changed_on = models.DateField(null=True)  # the day of that change
    owed_by = models.DateField(null=True)  # the last day for the second torque, where due
    owed_followed = models.IntegerField(default=-1)  # the count when that was worked out
    calculated = models.IntegerField(default=-1)  # the count when its switch was last calculated
    calculated_until = models.DateField(null=True)  # None: until something changes

    objects = OutlookQuerySet.as_manager()

    def __str__(self) -> str:
        return f"What lies ahead of {self.points}"

    def is_calculated(self, at: date) -> bool:
        """Whether what the arithmetic came to holds on a day."""
        ended = self.calculated_until is not None and self.calculated_until < at
        return self.calculated == self.changes and not ended


class Reaching(models.Model):
    """A place whose readings may reach a limit, on ``soonest`` at the earliest.

    ``passed``: they are past one already and moving away from it; ``soonest`` is then their last.
    """

    points = models.ForeignKey(Points, on_delete=models.CASCADE, related_name="reaching")
    quantity = Text(max_length=24, choices=QuantityCode.choices())
    position = models.ForeignKey(
        Position, null=True, on_delete=models.CASCADE, related_name="reaching"
    )
    side = Text(max_length=24, blank=True)
    lie = Text(max_length=24, blank=True)
    value = models.FloatField()  # the last one, in the quantity's unit
    soonest = models.DateField()
    passed = models.BooleanField(default=False)

    class Meta:
        ordering = [
            "soonest",
            "points_id",
            "quantity",
            "position_id",
            "side",
            "lie",
            "pk",
        ]
        indexes = [models.Index(fields=["soonest", "points"], name="reaching_soonest")]

    def __str__(self) -> str:
        return f"{self.points}: {QuantityCode(self.quantity).label} from {self.soonest}"

    def when(self, today: date) -> str:
        """ "already past the limit", "from now", "from Mar 2027"."""
        if self.passed:
            return "already past the limit"
        return "from now" if self.soonest <= today else f"from {self.soonest:%b %Y}"

    @property
    def where(self) -> str:
        """The place in words; reads the position."""
        name = self.position.name if self.position else ""
        return Where(side=self.side, lie=self.lie, name=name).words

    @property
    def last_value(self) -> str:
        """The last value with its unit."""
        return QUANTITIES[QuantityCode(self.quantity)].written(self.value)

    @property
    def query(self) -> str:
        """What the address of its trend adds after the question mark."""
        order = "" if self.position is None else self.position.order
        return f"quantity={self.quantity}&position={order}&side={self.side}&lie={self.lie}"
