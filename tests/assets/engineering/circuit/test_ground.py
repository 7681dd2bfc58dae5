"""Soleplate, lock casting, detection rods and the lug's side of an insulation, case by case.

Common practice, no source, but for what is named beside it.
"""

import pytest

from assets.engineering.circuit.drawing import Rod, arrangement, lug_sits
from assets.engineering.continuity import continuity
from assets.engineering.suitability import Outcome, assess
from assets.engineering.words import (
    DetectionRods,
    DetectorOn,
    Ends,
    Footing,
    InsulationSide,
    MachineKind,
    Side,
    Soleplate,
)
from tests.assets.engineering.rods import (
    make_lock,
    make_machine,
    make_place,
    make_points,
    make_position,
    make_rod,
)

BARE_MACHINE = make_machine(drive_insulated=False, lock_rod_insulated=False)


def at_the_toe(lock=None, first=None, machine=None, **facts):
    """A lock stretcher and a driven first one, insulated on the left, and what stands there."""
    return make_points(
        make_place(0, stretcher=lock or make_lock()),
        make_place(1, stretcher=first or make_rod(), machine=machine or make_machine()),
        **facts,
    )


def test_a_bare_soleplate_joins_the_rails_through_the_toe_chairs():
    """Soleplates are made in two pieces for that: GK/RC0752 issue 2 (1998, withdrawn), p. B13."""
    assert continuity(at_the_toe(soleplate=Soleplate.BARE)).summary == (
        "The track circuit is shorted: left rail - left toe chairs - soleplate - right toe chairs "
        "- right rail."
    )


def test_an_insulated_soleplate_is_one_more_insulation_to_fail():
    """GK/RC0752 issue 2 (1998, withdrawn), p. B13."""
    found = continuity(
        at_the_toe(
            soleplate=Soleplate.INSULATED, lock_casting=Footing.TIMBER, machine_on=Footing.TIMBER
        )
    )
    assert (found.bridged, found.least_failures) == (False, 1)
    assert ("insulation of the soleplate",) in found.failure_sets


def test_a_soleplate_nobody_has_looked_at_is_asked_about_and_never_taken_as_none():
    found = continuity(at_the_toe(soleplate=Soleplate.UNKNOWN))
    assert found.bridged is None
    assert found.summary == (
        "Cannot say: go and check: whether there is a soleplate under the toe, and whether it is "
        "insulated. The track circuit may be shorted: left rail - left toe chairs - soleplate - "
        "right toe chairs - right rail."
    )
    assert [(p.answer, p.bridged) for p in found.unknowns[0].possibilities] == [
        ("there is none", False),
        ("insulated", None),
        ("not insulated", True),
    ]


@pytest.mark.parametrize(("piece", "joined"), [(Footing.LEFT, True), (Footing.RIGHT, False)])
def test_a_lock_casting_joins_the_lock_stretcher_to_the_rail_of_its_piece(piece, joined):
    """What a soleplate holds: IRSE News, "Points, part two", read as an excerpt."""
    drawn = arrangement(
        at_the_toe(soleplate=Soleplate.INSULATED, lock_casting=piece, machine_on=Footing.TIMBER)
    )
    assert drawn.bridged is joined
    assert drawn.path == (
        "left rail - left toe chairs - left piece of the soleplate - lock casting - "
        "lock stretcher - right rail"
        if joined
        else ""
    )


def test_a_lock_casting_on_a_piece_nobody_has_named_is_asked_about():
    drawn = arrangement(
        at_the_toe(
            soleplate=Soleplate.INSULATED,
            lock_casting=Footing.SOLEPLATE,
            machine_on=Footing.TIMBER,
        )
    )
    assert drawn.bridged is None
    [question] = drawn.deciding
    assert question.look == "to which piece of the soleplate the lock casting is bolted"


def test_a_machine_on_a_piece_joins_a_bare_drive_rod_to_the_rail_there():
    bare = at_the_toe(
        machine=BARE_MACHINE,
        soleplate=Soleplate.INSULATED,
        lock_casting=Footing.TIMBER,
        machine_on=Footing.LEFT,
    )
    assert arrangement(bare).path == (
        "left rail - left toe chairs - left piece of the soleplate - machine - lock stretcher - "
        "right rail"
    )


@pytest.mark.parametrize(
    ("rods", "joined"),
    [
        (DetectionRods.NONE, False),
        (DetectionRods.BOTH, False),
        (DetectionRods.LEFT, False),
        (DetectionRods.RIGHT, False),
        (DetectionRods.BARE, True),
        (DetectionRods.UNKNOWN, None),
    ],
)
def test_detection_rods_join_the_rails_where_neither_is_insulated(rods, joined):
    drawn = arrangement(at_the_toe(detection_rods=rods, detector_on=DetectorOn.TIMBER))
    assert drawn.bridged is joined
    assert drawn.path == (
        ""
        if joined is False
        else "left rail - left detection rod - detector - right detection rod - right rail"
    )


def test_a_bare_detection_rod_joins_its_rail_to_the_machine_the_detector_is_in():
    drawn = at_the_toe(
        machine=BARE_MACHINE,
        detection_rods=DetectionRods.RIGHT,
        detector_on=DetectorOn.MACHINE,
    )
    assert arrangement(drawn).path == (
        "left rail - left detection rod - detector - machine - lock stretcher - right rail"
    )


