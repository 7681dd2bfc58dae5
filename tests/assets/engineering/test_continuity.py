"""The rails of a track circuit and the rods between them, drawn by hand and by chance.

The drawings are common practice in the trade, no source. The arrangements by chance are checked
against every simple path, written out here a second time from the facts.
"""

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assets.engineering.circuit.drawing import arrangement
from assets.engineering.circuit.failures import smallest_failures
from assets.engineering.circuit.joints import LEFT_RAIL, RIGHT_RAIL, Joint, bare_path
from assets.engineering.circuit_faults import (
    Contact,
    FailedInsulation,
    InsulatedPart,
    Touching,
)
from assets.engineering.continuity import continuity
from assets.engineering.facts import LostMotionFacts, MachineFacts, PlaceFacts, PointsFacts
from assets.engineering.words import InsulationSide, MachineKind, Role, Side
from tests.assets.engineering.rods import make_machine, make_place, make_points, make_rod

LEFT, RIGHT, BOTH, BARE, UNKNOWN = InsulationSide
INSULATED = make_machine()
BARE_MACHINE = make_machine(drive_insulated=False, lock_rod_insulated=False)
UNKNOWN_DRIVE = make_machine(drive_insulated=None, lock_rod_insulated=False)


def place(order: int, side: InsulationSide | None, **facts) -> PlaceFacts:
    rod = None if side is None else make_rod(insulation_side=side)
    return make_place(order, stretcher=rod, **facts)


def points(lock, first, second=None, machine=INSULATED, **facts) -> PointsFacts:
    """Lock, first and second stretcher by their insulation sides; the first is driven."""
    return make_points(place(0, lock), place(1, first, machine=machine), place(2, second), **facts)


def continuity_with(drawn: PointsFacts, contacts=(), failed=()):
    """The answer with what visits found at these places."""
    return continuity(replace(drawn, contacts=tuple(contacts), failed_insulations=tuple(failed)))


def without_driven(order: int, **changes) -> PointsFacts:
    """Points whose two rods lie on opposite sides and one machine, with changes to one place."""
    return make_points(
        place(0, LEFT),
        place(order, RIGHT, **{"driven": True, "machine": BARE_MACHINE, **changes}),
    )


def test_not_track_circuited_the_matter_does_not_arise():
    found = continuity(points(BARE, BARE, track_circuited=False))
    assert found.arises is False
    assert found.summary == "Not track-circuited, so this does not matter."
    assert (found.least_failures, found.failure_sets, found.unknowns) == (None, (), ())


def test_all_on_the_left_needs_one_failure_of_any_rod():
    found = continuity(points(LEFT, LEFT, LEFT))
    assert found.bridged is False
    assert found.path == ""
    assert found.least_failures == 1
    assert found.failure_sets == (
        ("left insulation of the first stretcher",),
        ("left insulation of the lock stretcher",),
        ("left insulation of the second stretcher",),
    )
    assert found.summary == (
        "Stretchers, drive rods, detection rods and soleplate do not short the track circuit. "
        "1 insulation failure would short it: "
        "left insulation of the first stretcher; or left insulation of the lock stretcher; "
        "or left insulation of the second stretcher."
    )


def test_all_on_one_side_are_not_joined_through_a_bare_machine():
    found = continuity(points(LEFT, LEFT, LEFT, machine=BARE_MACHINE))
    assert (found.bridged, found.least_failures) == (False, 1)


def test_opposite_sides_are_joined_through_a_bare_machine():
    found = continuity(points(LEFT, RIGHT, machine=BARE_MACHINE))
    assert found.bridged is True
    assert found.path == "left rail - first stretcher - machine - lock stretcher - right rail"
    assert found.summary == (
        "The track circuit is shorted: left rail - first stretcher - machine - lock stretcher - "
        "right rail."
    )
    assert found.least_failures == 0


def test_opposite_sides_are_kept_apart_by_the_insulation_of_the_drive():
    machine = make_machine(drive_insulated=True, lock_rod_insulated=False)
    found = continuity(points(LEFT, RIGHT, machine=machine))
    assert found.bridged is False
    assert found.least_failures == 1
    assert ("drive rod insulation at the first stretcher",) in found.failure_sets


