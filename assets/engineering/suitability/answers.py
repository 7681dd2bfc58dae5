"""What a rule says, and what the rules together come to."""

from collections.abc import Iterable
from dataclasses import dataclass
from operator import attrgetter

from assets.engineering.words import Vocabulary

PRACTICE = "common practice, no source"


class Outcome(Vocabulary):
    """What comes of offering a rod to a place, from best to worst."""

    severity: int  # 0 for *suits* up to 3 for *does not suit*

    SUITS = "suits"
    SUITS_AFTER_WORK = "suits_after_work"
    CANNOT_SAY = "cannot_say"
    DOES_NOT_SUIT = "does_not_suit"


BY_SEVERITY = tuple(Outcome)
for _rank, _outcome in enumerate(BY_SEVERITY):
    _outcome.severity = _rank  # a plain attribute: it is read a million times for the whole railway


KNOWN_FIRST = (
    Outcome.DOES_NOT_SUIT,
    Outcome.SUITS_AFTER_WORK,
    Outcome.CANNOT_SAY,
    Outcome.SUITS,
)


def worst_known(outcomes: Iterable[Outcome]) -> Outcome:
    """The worst of these that says what is wrong; ValueError where there are none."""
    return min(outcomes, key=KNOWN_FIRST.index)


@dataclass(frozen=True, slots=True)
class Answer:
    """One rule's answer: the reason with its figures, and what would put it right."""

    rule: str
    outcome: Outcome
    reason: str
    remedy: str
    source: str


@dataclass(frozen=True, slots=True)
class Assessment:
    """One answer per rule, in the order of the table of rules."""

    answers: tuple[Answer, ...]

    @property
    def outcome(self) -> Outcome:
        """The worst outcome of any rule."""
        return max((f.outcome for f in self.answers), key=attrgetter("severity"))

    @property
    def fault(self) -> Outcome:
        """The worst that is known: work to do is not hidden by what cannot be said."""
        return worst_known(answer.outcome for answer in self.answers)

    @property
    def key(self) -> tuple[int, int, int, int]:
        """Sorts best first: outcome, misfits, amount of work, how much is unknown."""
        return (
            self.outcome.severity,
            self._count(Outcome.DOES_NOT_SUIT),
            self._count(Outcome.SUITS_AFTER_WORK),
            self._count(Outcome.CANNOT_SAY),
        )

    @property
    def remedies(self) -> tuple[str, ...]:
        """Everything that would have to be done or looked at, each once, worst first."""
        ordered = sorted(self.answers, key=lambda f: -f.outcome.severity)
        return tuple(dict.fromkeys(f.remedy for f in ordered if f.remedy))

    def __getitem__(self, rule: str) -> Answer:
        """The answer of the rule with this name; KeyError where there is none."""
        for answer in self.answers:
            if answer.rule == rule:
                return answer
        raise KeyError(rule)

    def _count(self, outcome: Outcome) -> int:
        return sum(f.outcome is outcome for f in self.answers)


@dataclass(frozen=True, slots=True)
class Truth:
    """When a rule gives each outcome, in words for the practitioner who disputes it.

    "" stands where the rule never gives that outcome.
    """

    suits: str
    after_work: str = ""
    cannot_say: str = ""
    does_not_suit: str = ""

    def of(self, outcome: Outcome) -> str:
        return {
            Outcome.SUITS: self.suits,
            Outcome.SUITS_AFTER_WORK: self.after_work,
            Outcome.CANNOT_SAY: self.cannot_say,
            Outcome.DOES_NOT_SUIT: self.does_not_suit,
        }[outcome]


# A rule says one of these; the table of rules adds its name and its source.
Said = tuple[Outcome, str, str]  # outcome, reason, remedy


def suits(reason: str) -> Said:
    return Outcome.SUITS, reason, ""


def after_work(reason: str, remedy: str) -> Said:
    return Outcome.SUITS_AFTER_WORK, reason, remedy


def cannot_say(reason: str, look: str) -> Said:
    return Outcome.CANNOT_SAY, f"Cannot say: {reason}.", f"go and check: {look}"


def misfit(reason: str, remedy: str) -> Said:
    return Outcome.DOES_NOT_SUIT, reason, remedy


def mm(value: float) -> str:
    """A length as people write it: "108 mm", "1.5 mm"."""
    return f"{figure(value)} mm"


def figure(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def listed(words: Iterable[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    *head, last = words
    return f"{', '.join(head)} and {last}" if head else last


def sentence(words: str) -> str:
    """The words with a capital and a full stop."""
    return f"{words[0].upper()}{words[1:]}."
