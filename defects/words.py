"""Words of a defect: how urgent, in what state, and what may be done to it."""

from assets.engineering.words import Vocabulary


class Urgency(Vocabulary):
    AT_ONCE = "at_once"
    URGENT = "urgent"
    PLANNED = "planned"
    WHEN_THERE = "when_there", "when next there"

    @property
    def days(self) -> int:
        """Days allowed from raising to closing, unless a due date is given."""
        return {"at_once": 0, "urgent": 7, "planned": 28, "when_there": 90}[self.value]

    def before(self, other: str) -> bool:
        """Whether this comes first of the two."""
        steps = list(Urgency)
        return steps.index(self) < steps.index(Urgency(other))

    @property
    def raised(self) -> "Urgency":
        """One step more urgent."""
        steps = list(Urgency)
        return steps[max(0, steps.index(self) - 1)]


class State(Vocabulary):
    RAISED = "raised"
    ACCEPTED = "accepted"
    WORK_DONE = "work_done"
    CLOSED = "closed"
    IN_ERROR = "in_error", "raised in error"

    @property
    def is_open(self) -> bool:
        return self not in (State.CLOSED, State.IN_ERROR)


OPEN_STATES = tuple(state.value for state in State if state.is_open)


class Move(Vocabulary):
    """What can happen to a defect; each is one event that stays."""

    RAISE = "raise", "raised"
    ACCEPT = "accept", "accepted"
    HAND_OVER = "hand_over", "handed over"
    RETURN = "return", "returned"
    WORK_DONE = "work_done"
    CLOSE = "close", "closed"
    IN_ERROR = "in_error", "raised in error"
    COMMENT = "comment"
    EDIT = "edit", "details changed"
    MEASURE = "measure", "temporary measure"
    MEASURED_AGAIN = "measured_again"
    LINK = "link", "linked"


class TemporaryMeasure(Vocabulary):
    NONE = "none"
    SECURED = "secured", "secured out of use"
    SPEED = "speed", "speed restriction"
    HAND_SIGNALLED = "hand_signalled", "hand-signalled"
    CLIPPED = "clipped", "clipped and padlocked"
    OTHER = "other", "other, see the note"


class ReturnReason(Vocabulary):
    """Why a defect is given back; the first three by who holds it, the last after the work."""

    NOT_OURS = "not_ours"
    NOT_THERE = "not_there", "not found there"
    NEED_MORE = "need_more", "need to know more"
    NOT_MENDED = "not_mended", "not repaired yet"


class OldPart(Vocabulary):
    """What becomes of a part that was replaced."""

    SET_ASIDE = "set_aside", "set aside"
    SCRAPPED = "scrapped"


class Check(Vocabulary):
    """What a look through the register can find wrong, with nobody at the points."""

    MIXED_INSULATION = "mixed_insulation", "insulation on both sides"
    KICKER_MISSING = "kicker_missing", "no kicker where one is required"
    TOO_FEW_RODS = "too_few_rods", "too few stretchers"
    SHOE_NOT_RAIL = "shoe_not_rail", "shoe does not match the rail"
    INSPECTION_OVERDUE = "inspection_overdue"
    CRACKED_PART = "cracked_part", "part with an open crack is fitted"
    ROD_DOES_NOT_SUIT = "rod_does_not_suit", "stretcher fitted that does not suit"
    NO_LOCK_RECORDED = "no_lock_recorded", "used facing, no lock stretcher recorded"