def test_opposite_sides_with_drive_and_lock_rod_insulated_fail_first_at_a_rod():
    found = continuity(points(LEFT, RIGHT, machine=INSULATED))
    assert found.least_failures == 1
    assert found.failure_sets == (
        ("left insulation of the lock stretcher",),
        ("right insulation of the first stretcher",),
    )


def test_a_bare_rod_joins_the_rails_by_itself():
    found = continuity(points(LEFT, LEFT, BARE))
    assert found.path == "left rail - second stretcher - right rail"


def test_insulated_on_both_sides_it_takes_two_failures():
    found = continuity(points(None, BOTH))
    assert found.least_failures == 2
    assert found.failure_sets == (
        ("left insulation of the first stretcher", "right insulation of the first stretcher"),
    )
    assert "2 insulation failures would short it" in found.summary


def test_two_rods_insulated_on_both_sides_and_a_bare_machine_have_four_ways_to_fail():
    found = continuity(points(BOTH, BOTH, machine=BARE_MACHINE))
    assert found.least_failures == 2
    assert found.failure_sets == (
        ("left insulation of the first stretcher", "right insulation of the first stretcher"),
        ("left insulation of the first stretcher", "right insulation of the lock stretcher"),
        ("left insulation of the lock stretcher", "right insulation of the first stretcher"),
        ("left insulation of the lock stretcher", "right insulation of the lock stretcher"),
    )


def test_a_lost_motion_fitting_is_part_of_the_path():
    fitted = make_points(
        place(0, LEFT),
        place(1, RIGHT, machine=BARE_MACHINE, lost_motion_fitting=LostMotionFacts("LM-1")),
    )
    assert continuity(fitted).path == (
        "left rail - first stretcher - lost-motion fitting of the first stretcher - machine - "
        "lock stretcher - right rail"
    )


def test_the_second_driven_rod_joins_through_the_same_machine():
    machine = make_machine(tag="M-1", drive_insulated=False)
    driven_twice = make_points(
        place(1, LEFT, machine=machine), place(2, RIGHT, machine=machine, driven=True)
    )
    assert continuity(driven_twice).path == (
        "left rail - second stretcher - machine - first stretcher - right rail"
    )


def test_two_machines_without_metal_between_them_join_nothing():
    first, second = (make_machine(tag=tag, drive_insulated=False) for tag in ("M-1", "M-2"))
    apart = make_points(place(1, LEFT, machine=first), place(2, RIGHT, machine=second, driven=True))
    assert continuity(apart).bridged is False


def test_a_supplementary_drive_joins_if_metal_joins_it_to_the_machine():
    extra = make_machine(kind=MachineKind.SUPPLEMENTARY, drive_insulated=False)
    found = continuity(
        make_points(
            place(1, LEFT, machine=make_machine(drive_insulated=False)),
            place(2, RIGHT, machine=extra, driven=True),
        )
    )
    assert found.bridged is None
    assert found.summary.startswith(
        "Cannot say: go and check: whether metal joins the supplementary drive to the machine."
    )
    assert [(p.answer, p.bridged) for p in found.unknowns[0].possibilities] == [
        ("not joined by metal", False),
        ("joined through an insulation", False),
        ("joined by bare metal", True),
    ]


def test_a_rod_touching_the_stock_rail_passes_its_insulation_by():
    found = continuity_with(points(LEFT, LEFT), contacts=[Contact(1, Side.LEFT)])
    assert found.path == (
        "left rail - stretcher touching the stock rail (first stretcher, left) - first stretcher - "
        "right rail"
    )


def test_a_kicker_touching_on_the_bare_side_does_no_harm():
    touch = [Contact(1, Side.RIGHT, Touching.KICKER)]
    assert continuity_with(points(LEFT, LEFT), contacts=touch).bridged is False


def test_a_kicker_touching_the_rail_foot_on_the_insulated_side_joins_the_rails():
    found = continuity_with(points(LEFT, LEFT), contacts=[Contact(1, Side.LEFT, Touching.KICKER)])
    assert "kicker touching the rail foot (first stretcher, left)" in found.path


