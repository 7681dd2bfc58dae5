"""The table of every rod against every place says what the rules say of each pair."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assets.engineering import suitability
from assets.engineering.circuit.drawing import arrangement
from assets.engineering.facts import (
    Interval,
    LostMotionFacts,
    MachineFacts,
    PlaceFacts,
    PointsFacts,
    PositionFacts,
    RailFacts,
    ShoeFacts,
    StretcherFacts,
    Ticked,
)
from assets.engineering.suitability import Outcome, assess, assess_lost_motion_fitting, assess_table
from assets.engineering.words import (
    Adjustability,
    Condition,
    Depth,
    DetectionRods,
    DetectorOn,
    DriveLug,
    Ends,
    Fixings,
    Footing,
    Form,
    Generation,
    InsulationKind,
    InsulationSide,
    MachineKind,
    Notches,
    Profile,
    Role,
    ShoeColour,
    Side,
    Soleplate,
    Towards,
)
from tests.assets.engineering.rods import make_position, make_rod

maybe = st.sampled_from([True, False, None])


def any_of(*values):
    return st.sampled_from(values)


def words(vocabulary):
    return st.sampled_from(list(vocabulary))


def ticked(vocabulary):
    return st.fixed_dictionaries(dict.fromkeys(vocabulary, maybe)).map(Ticked.of)


shoes = st.builds(ShoeFacts, profile=words(Profile), colour=words(ShoeColour))
rods = st.builds(
    StretcherFacts,
    tag=st.text("ABC", max_size=2),
    made_for=ticked(Role),
    generation=words(Generation),
    adjustability=words(Adjustability),
    form=words(Form),
    gooseneck_towards=words(Towards),
    insulation_side=words(InsulationSide),
    insulation_kind=words(InsulationKind),
    left_shoe=shoes,
    right_shoe=shoes,
    depth=words(Depth),
    kicker=maybe,
    kicker_end=words(Ends),
    drive_lug=words(DriveLug),
    lug_end=words(Ends),
    lug_beyond=maybe,
    left_fixings=words(Fixings),
    right_fixings=words(Fixings),
    torque_nm=any_of(None, 150.0, 220.0),
    length_min_mm=any_of(None, 1300.0, 1318.0, 1322.0, 1340.0),
    length_max_mm=any_of(None, 1322.0, 1340.0, 1360.0),
    shim_left_mm=any_of(None, 0.0, 4.0),
    shim_right_mm=any_of(None, 0.0, 4.0),
    notches=words(Notches),
    notch_distance_mm=any_of(None, 96.0, 108.0),
    can_be_turned=maybe,
    condition=words(Condition),
    quarantined=st.booleans(),
    open_defects=any_of((), ("crack",)),
)
machines = st.builds(
    MachineFacts,
    tag=any_of("", "M-1", "M-2"),
    kind=words(MachineKind),
    stroke_mm=any_of(None, 120.0, 200.0),
    unlocking_stroke_mm=any_of(None, 60.0),
    internal_lost_motion_mm=any_of(None, 0.0, 70.0),
    drive_insulated=maybe,
    lock_rod_insulated=maybe,
)
fittings = st.builds(
    LostMotionFacts,
    lost_motion_min_mm=any_of(None, 10.0, 30.0),
    lost_motion_max_mm=any_of(None, 30.0, 60.0),
    suits_lugs=ticked(DriveLug),
)


@st.composite
def positions(draw):
    fitted = draw(st.integers(1, 4))
    places = tuple(
        draw(
            st.builds(
                PlaceFacts,
                order=st.just(order),
                role=st.just(Role.LOCK) if order == 0 else words(Role),
                space_ahead_mm=any_of(None, 20.0, 100.0),
                space_behind_mm=any_of(None, 20.0, 100.0),
                kicker_required=maybe,
                driven=maybe,
                separation=any_of(None, Interval(1320.0, 1330.0), Interval(None, 1310.0)),
                travel_mm=any_of(None, 80.0, 108.0),
                permitted_travel=any_of(None, Interval(76.0, 90.0), Interval(100.0, 120.0)),
                measured_travel=any_of(None, Interval(108.0, 108.0), Interval(96.0, 108.0)),
                drive_ratio=any_of(None, 0.8, 1.0),
                chiselled=maybe,
                stretcher=st.none() | rods,
                machine=st.none() | machines,
                lost_motion_fitting=st.none() | fittings,
            )
        )
        for order in range(fitted)
    )
    points = PointsFacts(
        rail=draw(st.none() | st.builds(RailFacts, code=st.just("R"), profile=words(Profile))),
        track_circuited=draw(maybe),
        one_flat_bottom_family=draw(maybe),
        one_depth=draw(maybe),
        depth=draw(words(Depth)),
        soleplate=draw(words(Soleplate)),
        lock_casting=draw(words(Footing)),
        machine_on=draw(words(Footing)),
        detection_rods=draw(words(DetectionRods)),
        detector_on=draw(words(DetectorOn)),
        machine_side=draw(words(Side)),
        least_stretchers=draw(any_of(None, 1, 2, 3)),
        places=places,
    )
    return PositionFacts(points, draw(st.integers(0, fitted - 1)))


@settings(max_examples=60, deadline=None)
@given(st.lists(rods, min_size=1, max_size=6), st.lists(positions(), min_size=1, max_size=6))
def test_the_table_is_what_the_rules_say_pair_by_pair(spares, places):
    table = assess_table(spares, places)
    for row, rod in enumerate(spares):
        for column, place in enumerate(places):
            alone = assess(rod, place)
            assert table.outcome(row, column) is alone.outcome
            assert table.key(row, column) == alone.key
            assert table.assessment(row, column) == alone


@pytest.mark.by_chance
@settings(max_examples=150, deadline=None)
@given(rods, positions(), st.sampled_from(list(Role)), st.booleans())
def test_saying_what_a_rod_is_made_for_changes_no_answer_that_was_given(rod, place, role, answer):
    """Only *cannot say* may become anything else: what suits, suits whatever is found out."""
    assume(rod.made_for.answer(role) is None)
    before = assess(rod, place)["role"].outcome
    after = assess(replace(rod, made_for=said(rod.made_for, role, answer)), place)["role"].outcome
    assert before in (after, Outcome.CANNOT_SAY)


@pytest.mark.by_chance
@settings(max_examples=150, deadline=None)
@given(fittings, positions(), st.sampled_from(list(DriveLug)), st.booleans())
def test_saying_which_lugs_a_fitting_takes_changes_no_answer_that_was_given(
    fitting, place, lug, answer
):
    assume(fitting.suits_lugs.answer(lug) is None)
    changed = replace(fitting, suits_lugs=said(fitting.suits_lugs, lug, answer))
    before, after = (
        assess_lost_motion_fitting(one, place)["drive lug"].outcome for one in (fitting, changed)
    )
    assert before in (after, Outcome.CANNOT_SAY)


def said(ticked: Ticked, word, answer: bool) -> Ticked:
    """One more word answered."""
    if answer:
        return replace(ticked, yes=ticked.yes | {word})
    return replace(ticked, no=ticked.no | {word})


TURNED = {
    InsulationSide.LEFT: InsulationSide.RIGHT,
    InsulationSide.RIGHT: InsulationSide.LEFT,
}


@settings(max_examples=150, deadline=None)
@given(rods, positions())
def test_continuity_of_the_rod_is_that_of_the_points_with_the_rod_drawn_in(rod, position):
    """The quick answer from the metal round the place against the whole set of points redrawn."""
    answer = assess(rod, position)["continuity"]
    side = rod.insulation_side
    if "turned end for end" in answer.reason.lower():
        side = TURNED.get(side, side)
    points, order = position.points, position.order
    if points.track_circuited is False:
        assert answer.outcome is Outcome.SUITS
        return
    as_it_lies = rod if side is rod.insulation_side else rod.turned
    with_rod = arrangement(points.with_rod(order, as_it_lies), of_parts=True)
    if with_rod.bridged is False:
        assert answer.outcome is Outcome.SUITS
    elif with_rod.bridged is None or points.track_circuited is None:
        assert answer.outcome is Outcome.CANNOT_SAY
        assert with_rod.path in answer.reason
    elif arrangement(points.with_rod(order, None), of_parts=True).bridged:
        assert answer.outcome is Outcome.SUITS_AFTER_WORK
    else:
        assert answer.outcome is Outcome.DOES_NOT_SUIT
        assert with_rod.path in answer.reason


def test_the_table_ranks_like_the_keys():
    spares = [
        make_rod("scrap", condition=Condition.SCRAP),
        make_rod("repair", condition=Condition.REPAIR),
        make_rod("good"),
        make_rod("also good"),
        make_rod("unexamined", condition=Condition.UNKNOWN),
    ]
    places = [make_position(), make_position(0), make_position(points={"rail": None})]
    table = assess_table(spares, places)
    assert table.best_spares(0) == [2, 3, 1, 4, 0]
    assert table.best_positions(2) == [0, 2, 1]
    order = table.order
    for column in range(len(places)):
        keys = [table.key(row, column) for row in table.best_spares(column)]
        assert keys == sorted(keys)
        assert np.all(np.diff(order[table.best_spares(column), column].astype(int)) >= 0)


def test_each_distinct_pair_of_parts_is_judged_once(monkeypatch):
    """Forty rods of two kinds against sixty places of three: six judgements of the kicker."""
    judged = []
    (kicker,) = [rule for rule in suitability.RULES if rule.name == "kicker"]

    def counting(stretcher, position):
        judged.append((stretcher.kicker, position.place.kicker_required))
        return kicker.judge(stretcher, position)

    counted = replace(kicker, judge=counting, judge_turned=None, sided=False)
    monkeypatch.setattr(suitability.table, "RULES", (counted,))
    spares = [make_rod(str(n), kicker=n % 2 == 0) for n in range(40)]
    places = [
        make_position(place={"kicker_required": (True, False, None)[n % 3]}) for n in range(60)
    ]
    table = assess_table(spares, places)
    assert len(judged) == len(set(judged)) == 6
    assert table.outcome(1, 0) is Outcome.DOES_NOT_SUIT
    assert table.outcome(39, 59) is Outcome.CANNOT_SAY


def test_no_spares_or_no_places_make_an_empty_table():
    assert assess_table([], [make_position()]).severity.shape == (0, 1)
    assert assess_table([make_rod()], []).severity.shape == (1, 0)
    assert assess_table([make_rod()], []).best_positions(0) == []
