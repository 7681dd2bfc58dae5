"""The best use of the store, against every possible way of giving the spares out."""

from dataclasses import replace
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assets.engineering.best_use import Confidence, best_use, gains
from assets.engineering.facts import PositionFacts
from assets.engineering.suitability import Outcome, assess_table
from assets.engineering.words import Condition, Generation, InsulationSide, Role
from tests.assets.engineering.rods import make_place, make_points, make_rod


def position(key="SKB 12", order=2, fitted=None, **place) -> PositionFacts:
    """A place on points with two good yellow rods beside it."""
    others = [
        make_place(n, role=Role.INTERMEDIATE, stretcher=make_rod(f"ST-9{n}"))
        for n in (4, 5)
        if n != order
    ]
    here = make_place(order, role=Role.INTERMEDIATE, stretcher=fitted, **place)
    return PositionFacts(replace(make_points(here, *others), key=key), order)


def worth(table, pairs) -> tuple[int, int, int]:
    """What a way of giving out is worth, best highest: sure ones, ones to look at, effort saved."""
    outcomes = [table.outcome(spare, place) for spare, place in pairs]
    sure = sum(o in (Outcome.SUITS, Outcome.SUITS_AFTER_WORK) for o in outcomes)
    effort = sum(int(table.work[p]) * 20 + int(table.unknown[p]) for p in pairs)
    return sure, sum(o is Outcome.CANNOT_SAY for o in outcomes), -effort


def every_way(spares: int, places: int):
    """All ways of giving out at most one spare to each place, as (spare, place) pairs."""
    choices = [*range(spares), *[None] * places]
    for order in set(permutations(choices, places)):
        yield [(spare, place) for place, spare in enumerate(order) if spare is not None]


@st.composite
def rods(draw):
    return make_rod(
        generation=draw(st.sampled_from([Generation.YELLOW, Generation.RED])),
        insulation_side=draw(st.sampled_from([InsulationSide.LEFT, InsulationSide.UNKNOWN])),
        condition=draw(
            st.sampled_from([Condition.GOOD, Condition.REPAIR, Condition.SCRAP, Condition.UNKNOWN])
        ),
        torque_nm=draw(st.sampled_from([220.0, None])),
        kicker=draw(st.booleans()),
    )


@settings(max_examples=60, deadline=None)
@given(st.lists(rods(), max_size=4), st.lists(st.sampled_from([True, False, None]), max_size=3))
def test_no_other_way_of_giving_out_fills_more_or_takes_less_work(spares, kickers):
    places = [position(f"SKB {n}", kicker_required=k) for n, k in enumerate(kickers)]
    found = best_use(spares, places)
    pairs = [(one.spare, one.place) for one in found.assigned]
    assert len({spare for spare, _ in pairs}) == len(pairs) == len({place for _, place in pairs})
    if not spares or not places:
        assert pairs == []
        return
    table = assess_table(spares, places)
    allowed = (
        way
        for way in every_way(len(spares), len(places))
        if all(table.outcome(*pair) is not Outcome.DOES_NOT_SUIT for pair in way)
    )
    assert worth(table, pairs) == max(worth(table, way) for way in allowed)
    assert all(table.outcome(*pair) is not Outcome.DOES_NOT_SUIT for pair in pairs)
    left = {one.place for one in found.left}
    assert left | {place for _, place in pairs} == set(range(len(places)))
    assert set(found.unused) | {spare for spare, _ in pairs} == set(range(len(spares)))


def test_the_rod_that_suits_only_one_place_gets_it_and_the_other_goes_elsewhere():
    with_kicker, without = make_rod("ST-1", kicker=True), make_rod("ST-2", kicker=False)
    needs_kicker = position("SKB 12", kicker_required=True)
    plain = position("SKB 14", kicker_required=False)
    found = best_use([with_kicker, without], [plain, needs_kicker])
    assert [(one.spare, one.place) for one in found.assigned] == [(1, 0), (0, 1)]
    assert {one.confidence for one in found.assigned} == {Confidence.SURE}


def test_a_sure_rod_is_worth_more_than_any_number_to_be_looked_at():
    """400 is above the effort of any pair: some twenty rules, each of weight 20."""
    sure = make_rod("ST-1")
    doubtful = make_rod("ST-2", condition=Condition.UNKNOWN)
    gain = gains(assess_table([sure, doubtful], [position()] * 2))
    assert gain[0, 0] > 2 * gain[1, 0] + 2 * 400
    assert gain[1, 0] > 2 * 400


