"""Joints between parts, bare or insulated, and the questions that are still open about them.

What nobody has looked at is a question with several possible answers. Whether the rails are joined
is told only where every way of answering all of them comes to the same.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from ..words import Side

LEFT_RAIL = "left rail"
RIGHT_RAIL = "right rail"
RAILS = {Side.LEFT: LEFT_RAIL, Side.RIGHT: RIGHT_RAIL}


def lug_of(rod: str) -> str:
    """What the drive lug of a rod is called; beside its own rod a path does not name it."""
    return f"drive lug of the {rod}"


@dataclass(frozen=True, slots=True)
class Joint:
    """Two parts that meet; ``insulation`` names what keeps them apart, empty for bare metal."""

    one: str
    other: str
    insulation: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """What may be found: the joints there would be, and what would have to be asked then."""

    words: str
    joints: tuple[Joint, ...] = ()
    questions: tuple["Question", ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """Something nobody has looked at.

    The answers run from the one that joins least to the one that joins most, unless they are
    ``either``: one joins here, another there.
    """

    about: str
    look: str
    answers: tuple[Answer, ...]
    either: bool = False


@dataclass(frozen=True)
class Arrangement:
    """The joints of one set of points, and the questions still open about them."""

    joints: tuple[Joint, ...]
    questions: tuple[Question, ...] = ()

    @cached_property
    def bridged(self) -> bool | None:
        """Whether bare metal joins the rails; None where the open questions decide it."""
        if not self._path:
            return False
        if bare_path(self.joints):
            return True
        kindest = tuple(joint for question in self.questions for joint in _first(question))
        if not bare_path(self.joints + kindest):
            return None  # seen at once in most cases; the others are gone through in full
        return True if len(self.ways()) == 1 else None

    @cached_property
    def settled(self) -> tuple[tuple[Question, tuple["Arrangement", ...]], ...]:
        """Each question with the arrangement that each of its answers would leave."""
        return tuple(
            (question, tuple(self.answered(question, answer) for answer in question.answers))
            for question in self.questions
        )

    @cached_property
    def _path(self) -> tuple[str, ...]:
        return bare_path(self.joints) or bare_path(self.joints, self.questions)

    @property
    def path(self) -> str:
        """The joining path in words; the one that may be there if questions are open, or empty."""
        return " - ".join(part for part in self._path if part not in map(lug_of, self._path))

    @property
    def deciding(self) -> tuple[Question, ...]:
        """The open questions of which one answer alone could turn the matter; all if none can."""
        found = tuple(
            question
            for question, answered in self.settled
            if any(drawn.bridged is not None for drawn in answered)
        )
        return found or self.questions

    def answered(self, question: Question, answer: Answer) -> "Arrangement":
        """The same arrangement with one question settled."""
        rest = tuple(q for q in self.questions if q is not question)
        return Arrangement(self.joints + answer.joints, rest + answer.questions)

    def ways(self, *parts: str) -> frozenset[tuple[int, ...]]:
        """Every way in which bare metal may join the rails and these parts to each other.

        A way has a number for the left rail, the right rail and each part; what is joined has one
        number, and all have the same where the rails are joined. Question after question is
        answered in every way; what is joined alike is carried on once, and a part of which nothing
        more is asked is no longer told apart.
        """
        ends = (LEFT_RAIL, RIGHT_RAIL, *parts)
        numbers = {part: n for n, part in enumerate(ends)}
        last: dict[str, int] = {}
        for n, joints in enumerate([self.joints, *map(joints_of, self.questions)]):
            for joint in joints:
                for part in (joint.one, joint.other):
                    numbers.setdefault(part, len(numbers))
                    last[part] = n
        done = [
            frozenset(numbers[part] for part in last if last[part] == n and part not in ends)
            for n in range(len(self.questions) + 1)
        ]
        states = {_forgotten(_joined(tuple(range(len(numbers))), self.joints, numbers), done[0])}
        for question, settled in zip(self.questions, done[1:], strict=True):
            states = {
                _forgotten(now, settled)
                for state in states
                for now in _answers(state, question, numbers)
            }
        return frozenset(
            _forgotten(state, frozenset())[: len(ends)] or (0,) * len(ends) for state in states
        )


def joints_of(question: Question) -> Iterator[Joint]:
    """Every joint there may be by any answer, and by what would be asked then."""
    for answer in question.answers:
        yield from answer.joints
        for further in answer.questions:
            yield from joints_of(further)


def _first(question: Question) -> Iterator[Joint]:
    """The joints by the first answer to a question, and to what would be asked then."""
    yield from question.answers[0].joints
    for further in question.answers[0].questions:
        yield from _first(further)


RAILS_JOINED: tuple[int, ...] = ()  # the state of which nothing more has to be told apart


def _answers(
    state: tuple[int, ...], question: Question, numbers: dict[str, int]
) -> set[tuple[int, ...]]:
    if not state:
        return {RAILS_JOINED}
    found = set()
    for answer in question.answers:
        states = {_joined(state, answer.joints, numbers)}
        for further in answer.questions:
            states = {now for before in states for now in _answers(before, further, numbers)}
        found |= states
    return found


def _joined(
    state: tuple[int, ...], joints: Iterable[Joint], numbers: dict[str, int]
) -> tuple[int, ...]:
    """The state with the parts of each bare joint given one number, the lesser."""
    for joint in joints if state else ():
        one, other = state[numbers[joint.one]], state[numbers[joint.other]]
        if one != other and not joint.insulation:
            least, most = sorted((one, other))
            state = tuple(least if label == most else label for label in state)
    return state


def _forgotten(state: tuple[int, ...], parts: frozenset[int]) -> tuple[int, ...]:
    """The state without these parts, numbered in order, so that equal states are one."""
    if not state or state[0] == state[1]:
        return RAILS_JOINED
    numbers: dict[int, int] = {}
    return tuple(
        -1 if n in parts or label < 0 else numbers.setdefault(label, len(numbers))
        for n, label in enumerate(state)
    )


_Taken = dict[str, int]  # which answer, by what the question is about


def bare_path(joints: Sequence[Joint], questions: Sequence[Question] = ()) -> tuple[str, ...]:
    """The parts of a shortest bare path from the left rail to the right; empty if none joins.

    A path through what is asked takes one answer to each question.
    """
    steps: dict[str, list[tuple[str, _Taken]]] = {}
    for joint, taken in [*((joint, {}) for joint in joints), *_steps(questions, {})]:
        if not joint.insulation:
            steps.setdefault(joint.one, []).append((joint.other, taken))
            steps.setdefault(joint.other, []).append((joint.one, taken))
    reached: dict[str, list[set[tuple[str, int]]]] = {}
    waiting: deque[tuple[tuple[str, ...], _Taken]] = deque([((LEFT_RAIL,), {})])
    while waiting:
        path, taken = waiting.popleft()
        if path[-1] == RIGHT_RAIL:
            return path
        for part, asked in steps.get(path[-1], ()):
            if any(taken.get(about, answer) != answer for about, answer in asked.items()):
                continue
            now = taken | asked
            ways = reached.setdefault(part, [])
            if not any(way <= set(now.items()) for way in ways):
                ways.append(set(now.items()))
                waiting.append(((*path, part), now))
    return ()


def _steps(questions: Iterable[Question], before: _Taken) -> Iterator[tuple[Joint, _Taken]]:
    """Every joint there may be, with the answers it takes."""
    for question in questions:
        for n, answer in enumerate(question.answers):
            taken = before | {question.about: n}
            for joint in answer.joints:
                yield joint, taken
            yield from _steps(answer.questions, taken)
