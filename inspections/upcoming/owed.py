"""What has to be measured again after something was changed, and which readings are from before.

Pure, no database. A part fitted or taken out, and work on the switch, make its earlier readings
old: what the switch does now is not what they say. A part that was only found fitted changes
nothing. Track gauge is not changed by parts; torque, insulation and kicker clearance belong to one
stretcher and become old only where the work was.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from assets.days import day
from assets.engineering.words import Vocabulary
from inspections.words import QuantityCode

# Asked for again after a change; detection where the railway's regime asks for it at all.
ASKED_AGAIN = (
    QuantityCode.SWITCH_OPENING,
    QuantityCode.FWC,
    QuantityCode.LOCK_GO,
    QuantityCode.LOCK_NO_GO,
    QuantityCode.DETECT_GO,
    QuantityCode.DETECT_NO_GO,
    QuantityCode.INSULATION_RESISTANCE,
    QuantityCode.TORQUE,
)
OF_ONE_ROD = (
    QuantityCode.TORQUE,
    QuantityCode.INSULATION_RESISTANCE,
    QuantityCode.KICKER_CLEARANCE,
)


class Done(Vocabulary):
    """What was changed."""

    ROD = "rod", "stretcher"
    DRIVE = "drive", "machine or lost-motion fitting"
    WORK = "work", "work on the switch"


@dataclass(frozen=True)
class Change:
    """One thing done to a set of points.

    ``at`` None: the time of day is not recorded. ``places`` are the ids of the stretchers' places
    where it was done, none for the switch as a whole.
    """

    what: Done
    on: date
    at: datetime | None = None
    places: frozenset[int] = frozenset()
    words: str = field(default="", compare=False)

    def touches(self, quantity: str, place: int | None) -> bool:
        """Whether a reading of this quantity at this place may be another after it."""
        if quantity in OF_ONE_ROD:
            return self.what != Done.DRIVE and place in self.places
        return quantity != QuantityCode.TRACK_GAUGE or self.what == Done.WORK

    def is_before(self, taken: "Taken") -> bool | None:
        """Whether it was done before a reading was taken; None: the same day, and nobody knows."""
        if self.at is not None:
            return self.at <= taken.at
        if self.on != taken.on:
            return self.on < taken.on
        return True if taken.after_work else None


@dataclass(frozen=True)
class Taken:
    """A reading that has a value. ``after_work``: its visit was made after work or fitting."""

    quantity: str
    place: int | None
    side: str
    lie: str
    at: datetime
    on: date
    after_work: bool = False

    @property
    def spot(self) -> tuple:
        return (self.quantity, self.place, self.side, self.lie)


@dataclass(frozen=True)
class Asked:
    """A reading that these points need. ``certain`` False: only if they are track-circuited."""

    quantity: str
    place: int | None = None
    side: str = ""
    lie: str = ""
    certain: bool = True

    @property
    def spot(self) -> tuple:
        return (self.quantity, self.place, self.side, self.lie)


@dataclass(frozen=True)
class Owed:
    """A reading to be taken since ``change``.

    ``again``: the torque was read once and is owed a second time, after the first traffic.
    ``by`` is the last day for that second reading. ``same_day``: one was taken on the day of the
    change, before or after it is not known.
    """

    asked: Asked
    change: Change
    again: bool = False
    by: date | None = None
    same_day: bool = False


def owed(
    asked: Iterable[Asked], changes: Iterable[Change], taken: Iterable[Taken], torque_days: int
) -> tuple[Owed, ...]:
    """What is to be measured again, in the order asked; nothing where nothing was changed.

    Torque is owed twice: since the change, and again on a later day, within ``torque_days`` days
    of the change, since trains have run by then. A reading that is out of limits was taken: it is
    a finding and no longer owed.
    """
    changes = list(changes)
    by_spot: dict[tuple, list[Taken]] = {}
    for one in taken:
        by_spot.setdefault(one.spot, []).append(one)
    found = []
    for one in asked:
        last = _last([c for c in changes if c.touches(one.quantity, one.place)])
        if last:
            found += _owed_of(one, last, by_spot.get(one.spot, []), torque_days)
    return tuple(found)


def _owed_of(
    asked: Asked, last: list[Change], taken: list[Taken], torque_days: int
) -> Iterable[Owed]:
    change = last[-1]
    twice = asked.quantity == QuantityCode.TORQUE
    by = change.on + timedelta(days=torque_days) if twice else None
    since = {one.on for one in taken if all(change.is_before(one) for change in last)}
    if not since:
        same_day = any(change.is_before(one) is None for one in taken for change in last)
        return [Owed(asked, change, by=by, same_day=same_day)]
    return [Owed(asked, change, again=True, by=by)] if twice and len(since) == 1 else []


def outdated(changes: Iterable[Change], taken: Taken) -> str:
    """What is said beside a reading from before the last change; "" for one that stands."""
    touching = [c for c in changes if c.touches(taken.quantity, taken.place)]
    after = [change for change in _last(touching) if not change.is_before(taken)]
    if not after:
        return ""
    if all(change.is_before(taken) is None for change in after):
        return f"on the day of the work of {day(after[-1].on)}, before or after it is not known"
    return f"before the work of {day(after[-1].on)}"


def told_by_visits(
    visits: Iterable[Change], recorded: Iterable[Change], torque_days: int
) -> list[Change]:
    """Visits made after work that is recorded nowhere else, as changes.

    A visit after work within ``torque_days`` days of recorded work, or of another such visit,
    belongs to the same job and only adds to what was measured.
    """
    days = sorted(change.on for change in recorded)
    found: list[Change] = []
    for visit in sorted(visits, key=lambda visit: (visit.on, visit.at)):
        first = visit.on - timedelta(days=torque_days)
        if not any(first <= on <= visit.on for on in days):
            found.append(visit)
            days.append(visit.on)
    return found


def _last(changes: list[Change]) -> list[Change]:
    """Those of the last day, in the order of their times; those without a time first."""
    if not changes:
        return []
    on = max(change.on for change in changes)
    last = [change for change in changes if change.on == on]
    return sorted(last, key=lambda change: change.at.timestamp() if change.at else 0)
