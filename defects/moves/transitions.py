"""The table of moves: in which state, where it leads, and who may make it.

The responsible engineer answers for both departments. What closing needs besides is decided in
``defects.closing.evidence``.
"""

from dataclasses import dataclass

from assets.departments import Department, Post, departments_of, posts_of
from assets.engineering.words import Vocabulary
from defects.models import Defect
from defects.words import Move, State


class Who(Vocabulary):
    """Who may make a move."""

    HOLDER = "holder", "the department that holds it"
    RAISER = "raiser", "the department that raised it"
    PARTY = "party", "a department that holds, repairs or checks it"
    CHECKER = "checker", "the department that checks it"
    ENGINEER = "engineer", "the responsible engineer"
    ANY = "any", "signalling or permanent way"


@dataclass(frozen=True)
class Step:
    """Where a move leads and who may make it; ``to`` None leaves the state as it is."""

    to: State | None
    who: Who


_ANY_STATE = tuple(State)
_OPEN = tuple(state for state in State if state.is_open)
_BEFORE_WORK = (State.RAISED, State.ACCEPTED)

STEPS: dict[tuple[State, Move], Step] = {
    (State.RAISED, Move.ACCEPT): Step(State.ACCEPTED, Who.HOLDER),
    (State.ACCEPTED, Move.WORK_DONE): Step(State.WORK_DONE, Who.HOLDER),
    **{(state, Move.HAND_OVER): Step(State.RAISED, Who.HOLDER) for state in _BEFORE_WORK},
    # After the work it is the checking that is handed over.
    (State.WORK_DONE, Move.HAND_OVER): Step(None, Who.HOLDER),
    **{(state, Move.RETURN): Step(State.RAISED, Who.HOLDER) for state in _OPEN},
    (State.WORK_DONE, Move.CLOSE): Step(State.CLOSED, Who.HOLDER),
    **{(state, Move.CLOSE): Step(State.CLOSED, Who.ENGINEER) for state in _BEFORE_WORK},
    **{(state, Move.IN_ERROR): Step(State.IN_ERROR, Who.RAISER) for state in _BEFORE_WORK},
    **{(state, Move.COMMENT): Step(None, Who.ANY) for state in _ANY_STATE},
    **{(state, Move.EDIT): Step(None, Who.PARTY) for state in _OPEN},
    **{(state, Move.MEASURED_AGAIN): Step(None, Who.ANY) for state in _OPEN},
    **{(state, Move.LINK): Step(None, Who.ANY) for state in _ANY_STATE},
    **{(state, Move.MEASURE): Step(None, Who.ANY) for state in _OPEN},
    # A measure outlasts the defect until somebody lifts it.
    **{(state, Move.MEASURE): Step(None, Who.CHECKER) for state in (State.CLOSED, State.IN_ERROR)},
}


def refusal(defect: Defect, move: Move, user) -> str:
    """Why this user may not make this move now; "" where they may."""
    step = STEPS.get((State(defect.state), move))
    if step is None:
        state = State(defect.state).label
        return f'Defect {defect.number} is {state}, so "{move.label}" does not come next.'
    if step.who not in standing_of(defect, user, asked=step.who):
        return f"Only {step.who.label} may do this{named(defect, step.who)}."
    return ""


def allowed(defect: Defect, user) -> list[Move]:
    """The moves this user may make now, in the order of the vocabulary."""
    return [move for move in Move if move != Move.RAISE and not refusal(defect, move, user)]


def standing_of(defect: Defect, user, asked: Who) -> set[Who]:
    """What the user is to this defect; who raised it is looked up only when asked for."""
    departments = departments_of(user) if user is not None else frozenset()
    standing = {Who.ANY} if departments else set()
    if Post.ENGINEER in (posts_of(user) if user is not None else ()):
        standing.add(Who.ENGINEER)
    if defect.owner in departments:
        standing.add(Who.HOLDER)
    if defect.checks in departments:
        standing.add(Who.CHECKER)
    if departments & {defect.owner, defect.mends, defect.checks}:
        standing.add(Who.PARTY)
    if asked == Who.RAISER and (raised_for(defect) or defect.checks) in departments:
        standing.add(Who.RAISER)
    return standing


def named(defect: Defect, who: Who) -> str:
    if who == Who.HOLDER:
        return f": {Department(defect.owner).label}"
    if who == Who.CHECKER:
        return f": {Department(defect.checks).label}"
    return ""


def raised_for(defect: Defect) -> str:
    """The department that raised it; "" where nobody's department did."""
    first = defect.events.order_by("pk").values_list("department", flat=True).first()
    return first or ""