def test_a_lug_beyond_the_insulation_joins_the_drive_rod_to_that_rail():
    first = make_rod(lug_end=Ends.LEFT, lug_beyond=True)
    assert arrangement(at_the_toe(first=first, machine=BARE_MACHINE)).path == (
        "left rail - drive lug of the first stretcher - machine - lock stretcher - right rail"
    )


def test_a_lug_on_the_bar_is_joined_to_the_rail_to_which_the_bar_is_bare():
    first = make_rod(lug_end=Ends.LEFT, lug_beyond=False)
    assert arrangement(at_the_toe(first=first, machine=BARE_MACHINE)).bridged is False


def test_a_lug_at_the_insulated_end_is_asked_about_where_the_drive_is_bare():
    first = make_rod(lug_end=Ends.LEFT, lug_beyond=None)
    found = continuity(at_the_toe(first=first, machine=BARE_MACHINE))
    assert found.bridged is None
    [asked] = found.unknowns
    assert asked.look == "on which side of its insulation the drive lug of the first stretcher sits"
    assert [(p.answer, p.bridged) for p in asked.possibilities] == [
        ("on the bar, within the insulation", False),
        ("beyond the insulation, joined to the left rail", True),
    ]


@pytest.mark.parametrize(
    ("side", "end", "beyond", "machine_side", "sits"),
    [
        ("left", "left", True, "left", (Side.LEFT,)),
        ("left", "left", False, "left", (None,)),
        ("left", "left", None, "left", (None, Side.LEFT)),
        ("left", "right", True, "left", (None,)),  # the right end has no insulation
        ("none", "left", None, "left", (None,)),
        ("both", "both", True, "right", (Side.RIGHT,)),  # the drive rod comes in from the right
        ("both", "both", True, "unknown", (Side.LEFT, Side.RIGHT)),
        ("left", "both", True, "unknown", (None, Side.LEFT)),
        ("right", "unknown", None, "left", (None, Side.RIGHT)),
        ("unknown", "left", None, "left", (None, Side.LEFT)),
    ],
)
def test_where_the_lug_sits(side, end, beyond, machine_side, sits):
    rod = make_rod(insulation_side=InsulationSide(side), lug_end=Ends(end), lug_beyond=beyond)
    assert lug_sits(Rod.of(rod), Side(machine_side)) == sits


def test_a_machine_of_unknown_kind_may_not_be_the_one_that_works_the_lock():
    machine = make_machine(kind=MachineKind.UNKNOWN, drive_insulated=False)
    points = at_the_toe(lock=make_lock(insulation_side=InsulationSide.RIGHT), machine=machine)
    drawn = arrangement(points)
    assert drawn.bridged is None
    assert [question.look for question in drawn.deciding] == [
        "whether the lock rod is insulated",
        (
            "what kind of machine the machine is; if it works no lock, whether metal joins the "
            "machine to the drive (not recorded)"
        ),
    ]


def test_where_the_rails_are_joined_all_parts_have_one_number_whatever_is_asked():
    bare = at_the_toe(soleplate=Soleplate.BARE, detection_rods=DetectionRods.UNKNOWN)
    assert arrangement(bare).ways("lock stretcher", "machine") == {(0, 0, 0, 0)}


def test_what_an_answer_would_raise_is_gone_through_too():
    """Whether there is a soleplate; and if there is, what stands on which piece of it."""
    unseen = at_the_toe(soleplate=Soleplate.UNKNOWN, detection_rods=DetectionRods.BOTH)
    drawn = arrangement(unseen)
    assert drawn.bridged is None
    assert drawn.ways("lock stretcher", "detector") == {
        (0, 0, 0, 0),  # joined
        (0, 1, 1, 0),  # the detector on the left piece
        (0, 1, 1, 1),  # on the right piece
        (0, 1, 1, 2),  # apart, or in the machine
    }


def test_rails_that_are_apart_have_two_numbers_and_a_bare_end_that_of_its_rail():
    assert arrangement(at_the_toe()).ways("lock stretcher", "machine") == {(0, 1, 1, 2)}


# --- what is of the points is no reason against a part ------------------------------------------


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"soleplate": Soleplate.BARE}, "; the soleplate short it."),
        ({"detection_rods": DetectionRods.BARE}, "; the detection rods short it."),
        (
            {"soleplate": Soleplate.UNKNOWN, "detection_rods": DetectionRods.UNKNOWN},
            "; whether the soleplate or the detection rods short it is not known.",
        ),
    ],
)
def test_a_spare_is_not_blamed_for_what_stands_at_the_toe(facts, said):
    facts = {"lock_casting": Footing.NONE, "detector_on": DetectorOn.TIMBER, **facts}
    found = assess(make_rod(), make_position(points=facts))["continuity"]
    assert found.outcome is Outcome.SUITS
    assert found.reason == (
        "With this stretcher in place the track circuit is not shorted by stretchers and drives"
        + said
    )


def test_a_lock_stretcher_is_judged_by_the_piece_its_casting_stands_on():
    facts = {
        "soleplate": Soleplate.INSULATED,
        "lock_casting": Footing.LEFT,
        "machine_on": Footing.TIMBER,
    }
    place = make_position(0, points=facts)
    assert assess(make_lock(), place)["continuity"].outcome is Outcome.DOES_NOT_SUIT
    other = make_lock(insulation_side=InsulationSide.BOTH)
    assert assess(other, place)["continuity"].outcome is Outcome.SUITS
