"""What is fitted and does not suit, kept so that no page has to judge the whole railway again.

The database itself counts what changes the verdict (see ``defects.fitted.triggers``);
``config.points.misfits`` judges what has become stale.
"""

from datetime import date

from django.db import connections, models
from django.db.models import Exists, F, OuterRef, Q

from assets.engineering.suitability.answers import Outcome
from assets.engineering.words import ServiceState
from assets.models import Points, Position, Stretcher
from assets.models.fields import LongText, Text, coded
from assets.register_facts import railway_facts


class Judged(models.Model):
    """How far one set of points has been judged as it is fitted."""

    points = models.OneToOneField(
        Points, on_delete=models.CASCADE, primary_key=True, related_name="judged"
    )
    changes = models.PositiveIntegerField(default=0)  # of what the rules look at, counted
    judged = models.IntegerField(default=-1)  # the count when it was last judged
    railway = Text(max_length=100, default="")  # what was alike over the whole railway that day
    good_from = models.DateField()
    good_until = models.DateField(null=True)  # None: until something changes

    def __str__(self) -> str:
        return f"{self.points} as fitted"

    @staticmethod
    def stale(at: date) -> models.QuerySet[Points]:
        """Points not lifted that have to be judged again on a day, or were never judged.

        Points without a place have nothing to judge. One query when it is made.
        """
        places = Position.objects.filter(points=OuterRef("pk"))
        changed = (
            ~Q(judged__judged=F("judged__changes"))
            | ~Q(judged__railway=str(railway_facts()))
            | Q(judged__good_from__gt=at)
            | Q(judged__good_until__lt=at)
        )
        return Points.objects.exclude(service_state=ServiceState.LIFTED.value).filter(
            Q(Exists(places), judged__isnull=True) | (Q(judged__isnull=False) & changed)
        )


# What points lack, by the rule that says so.
LACKS = {
    "number of stretchers": "too few stretchers",
    "facing point lock": "no lock stretcher recorded",
}


class MisfitQuerySet(models.QuerySet):
    def in_walking_order(self) -> "MisfitQuerySet":
        """Along the line, on each set of points first what is said of the whole."""
        along = ("location__mileage", "location__code", "number_order", "number", "pk")
        return self.order_by(
            *(f"points__{field}" for field in along),
            F("position__order").asc(nulls_first=True),
            "pk",
        )

    def with_links(self) -> "MisfitQuerySet":
        return self.select_related("points__location", "position", "stretcher")

    def worst(self) -> "MisfitQuerySet":
        """What does not suit and is not lifted, and what points in use lack; no work to do."""
        return self.filter(
            Q(outcome=Outcome.DOES_NOT_SUIT.value)
            & ~Q(points__service_state=ServiceState.LIFTED.value)
            | Q(stretcher__isnull=True, points__service_state=ServiceState.IN_USE.value)
        )


class Misfit(models.Model):
    """What the rules find wrong with one fitted stretcher or, without one, with the points."""

    points = models.ForeignKey(Points, on_delete=models.CASCADE, related_name="misfits")
    position = models.ForeignKey(Position, null=True, on_delete=models.CASCADE, related_name="+")
    stretcher = models.ForeignKey(
        Stretcher, null=True, on_delete=models.CASCADE, related_name="misfits"
    )
    outcome = coded(Outcome, "outcome", default=Outcome.DOES_NOT_SUIT.value)
    rule = Text(max_length=40)
    reason = LongText()
    remedy = LongText(blank=True)
    others = models.PositiveSmallIntegerField(default=0)  # rules that say as bad of it
    objects = MisfitQuerySet.as_manager()

    class Meta:
        ordering = ["points_id", "position_id", "pk"]

    def __str__(self) -> str:
        return f"{self.stretcher or self.points}: {self.rule}"

    @property
    def does_not_suit(self) -> bool:
        return self.outcome == Outcome.DOES_NOT_SUIT

    @property
    def words(self) -> str:
        """The outcome in two words: "does not suit", "work to do", or what the points lack."""
        if self.stretcher_id is None:
            return LACKS[self.rule]
        return Outcome.DOES_NOT_SUIT.label if self.does_not_suit else "work to do"

    @property
    def more(self) -> str:
        """How many other rules say as bad of it: "", "(and 1 other reason)"."""
        if not self.others:
            return ""
        return f"(and {self.others} other reason{'s' if self.others > 1 else ''})"

    def get_absolute_url(self) -> str:
        """Where all that the rules say of it stands."""
        if self.stretcher_id is None:
            return f"{self.points.get_absolute_url()}#as-fitted"
        return f"{self.stretcher.get_absolute_url()}#as-fitted"


def judge_again(using: str = "default", **kwargs) -> None:
    """Makes every verdict stale: another release may have other rules."""
    if Judged._meta.db_table in connections[using].introspection.table_names():
        Judged.objects.using(using).update(judged=-1)