def test_metal_said_to_touch_where_there_is_no_rod_is_left_out():
    assert continuity_with(points(LEFT, None), contacts=[Contact(1, Side.LEFT)]).bridged is False


@pytest.mark.parametrize("part", [InsulatedPart.ROD, InsulatedPart.LEFT])
def test_a_failed_insulation_joins_the_rails(part):
    found = continuity_with(points(LEFT, LEFT), failed=[FailedInsulation(1, part)])
    assert found.path == "left rail - first stretcher - right rail"


def test_a_failed_insulation_on_the_other_end_changes_nothing():
    failed = [FailedInsulation(1, InsulatedPart.RIGHT)]
    assert continuity_with(points(LEFT, LEFT), failed=failed).least_failures == 1


def test_with_one_of_two_insulations_failed_one_more_is_enough():
    failed = [FailedInsulation(1, InsulatedPart.LEFT)]
    found = continuity_with(points(None, BOTH), failed=failed)
    assert found.failure_sets == (("right insulation of the first stretcher",),)


def test_failed_drive_and_lock_rod_insulations_count_as_bare():
    mixed = points(LEFT, RIGHT, machine=INSULATED)
    drive = FailedInsulation(1, InsulatedPart.DRIVE)
    lock_rod = FailedInsulation(0, InsulatedPart.LOCK_ROD)
    assert continuity_with(mixed, failed=[drive]).bridged is False
    assert continuity_with(mixed, failed=[drive, lock_rod]).bridged is True


def test_an_unknown_side_says_what_each_possibility_would_mean():
    found = continuity(points(LEFT, UNKNOWN, machine=BARE_MACHINE))
    assert found.bridged is None
    assert found.least_failures is None
    assert found.summary == (
        "Cannot say: go and check: on which side the first stretcher is insulated. "
        "The track circuit may be shorted: left rail - first stretcher - right rail."
    )
    (unknown,) = found.unknowns
    assert unknown.about == "the insulation side of the first stretcher"
    assert [(p.answer, p.meaning) for p in unknown.possibilities] == [
        (
            "insulated on both sides",
            "the track circuit is not shorted; 1 insulation failure would short it",
        ),
        (
            "insulated on the left",
            "the track circuit is not shorted; 1 insulation failure would short it",
        ),
        (
            "insulated on the right",
            (
                "the track circuit is shorted: "
                "left rail - first stretcher - machine - lock stretcher - right rail"
            ),
        ),
        ("not insulated", "the track circuit is shorted: left rail - first stretcher - right rail"),
    ]


def test_two_unknown_sides_decide_the_matter_together():
    found = continuity(points(UNKNOWN, UNKNOWN, machine=BARE_MACHINE))
    first = found.unknowns[0].possibilities
    assert [p.meaning for p in first][:2] == [
        "still not known: it depends on the other unknowns"
    ] * 2
    assert first[-1].bridged is True


def test_an_unknown_drive_matters_only_where_the_sides_are_mixed():
    assert continuity(points(LEFT, LEFT, machine=UNKNOWN_DRIVE)).bridged is False
    mixed = continuity(points(LEFT, RIGHT, machine=UNKNOWN_DRIVE))
    assert mixed.bridged is None
    assert [(p.answer, p.bridged) for p in mixed.unknowns[0].possibilities] == [
        ("insulated", False),
        ("bare", True),
    ]


def test_an_unknown_drive_can_leave_the_count_of_failures_open():
    """Two rods insulated on both sides: through a bare drive there are more ways, no fewer."""
    found = continuity(points(BOTH, BOTH, machine=UNKNOWN_DRIVE))
    assert (found.least_failures, found.exact) == (2, False)
    assert "2 insulation failures or more would short it" in found.summary


def test_a_drive_nobody_has_recorded_is_not_taken_as_insulated():
    found = continuity(points(LEFT, RIGHT, machine=None))
    assert found.bridged is None
    assert "drive (not recorded)" in found.path


