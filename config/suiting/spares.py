"""Every spare against every place: the outcomes of a window of it, or of the whole.

The outcomes are computed by distinct facts (assets.engineering.suitability.table), never by
rows. What the filters ask decides how much is computed: a window of the table, or all of it
where an outcome or the places that fail are asked for.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.urls import reverse

from assets.engineering.as_fitted import judged
from assets.engineering.facts import PointsFacts, PositionFacts, StretcherFacts
from assets.engineering.suitability import Assessment, Outcome, Table, assess_table
from assets.engineering.words import ServiceState
from assets.models import Location, Points, Position, Stretcher
from assets.models.parts import PartQuerySet
from assets.models.places import PointsQuerySet
from config.points.reader import facts_of, part_facts_of

SPARES_A_PAGE = 25
PLACES_A_PAGE = 24

SHORT = {
    Outcome.SUITS: "suits",
    Outcome.SUITS_AFTER_WORK: "work",
    Outcome.CANNOT_SAY: "look",
    Outcome.DOES_NOT_SUIT: "no",
}


@dataclass(frozen=True)
class Place:
    """A position with its points, as the rules see it."""

    points: Points
    position: Position
    facts: PointsFacts

    @property
    def where(self) -> PositionFacts:
        return PositionFacts(self.facts, self.position.order)

    @property
    def stretcher(self) -> StretcherFacts | None:
        """The rod that is there now."""
        return self.where.place.stretcher

    @property
    def name(self) -> str:
        return self.where.place.name

    @cached_property
    def what_if_url(self) -> str:
        """Where another rod is tried here, but for its tag."""
        page = reverse("assets:what_if", args=[self.points.location.code, self.points.number])
        return f"{page}?{self.position.order}="

    @cached_property
    def said(self) -> str:
        return f"{self.points.key}, {self.name}"

    def judged(self) -> Assessment | None:
        """The rod that is there now, judged; None where there is none."""
        return judged(self.facts, self.position.order)

    @property
    def wants_a_rod(self) -> bool:
        """Empty, or with a rod that by the rules does not suit."""
        now = self.judged()
        return now is None or now.outcome is Outcome.DOES_NOT_SUIT


@dataclass(frozen=True)
class Cell:
    """One spare at one place."""

    place: Place
    outcome: Outcome

    @property
    def short(self) -> str:
        return SHORT[self.outcome]


@dataclass(frozen=True)
class SparesTable:
    """Spares down, places across, and the outcome of each pair."""

    spares: list[Stretcher]
    places: list[Place]
    outcomes: Table

    def row(self, number: int) -> list[Cell]:
        return [
            Cell(place, self.outcomes.outcome(number, column))
            for column, place in enumerate(self.places)
        ]

    @property
    def rows(self) -> list[tuple[Stretcher, list[Cell]]]:
        return [(spare, self.row(number)) for number, spare in enumerate(self.spares)]

    def counts(self) -> dict[Outcome, int]:
        """How many pairs come to each outcome."""
        severity = self.outcomes.severity
        return {outcome: int((severity == outcome.severity).sum()) for outcome in Outcome}

    def with_outcome(self, outcome: Outcome) -> "SparesTable":
        """Only the spares and the places that have this outcome somewhere."""
        found = self.outcomes.severity == outcome.severity
        rows, columns = found.any(axis=1).nonzero()[0], found.any(axis=0).nonzero()[0]
        return self.window(rows.tolist(), columns.tolist())

    def window(self, rows: list[int], columns: list[int]) -> "SparesTable":
        """Some rows and columns of it."""
        import numpy as np

        whole = self.outcomes
        arrays = (whole.severity, whole.misfits, whole.work, whole.unknown)
        return SparesTable(
            [self.spares[row] for row in rows],
            [self.places[column] for column in columns],
            Table(
                [whole.stretchers[row] for row in rows],
                [whole.positions[column] for column in columns],
                *(array[np.ix_(rows, columns)] for array in arrays),
            ),
        )


@dataclass(frozen=True)
class Asked:
    """What of the table is asked for; empty words ask for all."""

    location: Location | None = None
    generation: str = ""
    outcome: str = ""
    wanting: bool = False  # only places that are empty or whose rod does not suit


@dataclass(frozen=True)
class Window:
    """A piece of the table that fits a page, with the pages it was cut from."""

    table: SparesTable
    spares_page: Page
    places_page: Page
    counts: dict[Outcome, int] | None  # of the whole that was asked for, where it was computed


def window(asked: Asked, spares_page: object = 1, places_page: object = 1) -> Window:
    """The page of the table at these page numbers, whatever they are.

    Only what is shown is read and computed, unless an outcome or the wanting places are asked
    for: those cannot be known without looking at all.
    """
    if asked.outcome:
        whole = whole_table(asked)
        shown = whole.with_outcome(Outcome(asked.outcome))
        down = Paginator(range(len(shown.spares)), SPARES_A_PAGE).get_page(spares_page)
        across = Paginator(range(len(shown.places)), PLACES_A_PAGE).get_page(places_page)
        return Window(shown.window(list(down), list(across)), down, across, whole.counts())
    down = Paginator(spares_asked(asked), SPARES_A_PAGE).get_page(spares_page)
    if asked.wanting:
        across = Paginator(places_asked(asked), PLACES_A_PAGE).get_page(places_page)
        places = list(across)
    else:
        across = Paginator(_place_keys(asked), PLACES_A_PAGE).get_page(places_page)
        places = _places_with(list(across))
    return Window(table_of(down.object_list, places), down, across, None)


def whole_table(asked: Asked = Asked()) -> SparesTable:
    """All the spares and places asked for and the outcome of every pair."""
    return table_of(spares_asked(asked), places_asked(asked))


def table_of(spares: Iterable[Stretcher], places: list[Place]) -> SparesTable:
    """The outcomes of these spares at these places."""
    spares = list(spares)
    outcomes = assess_table(part_facts_of(spares), [place.where for place in places])
    return SparesTable(spares, places, outcomes)


def spares_asked(asked: Asked) -> PartQuerySet:
    spares = Stretcher.objects.spare().order_by("tag", "pk")
    return spares.filter(generation=asked.generation) if asked.generation else spares


def places_asked(asked: Asked) -> list[Place]:
    """Every place asked for, from the toe, points in walking order; some six queries."""
    places = _places_of(_points_asked(asked))
    return [place for place in places if place.wants_a_rod] if asked.wanting else places


def _points_asked(asked: Asked) -> PointsQuerySet:
    """Points that are not lifted, with all that their facts need."""
    points = Points.objects.exclude(service_state=ServiceState.LIFTED.value)
    if asked.location:
        points = points.filter(location=asked.location)
    return points.with_places().in_walking_order()


def _places_of(points: Iterable[Points]) -> list[Place]:
    points = list(points)
    return [
        Place(one, position, facts)
        for one, facts in zip(points, facts_of(points), strict=True)
        for position in one.positions.all()
    ]


def _place_keys(asked: Asked) -> QuerySet:
    """Points and position of every place asked for, in the order of the table."""
    positions = Position.objects.exclude(points__service_state=ServiceState.LIFTED.value)
    if asked.location:
        positions = positions.filter(points__location=asked.location)
    return positions.in_walking_order().values_list("points_id", "pk")


def _places_with(keys: list[tuple[int, int]]) -> list[Place]:
    points = Points.objects.filter(pk__in={points for points, _ in keys})
    wanted = {position for _, position in keys}
    places = _places_of(points.with_places().in_walking_order())
    return [place for place in places if place.position.pk in wanted]
