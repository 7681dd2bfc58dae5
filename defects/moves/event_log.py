"""Writing a move down: the lock, the event, and the two ways of saying no."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError

from assets.days import minute
from assets.departments import Department, Post, departments_of, name_of, posts_of
from assets.engineering.words import Vocabulary
from defects.models import Defect, Event
from defects.moves.transitions import STEPS, refusal
from defects.words import Move, State


class Refused(Exception):
    """A move that is not allowed; the sentence is for people, ``field`` the box it belongs to."""

    def __init__(self, sentence: str, field: str = ""):
        super().__init__(sentence)
        self.sentence = sentence
        self.field = field


class Changed(Refused):
    """Somebody acted on the defect meanwhile; ``events`` are what they did, oldest first."""

    def __init__(self, events: list[Event]):
        super().__init__(
            f"Someone else changed this defect: {told(events)}. Check it again, then decide."
        )
        self.events = events


@dataclass(frozen=True)
class Behalf:
    """Somebody named in a workbook, for whom an account enters what they did.

    It stands in the place of a user: the account's own post decides what may be entered, the name
    and the department ("" for the responsible engineer) are the workbook's. ``account`` None is
    whoever looks after the program.
    """

    name: str
    department: str
    account: Any

    is_authenticated = True

    @property
    def is_superuser(self) -> bool:
        return self.account is None or self.account.is_superuser

    @property
    def _posts(self) -> frozenset[Post]:
        return posts_of(self.account)

    @property
    def answers_for_both(self) -> bool:
        """Whether the account may do what the responsible engineer may."""
        return Post.ENGINEER in posts_of(self)

    def get_full_name(self) -> str:
        return self.name


def account_of(user):
    """The account behind whoever acts, to be kept with the record; None for the program itself."""
    return user.account if isinstance(user, Behalf) else user


def told(events: Iterable[Event]) -> str:
    """These events in one line: "accepted by Lineman A, 3 May 2026 13:00"."""
    return "; ".join(map(_in_words, events))


def _in_words(event: Event) -> str:
    said = f" ({event.sentence})" if event.sentence else ""
    return f"{Move(event.move).label} by {event.by}, {minute(event.at)}{said}"


def lock(defect: Defect, version: int | None, stale_is_fine: bool = False) -> Defect:
    """The defect as it is now, locked; Changed if it moved since the person looked."""
    seen = defect.version if version is None else version
    now = Defect.objects.select_for_update().get(pk=defect.pk)
    if now.version != seen and not stale_is_fine:
        latest = now.events.select_related("other").order_by("-pk")
        raise Changed(list(latest[: max(1, now.version - seen)])[::-1])
    return now


def take(
    defect: Defect, move: Move, user, version: int | None, stale_is_fine: bool = False
) -> Defect:
    """The defect locked, once it is sure that this user may make this move."""
    defect = lock(defect, version, stale_is_fine)
    sentence = refusal(defect, move, user)
    if sentence:
        raise Refused(sentence)
    return defect


def write(
    defect: Defect,
    move: Move,
    user,
    at: datetime,
    note: str = "",
    *,
    by: str = "",
    said: Mapping[str, Any] | None = None,
    **changes,
) -> Defect:
    """Writes the event, then what it changes: the order that the database's own rules ask for.

    ``said`` are further fields of the event, ``changes`` those of the defect.
    """
    step = STEPS.get((State(defect.state), move))
    if step is not None and step.to is not None:
        changes.setdefault("state", step.to.value)
    for name, value in changes.items():
        setattr(defect, name, value)
    Event.objects.create(
        defect=defect,
        at=at,
        by=by or name_of(user),
        user=account_of(user),
        department=acting_for(user, defect) or "",
        move=move.value,
        state=defect.state,
        owner=defect.owner,
        note=note.strip(),
        **(said or {}),
    )
    defect.version += 1
    defect.save(update_fields=["version", *changes])
    return defect


def acting_for(user, defect: Defect | None = None) -> Department | None:
    """The one department a user acts for; None for the engineer and for the program itself."""
    if isinstance(user, Behalf):
        return Department(user.department) if user.department else None
    departments = departments_of(user) if user is not None else frozenset()
    if len(departments) == 1:
        return next(iter(departments))
    if defect is not None and defect.owner in departments and Post.ENGINEER not in posts_of(user):
        return Department(defect.owner)
    return None


def needed(text: str, field: str) -> str:
    text = text.strip()
    if not text:
        raise Refused("Write it down, so that others understand it later.", field)
    return text


def word_of(words: type[Vocabulary], value: str, field: str):
    """The word with this value; refused where there is none such."""
    try:
        return words(value)
    except ValueError:
        choices = ", ".join(word.label for word in words)
        raise Refused(f'"{value}" is not one of: {choices}.', field) from None


def refuse_bad_fields(defect: Defect) -> None:
    """Lengths and words of what people typed, before the database sees it."""
    links = [field.name for field in Defect._meta.fields if field.is_relation]
    try:
        defect.clean_fields(exclude=[*links, "number", "id"])
    except ValidationError as problem:
        field, sentences = next(iter(problem.message_dict.items()))
        raise Refused(sentences[0], field) from problem