def test_a_place_that_may_be_driven_is_a_question():
    found = continuity(without_driven(1, driven=None))
    assert [(p.answer, p.bridged) for p in found.unknowns[0].possibilities] == [
        ("not driven", False),
        ("driven, bare", True),
    ]


def test_a_rod_that_nothing_drives_does_not_touch_the_machine():
    assert continuity(without_driven(1, driven=False)).bridged is False


def test_a_second_driven_place_with_no_machine_recorded_may_be_bare():
    """The first machine's insulated drive says nothing of the rod to another place."""
    mixed = make_points(
        place(0, LEFT),
        place(1, LEFT, machine=make_machine(lock_rod_insulated=False)),
        place(2, RIGHT, driven=True),
    )
    assert continuity(mixed).bridged is None


def test_not_known_whether_track_circuited_says_so_first():
    found = continuity(points(LEFT, BARE, track_circuited=None))
    assert found.arises is None
    assert found.summary.startswith("Whether these points are track-circuited is not known. The")


def test_points_without_rods_join_nothing():
    found = continuity(make_points(place(0, None), place(1, None)))
    assert (found.bridged, found.least_failures) == (False, None)
    assert found.summary == (
        "Stretchers, drive rods, detection rods and soleplate do not short the track circuit, "
        "and no insulation failure could."
    )


def test_hand_lever_and_rodding_are_called_by_their_names():
    lever = MachineFacts(kind=MachineKind.HAND_LEVER, drive_insulated=False)
    both_driven = make_points(
        place(1, LEFT, machine=lever), place(2, RIGHT, machine=lever, driven=True)
    )
    assert " - hand lever - " in continuity(both_driven).path


def test_only_the_questions_that_decide_are_asked():
    """With one rod insulated on neither side known, the lock rod does not matter."""
    machine = make_machine(drive_insulated=True, lock_rod_insulated=None)
    unsure = points(LEFT, LEFT, UNKNOWN, machine=machine)
    drawn = arrangement(unsure)
    assert [question.about for question in drawn.deciding] == [
        "the insulation side of the second stretcher"
    ]
    found = continuity(unsure)
    assert [(u.about, u.decides) for u in found.unknowns] == [
        ("the lock rod", False),
        ("the insulation side of the second stretcher", True),
    ]
    assert "lock rod" not in found.summary


# --- by chance, against every simple path -------------------------------------------------------

SIDES = st.sampled_from([LEFT, RIGHT, BOTH, BARE])
KNOWN_PLACES = st.lists(st.tuples(SIDES, st.booleans()), min_size=1, max_size=4)
TOUCHES = st.sets(
    st.tuples(st.integers(0, 3), st.sampled_from([Side.LEFT, Side.RIGHT])), max_size=2
)


def simple_paths(edges, start, end, seen=()):
    """Every simple path as a list of edges; edges are (one, other, insulation or empty)."""
    if start == end:
        yield []
        return
    for edge in edges:
        if start in edge[:2]:
            following = edge[1] if edge[0] == start else edge[0]
            if following not in seen:
                for rest in simple_paths(edges, following, end, (*seen, start)):
                    yield [edge, *rest]


def all_ways(edges):
    """The insulations on each simple path from rail to rail: an empty set is a bare path."""
    return {
        frozenset(insulation for _, _, insulation in path if insulation)
        for path in simple_paths(edges, LEFT_RAIL, RIGHT_RAIL)
    }


def smallest(ways):
    fewest = min(map(len, ways), default=0)
    return {tuple(sorted(way)) for way in ways if len(way) == fewest and way}


def edges_of(rods, drive_insulated, lock_insulated, touches):
    """The same metal written out a second time, from the physical description alone."""
    edges = []
    for n, (side, driven) in enumerate(rods):
        rod = "lock stretcher" if n == 0 else f"{('first', 'second', 'third')[n - 1]} stretcher"
        left = f"left insulation of the {rod}" if side in (LEFT, BOTH) else ""
        right = f"right insulation of the {rod}" if side in (RIGHT, BOTH) else ""
        edges += [(LEFT_RAIL, rod, left), (rod, RIGHT_RAIL, right)]
        if driven:
            kept = f"drive rod insulation at the {rod}" if drive_insulated else ""
            edges.append((rod, "machine", kept))
        if n == 0:
            edges.append((rod, "machine", "lock rod insulation" if lock_insulated else ""))
        for order, touched in touches:
            if order == n:
                edges.append((f"{touched} rail", rod, ""))
    return edges


