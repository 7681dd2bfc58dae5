"""Reading the history of measured places, for trends: few queries, plain rows."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from assets.models import Points, Position
from inspections.catalogue.quantities import QUANTITIES
from inspections.catalogue.where import Where
from inspections.models import Inspection, Limit, Reading
from inspections.upcoming.trend import Taken, Trend, trend_of
from inspections.verdicts.finding import QuantityLimits
from inspections.verdicts.limits import LimitBook
from inspections.words import WHOLE_VISITS, QuantityCode

YEARS = 6  # of readings that are looked back on
FOLLOWED = tuple(code.value for code, quantity in QUANTITIES.items() if not quantity.answers)


@dataclass(frozen=True)
class Place:
    """A place of some points where a quantity is read again and again."""

    quantity: str
    where: Where


@dataclass(frozen=True)
class Followed:
    """A place with its trend, ready to be shown."""

    points: Points
    position: Position | None
    place: Place
    limits: QuantityLimits
    trend: Trend

    @property
    def quantity(self):
        return QUANTITIES[QuantityCode(self.place.quantity)]

    @property
    def where(self) -> str:
        name = self.position.name if self.position else ""
        return replace(self.place.where, name=name).words

    @property
    def words(self) -> str:
        """Where it is going, in one sentence with the unit."""
        return self.trend.words(lambda amount: self.quantity.written(float(f"{amount:.2g}")))

    @property
    def last_value(self) -> str:
        """The last value with its unit."""
        return self.quantity.written(self.trend.last_piece[-1].value)

    @property
    def query(self) -> str:
        """What the address of its page adds after the question mark."""
        order = "" if self.position is None else self.position.order
        where = self.place.where
        return f"quantity={self.place.quantity}&position={order}&side={where.side}&lie={where.lie}"


def followed(points_of, at: date) -> list[Followed]:
    """The trend of every quantity at every fixed place of some points; five queries at most.

    ``points_of`` is a queryset of points. Readings between the rods are left out: the narrowest
    place moves.
    """
    points = {p.pk: p for p in points_of.select_related("location")}
    since = timezone.make_aware(datetime.combine(at - timedelta(days=365 * YEARS), time()))
    times, work = _times_of_visits(list(points), since)
    series = _series(list(points), since, times)
    positions = Position.objects.in_bulk({place.where.position for place in series} - {None})
    book = LimitBook.of(Limit.objects.all(), at)
    limits = {pk: book.for_points(p) for pk, p in points.items()}
    return [
        Followed(
            points[place.where.points],
            positions.get(place.where.position),
            place,
            limits[place.where.points].of(place.quantity),
            trend_of(
                taken, limits[place.where.points].of(place.quantity), work[place.where.points]
            ),
        )
        for place, taken in series.items()
    ]


def _times_of_visits(points: list[int], since: datetime) -> tuple[dict, dict]:
    """When each visit was, local, and by points when those made after work were; one query."""
    visits = Inspection.objects.filter(points__in=points, at__gte=since)
    times: dict[int, datetime] = {}
    work: dict[int, list[datetime]] = defaultdict(list)
    for pk, of_points, when, reason in visits.values_list("pk", "points", "at", "reason"):
        times[pk] = timezone.localtime(when)
        if reason not in WHOLE_VISITS:
            work[of_points].append(times[pk])
    return times, work


def _series(points: list[int], since: datetime, times: dict) -> dict[Place, list[Taken]]:
    """Values by place in order of time; one query."""
    rows = (
        Reading.objects.standing()
        .filter(
            inspection__points__in=points,
            inspection__at__gte=since,
            quantity__in=FOLLOWED,
            value__isnull=False,
            at_mm__isnull=True,
        )
        .in_time()
        .values_list(
            "quantity",
            "inspection__points",
            "position",
            "side",
            "lie",
            "inspection",
            "value",
            "stretcher",
            "pk",
        )
    )
    series: dict[Place, list[Taken]] = defaultdict(list)
    for quantity, at_points, position, side, lie, visit, value, rod, pk in rows:
        if visit in times:  # one recorded this very moment waits for the next look
            place = Place(quantity, Where(at_points, position, side=side, lie=lie))
            series[place].append(Taken(times[visit], value, rod, pk))
    return series
