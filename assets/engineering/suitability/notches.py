"""The lock notches of a lock stretcher against the movement of the switch at the lock."""

from typing import NamedTuple

from assets.engineering.suitability.answers import (
    Said,
    Truth,
    after_work,
    cannot_say,
    figure,
    misfit,
    mm,
    suits,
)

from ..facts import Interval, PositionFacts, StretcherFacts
from ..words import Notches, Role

LOCK_TOLERANCE_MM = 1.6  # the lock must still enter with this much out


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


def _cut(apart: float, need: NotchNeed, where_from: str) -> Said:
    """Notches that are cut, against what was read within what is permitted."""
    permitted = need.permitted
    told = f"lock notches {mm(apart)} apart"
    allowed = f"movement permitted at the lock {_range(permitted)}"
    if _outside(apart, permitted):
        return misfit(
            f"{told[0].upper()}{told[1:]}, {allowed}: {mm(_beyond(apart, permitted))} outside, "
            f"more than {mm(LOCK_TOLERANCE_MM)}.",
            "cut new notches if they fall clear of the old ones, or use another stretcher",
        )
    if permitted.least is None or permitted.most is None:
        return cannot_say(
            f"{told}; the movement permitted at the lock is not known",
            "the least and the greatest switch opening that the railway permits",
        )
    if need.read is None:
        found = f" ({where_from})" if where_from else ""
        return cannot_say(
            f"{told}, {allowed}; the opening that the switch is set to is not known on both "
            f"lies{found}",
            "the switch opening on both lies",
        )
    out = max(abs(apart - end) for end in (need.read.least, need.read.most) if end is not None)
    source = f" ({where_from})" if where_from else ""
    measured = f"{told}, the lock moves {_range(need.read)}{source}: {mm(out)} out"
    measured = f"{measured[0].upper()}{measured[1:]}"
    if out <= LOCK_TOLERANCE_MM:
        return suits(f"{measured}, within {mm(LOCK_TOLERANCE_MM)}; the lock test decides.")
    return after_work(
        f"{measured}, more than {mm(LOCK_TOLERANCE_MM)}; {allowed}.",
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


def _outside(apart: float, permitted: Interval) -> bool:
    return _beyond(apart, permitted) > LOCK_TOLERANCE_MM


def _beyond(apart: float, permitted: Interval) -> float:
    """By how much the notches are outside what is permitted (mm); 0 within."""
    short = 0.0 if permitted.least is None else permitted.least - apart
    long = 0.0 if permitted.most is None else apart - permitted.most
    return max(0.0, short, long)


def _range(of: Interval) -> str:
    if of.least is not None and of.most is not None:
        same = figure(of.least) == figure(of.most)
        return mm(of.least) if same else f"{figure(of.least)} to {mm(of.most)}"
    if of.most is not None:
        return f"at most {mm(of.most)}"
    return "not known" if of.least is None else f"at least {mm(of.least)}"
