"""Do the rods join the two rails of a track circuit, and what would have to fail first?

The metal of a set of points is drawn as joints between parts (``circuit``): rail, rod, drive,
machine, soleplate, lock casting, detection rods. A bare path from rail to rail drops the track
circuit. What nobody has looked at is a question with several possible answers; it is answered only
where every answer comes to the same.
"""

from dataclasses import dataclass
from functools import cached_property

from .circuit.drawing import arrangement
from .circuit.failures import failures
from .circuit.joints import Arrangement, Question
from .facts import PointsFacts

APART = "Stretchers, drive rods, detection rods and soleplate do not short the track circuit"


@dataclass(frozen=True, slots=True)
class Possibility:
    """One answer to an open question and what it would mean, in words."""

    answer: str
    bridged: bool | None
    meaning: str


@dataclass(frozen=True, slots=True)
class Unknown:
    """An open question; ``decides`` where its answer alone could turn the matter."""

    about: str
    look: str
    decides: bool
    possibilities: tuple[Possibility, ...]


@dataclass(frozen=True)
class Continuity:
    """What the rods of one set of points do to its track circuit.

    ``least_failures`` is how many insulations must fail before the rails are joined: 0 where they
    are joined now, None where that cannot be said or where nothing could join them.
    """

    arises: bool | None  # track-circuited or not; None: not known
    bridged: bool | None
    path: str  # the joining path in words; where bridged is None, the path that may be there
    least_failures: int | None
    failure_sets: tuple[tuple[str, ...], ...]  # every smallest set of insulations, by name
    exact: bool  # False: open questions could make it take more failures than stated
    unknowns: tuple[Unknown, ...]

    @cached_property
    def summary(self) -> str:
        """The answer in a sentence or two."""
        if self.arises is False:
            return "Not track-circuited, so this does not matter."
        doubt = "" if self.arises else "Whether these points are track-circuited is not known. "
        return doubt + _verdict(self)


def continuity(points: PointsFacts) -> Continuity:
    """All there is to say of the track circuit: joined or not, what must fail, what is unknown."""
    drawn = arrangement(points)
    if points.track_circuited is False:
        return Continuity(False, drawn.bridged, drawn.path, None, (), True, ())
    sets, exact = failures(drawn)
    deciding = drawn.deciding
    return Continuity(
        arises=points.track_circuited,
        bridged=drawn.bridged,
        path=drawn.path,
        least_failures=0 if drawn.bridged else (len(sets[0]) if sets else None),
        failure_sets=sets,
        exact=exact,
        unknowns=tuple(_unknown(*one, one[0] in deciding) for one in drawn.settled),
    )


def _unknown(question: Question, settled: tuple[Arrangement, ...], decides: bool) -> Unknown:
    possibilities = tuple(
        Possibility(answer.words, drawn.bridged, _meaning(drawn))
        for answer, drawn in zip(question.answers, settled, strict=True)
    )
    return Unknown(question.about, question.look, decides, possibilities)


def _meaning(drawn: Arrangement) -> str:
    if drawn.bridged:
        return f"the track circuit is shorted: {drawn.path}"
    if drawn.bridged is None:
        return "still not known: it depends on the other unknowns"
    sets, exact = failures(drawn)
    if not sets:
        return "the track circuit is not shorted"
    return f"the track circuit is not shorted; {_needed(len(sets[0]), exact)} would short it"


def _needed(count: int, exact: bool) -> str:
    noun = "insulation failure" if count == 1 else "insulation failures"
    return f"{count} {noun}" if exact else f"{count} {noun} or more"


def _verdict(found: Continuity) -> str:
    if found.bridged:
        return f"The track circuit is shorted: {found.path}."
    looks = "; ".join(unknown.look for unknown in found.unknowns if unknown.decides)
    if found.bridged is None:
        return f"Cannot say: go and check: {looks}. The track circuit may be shorted: {found.path}."
    if found.least_failures is None:
        return f"{APART}, and no insulation failure could."
    sets = "; or ".join(" and ".join(names) for names in found.failure_sets)
    return (
        f"{APART}. "
        f"{_needed(found.least_failures, found.exact).capitalize()} would short it: {sets}."
    )
