"""A set of points judged with the rods it has, and with other rods put in."""

from dataclasses import replace

import pytest

from assets.engineering.as_fitted import (
    NOTHING_TO_DRIVE,
    as_fitted,
    differences,
    faults,
    judged,
    with_rods,
)
from assets.engineering.circuit_faults import Contact, FailedInsulation
from assets.engineering.facts import PointsFacts, PositionFacts
from assets.engineering.suitability import Outcome, assess
from assets.engineering.words import Condition, DriveLug, Generation, InsulationSide, Role, Side
from tests.assets.engineering.rods import made_for, make_lock, make_place, make_points, make_rod


def fitted(**first) -> PointsFacts:
    """Lock, first (driven) and back stretcher, all insulated on the left."""
    back = make_rod("ST-003", made_for=made_for(Role.BACK))
    return make_points(
        make_place(0, stretcher=make_lock()),
        make_place(1, stretcher=make_rod("ST-002", **first)),
        make_place(2, stretcher=back),
    )


def test_every_rod_is_judged_where_it_is():
    found = as_fitted(fitted(drive_lug=DriveLug.NONE))
    assert [at.place.order for at in found.places] == [0, 1, 2]
    assert found.at(1).outcome is Outcome.DOES_NOT_SUIT
    assert found.at(1).assessment["drive lug"].reason == (
        "Driven here, and this stretcher has no drive lug."
    )
    assert found.at(2).outcome is Outcome.SUITS
    assert found.number.reason.startswith("2 stretchers, not counting the lock stretcher;")
    assert found.circuit.bridged is False
    with pytest.raises(StopIteration):
        found.at(7)


def test_many_are_judged_as_one_is():
    """The same outcomes as one by one, whatever was judged before and in whatever order."""
    rods = [
        make_rod(drive_lug=lug, insulation_side=side, kicker=kicker)
        for lug in (DriveLug.NONE, DriveLug.PLAIN, DriveLug.UNKNOWN)
        for side in InsulationSide
        for kicker in (True, False, None)
    ]
    many = [fitted().with_rod(order, rod) for rod in rods for order in (1, 2)]
    many += [fitted().with_rod(2, None), replace(fitted(), track_circuited=None)]
    places = [PositionFacts(one, place.order) for one in many for place in one.places]
    one_by_one = [judged(place.points, place.order) for place in places]
    expected = [found and found.fault for found in one_by_one]
    assert list(faults(places)) == expected
    assert list(faults(reversed(places))) == expected[::-1]
    assert {None, *Outcome} - set(expected) <= {Outcome.SUITS_AFTER_WORK}


def test_work_to_do_is_not_hidden_by_what_cannot_be_said():
    """Was not listed anywhere: a scrapped thread of a rod whose generation nobody recorded."""
    rod = make_rod(condition=Condition.REPAIR, generation=Generation.UNKNOWN)
    points = fitted().with_rod(1, rod)
    assert judged(points, 1).outcome is Outcome.CANNOT_SAY
    assert judged(points, 1).fault is Outcome.SUITS_AFTER_WORK
    assert list(faults([PositionFacts(points, 1)])) == [Outcome.SUITS_AFTER_WORK]


def test_the_lock_of_facing_points_is_said_of_the_points():
    assert as_fitted(fitted()).facing_lock.reason == "A lock stretcher is recorded here."


def test_a_place_without_a_rod_has_nothing_to_judge():
    empty = fitted().with_rod(2, None)
    found = as_fitted(empty)
    assert judged(empty, 2) is None
    assert found.at(2).assessment is None
    assert found.at(2).outcome is None
    assert found.number.reason == (
        "1 stretcher, not counting the lock stretcher; at least 2 are needed."
    )


def test_points_with_a_lock_stretcher_alone_want_stretchers():
    lock_only = with_rods(fitted(), {1: None, 2: None})
    answer = as_fitted(lock_only).number
    assert answer.outcome is Outcome.SUITS_AFTER_WORK
    assert answer.reason.startswith("No stretcher, not counting the lock stretcher;")


def test_lost_motion_is_told_at_each_place_that_is_driven():
    found = as_fitted(fitted())
    ((place, answer),) = found.lost_motion
    assert (place.order, answer.outcome) == (1, Outcome.SUITS)
    ((place, answer),) = as_fitted(fitted().with_rod(1, None)).lost_motion
    assert answer is NOTHING_TO_DRIVE


