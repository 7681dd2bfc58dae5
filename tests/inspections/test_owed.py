"""What is owed after a change: each test asks what would make the list false.

What is measured again after a part is fitted is common practice, no source.
"""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from inspections.upcoming.owed import (
    Asked,
    Change,
    Done,
    Owed,
    Taken,
    outdated,
    owed,
    told_by_visits,
)

DAY = date(2026, 11, 5)
NOON = datetime(2026, 11, 5, 12, tzinfo=UTC)
FIRST, THIRD = 11, 13  # ids of places
CLEARANCE = Asked("fwc", THIRD, lie="left_closed")
OTHER_LIE = Asked("fwc", THIRD, lie="right_closed")
OPENING = Asked("switch_opening", lie="left_closed")
TORQUE = Asked("torque", THIRD, side="left")
TORQUE_OF_FIRST = Asked("torque", FIRST, side="left")
INSULATION = Asked("insulation_resistance", THIRD, side="left")
FITTED = Change(Done.ROD, DAY, places=frozenset({THIRD}))
MACHINE = Change(Done.DRIVE, DAY, places=frozenset({FIRST}))
TURNED = Change(Done.WORK, DAY, at=NOON, places=frozenset({THIRD}))


def taken(asked: Asked, *when: int, after_work: bool = False) -> Taken:
    at = datetime(*when, tzinfo=UTC)
    return Taken(
        asked.quantity, asked.place, asked.side, asked.lie, at, at.date(), after_work=after_work
    )


def owing(asked, changes, readings=(), days: int = 14) -> list[Asked]:
    return [one.asked for one in owed(asked, changes, readings, days)]


def test_nothing_changed_nothing_owed():
    assert owed([CLEARANCE, OPENING, TORQUE], [], [], 14) == ()


def test_a_rod_fitted_makes_the_whole_switch_owe_clearance_and_opening():
    readings = [taken(CLEARANCE, 2026, 11, 4), taken(OPENING, 2026, 11, 4)]
    assert owing([CLEARANCE, OTHER_LIE, OPENING], [FITTED], readings) == [
        CLEARANCE,
        OTHER_LIE,
        OPENING,
    ]


def test_a_reading_since_settles_its_own_lie_only():
    assert owing([CLEARANCE, OTHER_LIE], [FITTED], [taken(CLEARANCE, 2026, 11, 6)]) == [OTHER_LIE]


def test_a_reading_of_the_same_day_counts_only_if_taken_after():
    routine = taken(CLEARANCE, 2026, 11, 5, 18)
    (found,) = owed([CLEARANCE], [FITTED], [routine], 14)
    assert found.same_day
    assert owing([CLEARANCE], [FITTED], [replace(routine, after_work=True)]) == []


@pytest.mark.parametrize(("hour", "settles"), [(11, False), (12, True), (13, True)])
def test_work_with_its_time_is_put_in_order_by_time(hour, settles):
    reading = taken(CLEARANCE, 2026, 11, 5, hour, after_work=True)
    (*left,) = owed([CLEARANCE], [TURNED], [reading], 14)
    assert (left == []) is settles
    assert not any(one.same_day for one in left)


def test_of_two_changes_on_one_day_the_reading_must_follow_both():
    between = taken(CLEARANCE, 2026, 11, 5, 11, after_work=True)
    assert owing([CLEARANCE], [TURNED, FITTED], [between]) == [CLEARANCE]


def test_only_the_last_change_counts():
    earlier = replace(FITTED, on=date(2026, 1, 5))
    assert owing([CLEARANCE], [earlier, FITTED], [taken(CLEARANCE, 2026, 2, 1)]) == [CLEARANCE]
    assert owing([CLEARANCE], [FITTED, earlier], [taken(CLEARANCE, 2026, 12, 1)]) == []


def test_torque_and_insulation_are_owed_where_the_rod_was_changed():
    asked = [TORQUE, TORQUE_OF_FIRST, INSULATION]
    assert owing(asked, [FITTED]) == [TORQUE, INSULATION]


def test_a_machine_changed_leaves_torque_and_insulation_alone():
    where_it_drives = Asked("torque", FIRST, side="left")
    assert owing([where_it_drives, INSULATION, OPENING], [MACHINE]) == [OPENING]


def test_track_gauge_is_not_changed_by_a_part():
    gauge = taken(Asked("track_gauge"), 2026, 11, 4)
    assert outdated([FITTED, MACHINE], gauge) == ""
    assert outdated([TURNED], gauge) == "before the work of 5 Nov 2026"


def test_torque_is_owed_again_after_the_first_traffic():
    once = [taken(TORQUE, 2026, 11, 5, after_work=True)]
    (again,) = owed([TORQUE], [FITTED], once, 14)
    assert again == Owed(TORQUE, FITTED, again=True, by=date(2026, 11, 19))
    same_day = [*once, taken(TORQUE, 2026, 11, 5, 15, after_work=True)]
    assert owed([TORQUE], [FITTED], same_day, 14) == (again,)
    assert owed([TORQUE], [FITTED], [*once, taken(TORQUE, 2026, 11, 12)], 14) == ()


def test_a_torque_from_before_the_change_is_not_the_first_of_the_two():
    readings = [taken(TORQUE, 2026, 11, 1), taken(TORQUE, 2026, 11, 6)]
    (found,) = owed([TORQUE], [FITTED], readings, 21)
    assert found.again
    assert found.by == date(2026, 11, 26)


def test_the_torque_of_one_rod_stays_settled_when_another_is_fitted():
    older = Change(Done.ROD, date(2026, 1, 5), places=frozenset({FIRST}))
    read = [taken(TORQUE_OF_FIRST, 2026, 1, 6), taken(TORQUE_OF_FIRST, 2026, 1, 12)]
    assert owing([TORQUE_OF_FIRST, TORQUE], [older, FITTED], read) == [TORQUE]


def test_what_is_said_beside_a_reading_from_before():
    assert outdated([FITTED], taken(CLEARANCE, 2026, 11, 4)) == "before the work of 5 Nov 2026"
    assert outdated([FITTED], taken(CLEARANCE, 2026, 11, 6)) == ""
    same_day = outdated([FITTED], taken(CLEARANCE, 2026, 11, 5, 18))
    assert same_day == "on the day of the work of 5 Nov 2026, before or after it is not known"
    assert outdated([FITTED], taken(TORQUE_OF_FIRST, 2026, 11, 4)) == ""
    assert outdated([], taken(CLEARANCE, 2026, 11, 4)) == ""


def visit_on(month: int, of_month: int) -> Change:
    at = datetime(2026, month, of_month, 12, tzinfo=UTC)
    return Change(Done.WORK, at.date(), at)


def test_a_visit_after_work_that_nobody_recorded_is_a_change():
    assert told_by_visits([visit_on(11, 5)], [], 14) == [visit_on(11, 5)]


def test_visits_of_the_same_job_add_to_it_and_change_nothing():
    visits = [visit_on(11, 5), visit_on(11, 19), visit_on(11, 20)]
    assert told_by_visits(visits, [], 14) == [visit_on(11, 5), visit_on(11, 20)]
    assert told_by_visits(visits, [FITTED], 14) == [visit_on(11, 20)]


def test_a_visit_before_the_recorded_work_does_not_belong_to_it():
    assert told_by_visits([visit_on(11, 4)], [FITTED], 14) == [visit_on(11, 4)]
