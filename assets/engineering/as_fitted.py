"""What the rules say of a set of points with the rods it has, or would have."""

from collections.abc import Hashable, Iterable, Iterator
from dataclasses import dataclass

from assets.engineering.suitability.answers import PRACTICE, Outcome, worst_known

from .continuity import Continuity, continuity
from .facts import PlaceFacts, PointsFacts, PositionFacts, StretcherFacts
from .suitability import RULES, Answer, Assessment, Rule, assess, electrical, turning
from .suitability.facing_lock import facing_lock
from .suitability.number import number

NOTHING_TO_DRIVE = Answer(
    "lost motion",
    Outcome.SUITS_AFTER_WORK,
    "Driven here, and there is no stretcher to drive.",
    "fit a stretcher with a drive lug",
    PRACTICE,
)


@dataclass(frozen=True)
class AtPlace:
    """One place with its rod judged there; no assessment where there is no rod."""

    place: PlaceFacts
    assessment: Assessment | None

    @property
    def outcome(self) -> Outcome | None:
        return None if self.assessment is None else self.assessment.outcome


@dataclass(frozen=True)
class AsFitted:
    """One set of points: every place, the drives, the number of rods and the track circuit."""

    places: tuple[AtPlace, ...]
    circuit: Continuity
    number: Answer
    facing_lock: Answer
    lost_motion: tuple[tuple[PlaceFacts, Answer], ...]  # at each place that is driven

    def at(self, order: int) -> AtPlace:
        """The place with this number; StopIteration where the points have none."""
        return next(at for at in self.places if at.place.order == order)


@dataclass(frozen=True)
class Change:
    """A rule that says something else of a rod than before."""

    place: PlaceFacts
    rule: str
    before: Answer
    after: Answer


def as_fitted(points: PointsFacts) -> AsFitted:
    """All that the rules say of these points, each rod judged among the others."""
    places = tuple(AtPlace(place, judged(points, place.order)) for place in points.places)
    return AsFitted(
        places,
        continuity(points),
        number(points),
        facing_lock(points),
        tuple(
            (place, _lost_motion(points, place))
            for place in points.places
            if place.driven or place.machine is not None
        ),
    )


def judged(points: PointsFacts, order: int) -> Assessment | None:
    """The rod at a place judged where it is; None where there is none."""
    place = points.place(order)
    if place.stretcher is None:
        return None
    return assess(place.stretcher, _position(points, place))


def faults(fitted: Iterable[PositionFacts]) -> Iterator[Outcome | None]:
    """The worst known of the rod at each of these places; None where there is none.

    The same as ``judged(...).fault``, for many: a rule judges rods and places alike to it once.
    """
    seen: dict[tuple[Hashable, ...], Outcome] = {}
    for position in fitted:
        rod = position.place.stretcher
        if rod is None:
            yield None
            continue
        turned = turning.wants_turning(turning.lie(rod), turning.around(position))
        if turned or electrical.was_found_joining(rod, position):
            yield assess(rod, position).fault  # the other way round, or as visits found it
            continue
        yield worst_known(_outcome(rule, rod, position, seen) for rule in RULES)


def _outcome(
    rule: Rule,
    rod: StretcherFacts,
    position: PositionFacts,
    seen: dict[tuple[Hashable, ...], Outcome],
) -> Outcome:
    parts = rule.stretcher_part(rod), rule.position_part(position)
    key = (rule.name, *parts)
    if key not in seen:
        seen[key] = rule.outcome(*parts) if rule.outcome else rule.judge(rod, position)[0]
    return seen[key]


def with_rods(points: PointsFacts, rods: dict[int, StretcherFacts | None]) -> PointsFacts:
    """The points with these rods at these places; a rod moved leaves its old place empty.

    What visits found of the track circuit goes with the rod it was found at.
    """
    before = points
    moved = {rod.tag for rod in rods.values() if rod is not None}
    for place in points.places:
        if place.stretcher is not None and place.stretcher.tag in moved:
            points = points.with_rod(place.order, None)
    for order, rod in rods.items():
        points = points.with_rod(order, rod)
    for was, now in zip(before.places, points.places, strict=True):
        if not _same_rod(was, now):
            points = points.cleared(now.order)
    return points


def differences(before: AsFitted, after: AsFitted) -> tuple[Change, ...]:
    """Where rods that stay in their places are judged otherwise than before."""
    return tuple(
        Change(now.place, old.rule, old, new)
        for was, now in zip(before.places, after.places, strict=True)
        if was.assessment and now.assessment and _same_rod(was.place, now.place)
        for old, new in zip(was.assessment.answers, now.assessment.answers, strict=True)
        if old.outcome is not new.outcome
    )


def _same_rod(was: PlaceFacts, now: PlaceFacts) -> bool:
    if was.stretcher is None or now.stretcher is None:
        return False
    return was.stretcher.tag == now.stretcher.tag


def _position(points: PointsFacts, place: PlaceFacts) -> PositionFacts:
    return PositionFacts(points, place.order)


def _lost_motion(points: PointsFacts, place: PlaceFacts) -> Answer:
    if place.stretcher is None:
        return NOTHING_TO_DRIVE
    return assess(place.stretcher, _position(points, place))["lost motion"]