def test_a_place_without_a_rod_says_which_spares_are_of_more_use_elsewhere():
    only = make_rod("ST-1")
    places = [position("SKB 12"), position("SKB 14")]
    found = best_use([only], places)
    assert len(found.assigned) == len(found.left) == 1
    assert found.left[0].could_take == (0,)


def test_a_place_for_which_nothing_will_do_names_the_nearest_and_what_is_against_it():
    scrap = make_rod("ST-1", condition=Condition.SCRAP)
    worse = make_rod("ST-2", condition=Condition.SCRAP, quarantined=True)
    [left] = best_use([worse, scrap], [position()]).left
    assert left.nearest == 1
    assert left.assessment["condition"].reason == "Scrap."


def test_two_new_rods_insulated_on_opposite_sides_are_found_out_by_the_joint_check():
    """Each suits the empty points by itself; together, bare to one machine, they disagree."""
    left_rod = make_rod("ST-1", insulation_side=InsulationSide.LEFT)
    right_rod = make_rod("ST-2", insulation_side=InsulationSide.RIGHT, can_be_turned=False)
    points = make_points(
        make_place(1, role=Role.INTERMEDIATE), make_place(2, role=Role.INTERMEDIATE)
    )
    found = best_use([left_rod, right_rod], [PositionFacts(points, 1), PositionFacts(points, 2)])
    assert len(found.assigned) == 2
    for one in found.assigned:
        assert one.alone["turning end for end"].outcome is Outcome.SUITS
        assert one.together["turning end for end"].outcome is not Outcome.SUITS
        assert "turning end for end" in one.rules_that_differ
    assert any(one.differs for one in found.assigned)
    assert [one.differs for one in found.assigned] == [
        one.alone.outcome is not one.together.outcome for one in found.assigned
    ]


def test_points_read_twice_are_the_same_points_to_the_joint_check():
    """Each place may come with a copy of its points: they are told apart by their key."""
    rods = [
        make_rod("ST-1", insulation_side=InsulationSide.LEFT),
        make_rod("ST-2", insulation_side=InsulationSide.RIGHT, can_be_turned=False),
    ]
    empty = (make_place(1, role=Role.INTERMEDIATE), make_place(2, role=Role.INTERMEDIATE))
    places = [PositionFacts(make_points(*empty), order) for order in (1, 2)]
    found = best_use(rods, places)
    assert all("turning end for end" in one.rules_that_differ for one in found.assigned)


def test_one_sure_place_goes_before_two_that_must_be_looked_at():
    """The rod with a kicker suits the first place for sure; used at the second it would leave
    the first to the rod of which nothing is known, and fill both, neither of them surely.
    """
    known = make_rod("ST-1", kicker=True)
    unknown = make_rod("ST-2", kicker=None, condition=Condition.UNKNOWN)
    sure = position("SKB 12", kicker_required=True)
    doubtful = position("SKB 14", kicker_required=True, separation=None)
    found = best_use([known, unknown], [sure, doubtful])
    table = assess_table([known, unknown], [sure, doubtful])
    given_out = [(one.spare, one.place) for one in found.assigned]
    assert table.outcome(0, 0) in (Outcome.SUITS, Outcome.SUITS_AFTER_WORK)
    assert (0, 0) in given_out
    gain = gains(table)
    assert gain[0, 0] > gain[0, 1] + gain[1, 0]


def test_spares_of_more_use_elsewhere_are_named_the_likeliest_first():
    good, mend = make_rod("ST-1"), make_rod("ST-2", condition=Condition.REPAIR)
    places = [position(f"SKB {n}") for n in (12, 14, 16)]
    [left] = best_use([mend, good], places).left
    assert left.could_take == (1, 0)


def test_the_joint_check_of_alike_points_keeps_them_apart():
    """Two sets of points alike in every fact are two: a rod in one is not in the other."""
    rod = make_rod("ST-1", insulation_side=InsulationSide.LEFT)
    other = replace(rod, tag="ST-2")
    places = [position("SKB 12"), position("SKB 14")]
    found = best_use([rod, other], places)
    assert [one.rules_that_differ for one in found.assigned] == [(), ()]
    assert [one.differs for one in found.assigned] == [False, False]


def test_an_empty_store_leaves_every_place_and_no_places_need_nothing():
    assert [left.place for left in best_use([], [position(), position("SKB 14")]).left] == [0, 1]
    assert best_use([make_rod()], []).assigned == ()


@pytest.mark.parametrize("count", [1, 3])
def test_a_rod_that_does_not_suit_is_never_given(count):
    spares = [make_rod(f"ST-{n}", quarantined=True) for n in range(count)]
    found = best_use(spares, [position()])
    assert found.assigned == ()
    assert len(found.unused) == count