@settings(max_examples=150, deadline=None)
@given(KNOWN_PLACES, st.booleans(), st.booleans(), TOUCHES)
def test_rods_by_chance_agree_with_every_simple_path(rods, drive_bare, lock_bare, touches):
    machine = make_machine(
        tag="M-1", drive_insulated=not drive_bare, lock_rod_insulated=not lock_bare
    )
    drawn = make_points(
        *(place(n, side, driven=driven, machine=machine) for n, (side, driven) in enumerate(rods))
    )
    found = continuity_with(drawn, contacts=[Contact(*touch) for touch in touches])
    ways = all_ways(edges_of(rods, not drive_bare, not lock_bare, touches))
    assert found.bridged is (frozenset() in ways)
    assert found.least_failures == min(map(len, ways))
    assert set(found.failure_sets) == (set() if found.bridged else smallest(ways))


NODES = st.sampled_from([LEFT_RAIL, RIGHT_RAIL, "a", "b", "c", "d"])
JOINTS = st.lists(
    st.tuples(NODES, NODES, st.sampled_from(["", "i1", "i2", "i3", "i4", "i5"])), max_size=9
)


@settings(max_examples=150, deadline=None)
@given(JOINTS)
def test_joints_by_chance_agree_with_every_subset_of_failures(drawn):
    """Each insulation is used once; every subset of them is let fail in turn."""
    once = {(one, other, kept or f"bare {n}") for n, (one, other, kept) in enumerate(drawn)}
    names = {kept: (one, other) for one, other, kept in sorted(once) if one != other}
    joints = [Joint(*ends, "" if kept.startswith("bare") else kept) for kept, ends in names.items()]
    insulations = sorted(joint.insulation for joint in joints if joint.insulation)
    expected = ()
    for count in range(len(insulations) + 1):
        expected = tuple(
            failing
            for failing in combinations(insulations, count)
            if bare_by_floods(joints, failing)
        )
        if expected:
            break
    if expected == ((),):
        assert bare_path(joints)
        assert smallest_failures(tuple(joints)) == ()
    else:
        assert not bare_path(joints)
        assert smallest_failures(tuple(joints)) == expected


def bare_by_floods(joints, failing) -> bool:
    """Whether the rails are joined once these have failed: colour outwards until nothing moves."""
    wet = {LEFT_RAIL}
    while True:
        more = {
            end
            for joint in joints
            if not joint.insulation or joint.insulation in failing
            for end in (joint.one, joint.other)
            if wet & {joint.one, joint.other}
        }
        if more <= wet:
            return RIGHT_RAIL in wet
        wet |= more


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from(list(InsulationSide)), min_size=1, max_size=3),
    st.sampled_from([True, False, None]),
    st.sampled_from([True, False, None]),
)
def test_an_unknown_answer_is_given_only_where_the_possibilities_differ(sides, drive, lock_rod):
    """Every way of filling the unknowns in, worked out one by one."""
    machine = make_machine(drive_insulated=drive, lock_rod_insulated=lock_rod)

    def filled(sides, drive, lock_rod):
        kind = make_machine(drive_insulated=drive, lock_rod_insulated=lock_rod)
        return continuity(
            make_points(*(place(n, side, machine=kind) for n, side in enumerate(sides)))
        ).bridged

    def either(value):
        return (True, False) if value is None else (value,)

    rows = [[]]
    for side in sides:
        options = (LEFT, RIGHT, BOTH, BARE) if side is UNKNOWN else (side,)
        rows = [[*row, option] for row in rows for option in options]
    answers = {filled(row, d, k) for row in rows for d in either(drive) for k in either(lock_rod)}
    found = continuity(
        make_points(*(place(n, side, machine=machine) for n, side in enumerate(sides)))
    )
    assert found.bridged is (answers.pop() if len(answers) == 1 else None)


