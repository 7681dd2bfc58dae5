"""The lock notches of a lock stretcher against the movement of the switch at the lock."""

from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Outcome,
    Said,
    Truth,
    after_work,
    cannot_say,
    figure,
    misfit,
    mm,
    sentence,
    suits,
)

from ..facts import Interval, PositionFacts, StretcherFacts
from ..words import Notches, Role

LOCK_TOLERANCE_MM = 1.6  # the lock must still enter with this much out


WITHOUT_CUT = {
    Notches.NOT_A_LOCK: Outcome.DOES_NOT_SUIT,
    Notches.UNKNOWN: Outcome.CANNOT_SAY,
    Notches.UNCUT: Outcome.SUITS_AFTER_WORK,
}


class NotchNeed(NamedTuple):
    """What a lock asks of the notches (mm): the movement as read, and the movement permitted."""

    locked: bool
    nominal_mm: float | None = None
    read: Interval | None = None  # least and most of the two lies; None: not read on both
    permitted: Interval = Interval()


def notch_need(position: PositionFacts) -> NotchNeed:
    place = position.place
    if place.role is not Role.LOCK:
        return NotchNeed(False)
    permitted = place.permitted_travel or Interval()
    return NotchNeed(True, place.travel_mm, place.measured_travel, permitted)


Cut = tuple[Notches, float | None]  # whether the notches are cut, and how far apart (mm)


def notch_outcome(rod: Cut, need: NotchNeed) -> Outcome:
    """Compares figures only, since every spare meets every lock; the words come after."""
    cut, apart = rod
    if not need.locked:
        return Outcome.SUITS
    if cut is not Notches.CUT:
        return WITHOUT_CUT[cut]
    if apart is None:
        return Outcome.CANNOT_SAY
    least, most = need.permitted.least, need.permitted.most
    if _beyond(apart, need.permitted) > LOCK_TOLERANCE_MM:
        return Outcome.DOES_NOT_SUIT
    if least is None or most is None or need.read is None:
        return Outcome.CANNOT_SAY
    agrees = _out(apart, need.read) <= LOCK_TOLERANCE_MM
    return Outcome.SUITS if agrees else Outcome.SUITS_AFTER_WORK


def notch_outcome_turned(rod: Cut, need: NotchNeed) -> Outcome:
    """The same of a rod that lies end for end."""
    if need.locked and rod[0] is Notches.CUT:
        return Outcome.CANNOT_SAY
    return notch_outcome(rod, need)


def notches(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    need = notch_need(position)
    if not need.locked:
        return suits("No lock acts at this place.")
    if stretcher.notches is Notches.NOT_A_LOCK:
        return misfit("Has no place for lock notches.", "use a lock stretcher")
    if stretcher.notches is Notches.UNKNOWN:
        return cannot_say(
            "whether its lock notches are cut is not known",
            "the stretcher: are its lock notches cut?",
        )
    if stretcher.notches is Notches.UNCUT:
        mark = "the movement measured on site" if need.nominal_mm is None else mm(need.nominal_mm)
        return after_work(
            "Its lock notches are not cut yet.",
            f"cut the notches to suit on site ({mark} apart), then prove with the lock test",
        )
    if stretcher.notch_distance_mm is None:
        return cannot_say(
            "its lock notches are cut for other points; their distance is not known",
            "the distance between the notches",
        )
    return _cut(stretcher.notch_distance_mm, need, position.place.measured_travel_from)


def notches_turned(stretcher: StretcherFacts, position: PositionFacts) -> Said:
    """Of a rod that lies end for end: its notches were measured from the other end."""
    if notch_need(position).locked and stretcher.notches is Notches.CUT:
        return cannot_say(
            "its lock notches are cut, and where they come to was never measured from the other "
            "end",
            "the distance of each notch from the other end of the stretcher",
        )
    return notches(stretcher, position)


def _cut(apart: float, need: NotchNeed, from_where: str) -> Said:
    """Notches that are cut, against what was read within what is permitted."""
    outcome, permitted = notch_outcome((Notches.CUT, apart), need), need.permitted
    told, tolerance = f"lock notches {mm(apart)} apart", mm(LOCK_TOLERANCE_MM)
    allowed = f"movement permitted at the lock {_range(permitted)}"
    source = f" ({from_where})" if from_where else ""
    if outcome is Outcome.DOES_NOT_SUIT:
        return misfit(
            sentence(f"{told}, {allowed}: {mm(_beyond(apart, permitted))} outside, more than "
                     f"{tolerance}"),
            "cut new notches if they fall clear of the old ones, or use another stretcher",
        )  # fmt: skip
    if permitted.least is None or permitted.most is None:
        return cannot_say(
            f"{told}; the movement permitted at the lock is not known",
            "the least and the greatest switch opening that the railway permits",
        )
    if need.read is None:
        return cannot_say(
            f"{told}, {allowed}; a permitted opening that the switch is set to is not known on "
            f"both lies{source}",
            "the switch opening on both lies",
        )
    measured = (
        f"{told}, the lock moves {_range(need.read)}{source}: {mm(_out(apart, need.read))} out"
    )
    if outcome is Outcome.SUITS:
        return suits(sentence(f"{measured}, within {tolerance}; the lock test decides"))
    return after_work(
        sentence(f"{measured}, more than {tolerance}; {allowed}"),
        f"set the switch so that the lock moves {mm(apart)} on both lies, then prove with the "
        "lock test; or use another stretcher",
    )


NOTCHES = Truth(
    suits="No lock acts here; or the notches are cut, and their distance agrees within "
    f"{mm(LOCK_TOLERANCE_MM)} with the movement at the lock for the switch opening measured on "
    "each lie, which is within the permitted range.",
    after_work="The notches are not cut yet; or they agree with an opening that is permitted and "
    "not with the one that was measured.",
    cannot_say="Whether they are cut, their distance, the permitted range or the opening on both "
    "lies is not known; or they are cut and the stretcher is to be turned end for end.",
    does_not_suit="The stretcher has no place for notches, or their distance is more than "
    f"{mm(LOCK_TOLERANCE_MM)} outside the movement permitted at the lock.",
)


def _beyond(apart: float, permitted: Interval) -> float:
    """By how much the notches are outside what is permitted (mm); 0 within."""
    short = 0.0 if permitted.least is None else permitted.least - apart
    long = 0.0 if permitted.most is None else apart - permitted.most
    return max(0.0, short, long)


def _out(apart: float, read: Interval) -> float:
    """By how much the notches disagree with the movement read on the worse lie (mm)."""
    return max(abs(apart - end) for end in (read.least, read.most) if end is not None)


def _range(of: Interval) -> str:
    if of.least is not None and of.most is not None:
        same = figure(of.least) == figure(of.most)
        return mm(of.least) if same else f"{figure(of.least)} to {mm(of.most)}"
    if of.most is not None:
        return f"at most {mm(of.most)}"
    return "not known" if of.least is None else f"at least {mm(of.least)}"
