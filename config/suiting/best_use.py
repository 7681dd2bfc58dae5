"""The best use of the store, in words: what goes where, what it takes, and why others were left."""

from dataclasses import dataclass
from urllib.parse import urlencode

from assets.engineering import best_use as engine
from assets.engineering.best_use import Assigned, Confidence, Left
from assets.engineering.suitability import Answer, Outcome
from assets.models import Location, Stretcher
from config.points.reader import part_facts_of
from config.suiting.spares import Asked, Place, places_asked, spares_asked

SHOWN = 3  # of a list of reasons or rods


@dataclass(frozen=True)
class Use:
    """One spare to one place; ``neighbours`` are the other spares given to the same points."""

    spare: Stretcher
    place: Place
    assigned: Assigned
    neighbours: list[tuple[Stretcher, Place]]

    @property
    def sure(self) -> bool:
        return self.assigned.confidence is Confidence.SURE

    @property
    def steps(self) -> tuple[str, ...]:
        """What must be done or looked at, worst first."""
        return self.assigned.alone.remedies

    @property
    def instead_of(self) -> list[Answer]:
        """Why the rod that is there now does not suit; empty where there is none."""
        now = self.place.judged()
        return _misfits(now.answers) if now else []

    @property
    def tried_together(self) -> str:
        """The query that shows the points with all their new rods."""
        all_of_them = [(self.spare, self.place), *self.neighbours]
        return urlencode({place.position.order: spare.tag for spare, place in all_of_them})

    @property
    def joint(self) -> list[Answer]:
        """What the other new rods of the points change in the verdict of this one."""
        return [self.assigned.together[rule] for rule in self.assigned.rules_that_differ]


@dataclass(frozen=True)
class Unfilled:
    """A place that gets no spare, and why."""

    place: Place
    taken: list[tuple[Stretcher, Place]]  # spares that would do here, and where they go instead
    nearest: Stretcher | None
    obstacles: list[Answer]  # what keeps the nearest out


@dataclass(frozen=True)
class StoreUse:
    uses: list[Use]
    unfilled: list[Unfilled]
    unused: list[Stretcher]

    @property
    def wanted(self) -> int:
        """Places that want a rod."""
        return len(self.uses) + len(self.unfilled)

    @property
    def sure(self) -> list[Use]:
        return [use for use in self.uses if use.sure]

    @property
    def to_look_at(self) -> list[Use]:
        return [use for use in self.uses if not use.sure]


def best_use_of_store(location: Location | None = None) -> StoreUse:
    """Gives the spares to the places that are empty or whose rod does not suit."""
    places = places_asked(Asked(location=location, wanting=True))
    spares = list(spares_asked(Asked()))
    found = engine.best_use(part_facts_of(spares), [place.where for place in places])
    given = {assigned.spare: places[assigned.place] for assigned in found.assigned}
    pairs = [(spares[one.spare], places[one.place]) for one in found.assigned]
    uses = []
    for one, (spare, place) in zip(found.assigned, pairs, strict=True):
        beside = [p for p in pairs if p[1].points.pk == place.points.pk and p[0] != spare]
        uses.append(Use(spare, place, one, beside))
    return StoreUse(
        uses,
        [_unfilled(left, spares, places, given) for left in found.left],
        [spares[number] for number in found.unused],
    )


def _unfilled(left: Left, spares: list, places: list[Place], given: dict[int, Place]) -> Unfilled:
    taken = [(spares[number], given[number]) for number in left.could_take[:SHOWN]]
    nearest = None if left.nearest is None else spares[left.nearest]
    obstacles = _misfits(left.assessment.answers)[:SHOWN] if left.assessment else []
    return Unfilled(places[left.place], taken, nearest, obstacles)


def _misfits(answers: tuple[Answer, ...]) -> list[Answer]:
    return [answer for answer in answers if answer.outcome is Outcome.DOES_NOT_SUIT]