def test_role_not_number_makes_the_lock_stretcher():
    """A lock stretcher at another place than the first still hangs on the lock rod."""
    odd = make_points(
        place(1, LEFT, machine=BARE_MACHINE), place(2, RIGHT, role=Role.LOCK, driven=False)
    )
    assert continuity(odd).path == (
        "left rail - second stretcher - machine - first stretcher - right rail"
    )


def test_two_machines_and_no_rod_leave_nothing_that_could_join_the_rails():
    extra = make_machine(kind=MachineKind.SUPPLEMENTARY)
    found = continuity(make_points(place(1, None), place(2, None, machine=extra)))
    assert (found.bridged, found.least_failures) == (False, None)
    (question,) = found.unknowns
    assert {p.meaning for p in question.possibilities} == {"the track circuit is not shorted"}


def with_a_question_that_does_not_matter(*places, **facts) -> PointsFacts:
    """The points with a rod insulated on both sides besides, not known to be driven."""
    return make_points(*places, place(3, BOTH, driven=None), **facts)


def asked(drawn) -> list[str]:
    return [question.about for question in drawn.deciding]


def test_what_keeps_the_rails_apart_if_answered_kindly_is_asked():
    """Drive and lock rod in a row: each alone, found insulated, settles it; neither found bare."""
    machine = make_machine(drive_insulated=None, lock_rod_insulated=None)
    drawn = arrangement(
        with_a_question_that_does_not_matter(place(0, LEFT), place(1, RIGHT, machine=machine))
    )
    assert len(drawn.questions) == 3
    assert asked(drawn) == ["the lock rod", "the drive rod at the first stretcher"]


def test_what_joins_the_rails_if_answered_unkindly_is_asked():
    """Two rods of unknown side: each alone, found bare, joins the rails; neither clears them."""
    drawn = arrangement(
        with_a_question_that_does_not_matter(
            place(0, UNKNOWN), place(1, UNKNOWN, machine=BARE_MACHINE)
        )
    )
    assert len(drawn.questions) == 3
    assert asked(drawn) == [
        "the insulation side of the lock stretcher",
        "the insulation side of the first stretcher",
    ]


def test_the_count_of_failures_is_exact_where_nothing_is_open():
    assert continuity(points(LEFT, LEFT)).exact is True
    assert continuity(points(LEFT, BARE)).exact is True
    assert continuity(points(LEFT, LEFT, track_circuited=False)).exact is True
    assert continuity(points(LEFT, UNKNOWN, machine=BARE_MACHINE)).exact is False
    assert continuity(points(BOTH, BOTH, machine=UNKNOWN_DRIVE)).exact is False


def test_machines_of_a_kind_are_numbered_from_the_second():
    first, second, third = (
        make_machine(tag=f"M-{n}", drive_insulated=False, lock_rod_insulated=True) for n in "123"
    )
    many = make_points(
        place(1, BOTH, machine=first, driven=True),
        place(2, BOTH, machine=second, driven=True),
        place(3, LEFT, machine=third, driven=True),
        place(4, RIGHT, machine=third, driven=True),
    )
    assert continuity(many).path == (
        "left rail - fourth stretcher - machine 3 - third stretcher - right rail"
    )


def test_a_supplementary_drive_is_asked_about_by_its_name():
    extra = make_machine(kind=MachineKind.SUPPLEMENTARY, drive_insulated=False)
    drawn = arrangement(
        make_points(
            place(1, LEFT, machine=make_machine(drive_insulated=False)),
            place(2, RIGHT, machine=extra, driven=True),
        )
    )
    (question,) = drawn.questions
    assert question.about == "how the supplementary drive is joined to the machine"
    apart, through, joined = question.answers
    (insulated,), (bare,) = through.joints, joined.joints
    assert apart.joints == ()
    assert insulated.insulation == "insulation between the machine and the supplementary drive"
    assert (bare.one, bare.other, bare.insulation) == ("machine", "supplementary drive", "")