def test_a_machine_at_a_place_not_known_to_be_driven_is_told_of_too():
    unsure = fitted().with_place(1, driven=None)
    assert [place.order for place, _ in as_fitted(unsure).lost_motion] == [1]
    idle = fitted().with_place(1, driven=None, machine=None)
    assert as_fitted(idle).lost_motion == ()


def test_what_visits_found_of_the_circuit_counts():
    touching = replace(fitted(), contacts=(Contact(1, Side.LEFT),))
    assert as_fitted(touching).circuit.bridged is True
    failed = replace(fitted(), failed_insulations=(FailedInsulation(2),))
    assert as_fitted(failed).circuit.bridged is True
    assert (
        as_fitted(failed)
        .at(1)
        .assessment["continuity"]
        .reason.startswith("The track circuit is already shorted")
    )
    # What was found of the rod at 2 goes with it, so another rod there is judged without it.
    assert judged(with_rods(failed, {2: make_rod("ST-014")}), 2)["continuity"].outcome is (
        Outcome.SUITS
    )


@pytest.mark.parametrize(
    "found",
    [{"failed_insulations": (FailedInsulation(1),)}, {"contacts": (Contact(1, Side.LEFT),)}],
)
def test_a_fitted_rod_is_judged_with_what_visits_found_of_it(found):
    """Was "the track circuit is not shorted" of the very rod whose insulation had failed."""
    points = replace(fitted(), **found)
    answer = judged(points, 1)["continuity"]
    assert answer.outcome is Outcome.SUITS_AFTER_WORK
    assert answer.reason.startswith("With this stretcher in place the track circuit is shorted: ")
    assert answer.reason.endswith(" That is what was last found of it.")
    assert answer.remedy == "renew its insulation or free it of what touches it"
    assert list(faults([PositionFacts(points, 1)])) == [judged(points, 1).fault]
    another = PositionFacts(points, 1)
    assert assess(make_rod("ST-014"), another)["continuity"].outcome is Outcome.SUITS


def test_a_rod_moved_leaves_its_old_place_empty():
    points = fitted()
    moved = with_rods(points, {2: points.place(1).stretcher})
    assert moved.place(1).stretcher is None
    assert moved.place(2).stretcher.tag == "ST-002"
    assert moved.place(0).stretcher.tag == "ST-001"


def test_two_rods_change_places():
    points = fitted()
    first, back = points.place(1).stretcher, points.place(2).stretcher
    swapped = with_rods(points, {1: back, 2: first})
    assert [place.stretcher.tag for place in swapped.places] == ["ST-001", "ST-003", "ST-002"]


def test_a_contact_goes_with_the_rod_it_was_found_at():
    found = (Contact(1, Side.LEFT), Contact(2, Side.LEFT))
    points = replace(fitted(), contacts=found, failed_insulations=(FailedInsulation(1),))
    other = with_rods(points, {1: make_rod("ST-014")})
    assert other.contacts == found[1:]
    assert other.failed_insulations == ()
    assert with_rods(points, {2: None}).contacts == found[:1]
    assert with_rods(points, {1: points.place(1).stretcher}).contacts == found


def test_only_rods_that_stay_are_told_of_as_judged_otherwise():
    """A rod insulated on the other side put in at 1: the two that stay now meet it."""
    points = fitted()
    turned = make_rod("ST-014", insulation_side=InsulationSide.RIGHT)
    changes = differences(as_fitted(points), as_fitted(with_rods(points, {1: turned})))
    assert {change.place.order for change in changes} == {0, 2}
    assert {change.rule for change in changes} == {"insulation side"}
    assert {change.before.outcome for change in changes} == {Outcome.SUITS}
    assert {change.after.outcome for change in changes} == {Outcome.SUITS_AFTER_WORK}


def test_nothing_changed_is_no_difference():
    points = fitted()
    assert differences(as_fitted(points), as_fitted(points)) == ()
    emptied = replace(points, places=tuple(replace(p, stretcher=None) for p in points.places))
    assert differences(as_fitted(points), as_fitted(emptied)) == ()


def test_metal_that_touches_a_rod_at_its_bare_end_joins_nothing():
    points = replace(fitted(), contacts=(Contact(1, Side.RIGHT),))
    assert judged(points, 1)["continuity"].outcome is Outcome.SUITS
