from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assets.engineering.adjustment import Advice, advise, bounds, step_mm
from assets.engineering.blade import Blade
from assets.engineering.cannot_say import CannotSay
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.readings import open_switch, taken
from assets.engineering.switch_inputs import LIES, SwitchLimits
from assets.engineering.words import Adjustability, Lie

from .switches import (
    LIMITS,
    PLACES,
    STIFFNESS,
    back_forced,
    clearances,
    free_blade,
    make_lie,
    make_rod,
    make_rods,
    make_shape,
)


def lies_of(left, right=None):
    rods = make_rods()
    return {
        lie: open_switch(make_shape(), True, rods, taken(make_lie(fwc), rods)).switch
        for lie, fwc in zip(LIES, (left, left if right is None else right), strict=True)
    }


def advice_for(left, right=None, rods=None, limits=LIMITS, separations=None) -> Advice:
    rods = make_rods() if rods is None else rods
    return advise(lies_of(left, right), rods, limits, separations or {})


def changes(advice):
    return {move.order: move.change_mm for move in advice.moves}


def after(switch, advice):
    """The switch with the moves made, put through the blade anew."""
    moved = changes(advice)
    displacements = [
        y - moved.get(order, 0.0) for order, y in enumerate(switch.blade.displacements_mm)
    ]
    return OpenSwitch(switch.shape, switch.blade.moved(displacements))


def test_points_within_every_limit_need_nothing():
    advice = advice_for(clearances())
    assert advice.reached
    assert advice.moves == ()
    assert advice.text == "Nothing to adjust."


def test_clearance_exactly_at_the_limit_needs_nothing():
    shape = make_shape()
    least = OpenSwitch(shape, free_blade()).least_fwc.mm
    limits = replace(LIMITS, fwc_least_mm=least - 0.001)
    assert advice_for(clearances(), limits=limits).moves == ()


def test_back_rod_set_too_long_is_shortened_and_the_middle_rods_follow():
    """Fine at every rod, 1 to 2 mm short at the end of the planing."""
    left = back_forced(3.0)
    assert min(left) > 50
    advice = advice_for(left)
    assert advice.reached
    assert all(change < 0 for change in changes(advice).values())
    assert all(outcome.least_fwc.mm >= 50 for outcome in advice.outcomes)
    assert any("free wheel clearance" in name for name in advice.binding)


def test_one_middle_rod_out_of_place_is_the_only_one_turned():
    advice = advice_for(clearances({2: -8.0}))
    assert list(changes(advice)) == [2]
    assert -8.7 < changes(advice)[2] < -6.0
    assert advice.still_forced == ()
    assert advice.text.startswith("Shorten the second stretcher by ")


def test_change_is_whole_flats_and_said_in_turns():
    advice = advice_for(clearances({2: -8.0}))
    (move,) = advice.moves
    assert move.turning.exact
    assert move.change_mm == pytest.approx(move.turning.flats * 4.0 / 6)
    assert move.text.startswith("shorten the second stretcher by ")
    assert move.text.endswith(f"{move.turning} of the nut")


def test_fixed_rod_is_altered_by_whole_shims():
    rods = list(make_rods())
    rods[2] = make_rod(2, adjustability=Adjustability.FIXED, shims_mm=9.0)
    (move,) = advice_for(clearances({2: -8.0}), rods=rods).moves
    assert move.change_mm == round(move.change_mm)
    assert move.turning is None
    assert move.text.endswith(f"take out {abs(move.change_mm):g} mm of shims")


def test_rod_of_unknown_thread_is_altered_in_mm_and_says_what_to_measure():
    rods = list(make_rods())
    rods[2] = make_rod(2, thread_pitch_mm=None)
    (move,) = advice_for(clearances({2: -8.0}), rods=rods).moves
    assert move.turning is None
    assert "thread pitch is not known" in move.text


def test_opening_too_wide_lengthens_the_lock_stretcher():
    advice = advice_for(clearances(opening_mm=123.0))
    assert changes(advice)[0] > 0
    assert all(102 <= outcome.opening_mm <= 120 for outcome in advice.outcomes)
    assert any("at most 120 mm" in name for name in advice.binding)


def test_moves_come_in_the_order_in_which_rods_are_set():
    advice = advice_for(back_forced(-2.0, 97.0))
    orders = [move.order for move in advice.moves]
    assert orders == [order for order in (0, 3, 1, 2) if order in orders]
    assert len(orders) == 4


def test_difference_between_the_lies_is_not_chased():
    """Play puts the second stretcher 4 mm apart on the two lies: the mean is where it belongs."""
    advice = advice_for(clearances({2: 2.0}), clearances({2: -2.0}))
    assert advice.moves == ()


def test_rods_that_cannot_be_altered_are_named_as_the_reason():
    rods = [replace(rod, adjustability=Adjustability.UNKNOWN) for rod in make_rods()]
    advice = advice_for(back_forced(0.0), rods=rods)
    assert not advice.reached
    assert advice.moves == ()
    assert "the third stretcher, which is not known to be adjustable" in advice.reason
    assert "Cannot be reached: free wheel clearance comes to" in advice.text


def test_fixed_rods_without_known_shims_are_named_as_the_reason():
    rods = [replace(rod, adjustability=Adjustability.FIXED) for rod in make_rods()]
    advice = advice_for(back_forced(0.0), rods=rods)
    assert not advice.reached
    assert "the third stretcher, whose shims are not known" in advice.reason


def test_nearest_is_given_where_shims_do_not_suffice():
    rods = [replace(r, adjustability=Adjustability.FIXED, shims_mm=2.0) for r in make_rods()]
    lies = lies_of(back_forced(-2.0))
    advice = advise(lies, rods, LIMITS, {})
    assert not advice.reached
    assert advice.moves
    before = min(switch.least_fwc.mm for switch in lies.values())
    assert before < min(outcome.least_fwc.mm for outcome in advice.outcomes) < 50
    assert all(-2 <= change <= 10 for change in changes(advice).values())
    assert "which cannot be shortened any further" in advice.reason
    assert "The nearest: " in advice.text


def test_limits_that_no_setting_can_meet_are_named():
    """Both lies cannot come into a window of 2 mm where play puts them 4 mm apart."""
    right = [mm - 4 for mm in clearances()]
    advice = advice_for(clearances(), right, limits=SwitchLimits(50.0, 107.0, 108.0, 109.0))
    assert not advice.reached
    assert "switch opening with right closed, at least 107 mm" in advice.reason
    assert "switch opening with left closed, at most 109 mm" in advice.reason


def most_force(switch, advice):
    shear = after(switch, advice).blade.shear_per_stiffness
    return max(abs(jump) for jump in shear) * STIFFNESS.least


def test_no_rod_is_asked_for_an_absurd_force():
    """110 mm behind the blade would need 30 kN at the back rod of a 113A switch: the work is
    shared among the rods, up to 20 kN and what the nearest flat may add.
    """
    limits = SwitchLimits(110.0, 90.0, 92.0, 112.0)
    lies = lies_of(clearances())
    free, bound = (advise(lies, make_rods(), limits, {}, known) for known in (None, STIFFNESS))
    for switch in lies.values():
        assert most_force(switch, free) > 25_000
        assert most_force(switch, bound) < 23_000
    assert bound.reached
    assert any("the force at the third stretcher, at most 20 kN" in name for name in bound.binding)


@pytest.mark.parametrize("at_back", [-5.0, 40.0])
def test_what_a_rod_bears_already_counts_towards_the_force_it_is_asked_for(at_back):
    """The blade is bent one way or the other to begin with; 110 mm are wanted behind it."""
    limits = SwitchLimits(110.0, 90.0, 92.0, 112.0)
    lies = lies_of(back_forced(at_back))
    advice = advise(lies, make_rods(), limits, {}, STIFFNESS)
    now = max(most_force(switch, Advice(True, (), ())) for switch in lies.values())
    for switch in lies.values():
        assert most_force(switch, advice) < max(now, 20_000) + 3_000


def test_limit_that_only_an_absurd_force_would_meet_cannot_be_reached():
    limits = SwitchLimits(160.0, 90.0, 92.0, 112.0)
    advice = advise(lies_of(clearances()), make_rods(), limits, {}, STIFFNESS)
    assert not advice.reached
    assert "stretcher, at most 20 kN" in advice.reason


def test_middle_rod_that_cannot_be_altered_is_said_to_force_the_blade():
    rods = list(make_rods())
    rods[2] = make_rod(2, adjustability=Adjustability.FIXED)
    advice = advice_for(clearances({2: 8.0}), rods=rods)
    assert advice.reached
    assert advice.moves == ()
    assert advice.still_forced == (
        "The second stretcher holds the switch rail 8.0 mm further open than it would lie.",
    )


def test_middle_rod_that_holds_the_blade_less_open_is_said_to():
    rods = list(make_rods())
    rods[2] = make_rod(2, adjustability=Adjustability.FIXED)
    assert advice_for(clearances({2: -8.0}), rods=rods).still_forced == (
        "The second stretcher holds the switch rail 8.0 mm less open than it would lie.",
    )


def test_limit_comes_before_ease_where_both_cannot_be_had():
    """The second stretcher has shims for 1 mm only, and the back one cannot be altered."""
    rods = list(make_rods())
    rods[3] = make_rod(3, adjustability=Adjustability.FIXED)
    rods[2] = make_rod(2, adjustability=Adjustability.FIXED, shims_mm=1.0)
    advice = advice_for(back_forced(2.5), rods=rods)
    assert advice.reached
    assert all(outcome.least_fwc.mm >= 50 for outcome in advice.outcomes)
    assert advice.still_forced


def test_driven_middle_rod_may_force_the_blade():
    rods = list(make_rods())
    rods[2] = make_rod(2, driven=True)
    assert advice_for(clearances({2: 8.0}), rods=rods).moves == ()
    assert advice_for(clearances({2: 8.0})).moves != ()


def test_range_of_length_bounds_the_change():
    rod = make_rod(1, length_min_mm=1380.0, length_max_mm=1400.0)
    assert bounds(rod, 1390.0) == (-10.0, 10.0)
    assert bounds(rod, None) == (-float("inf"), float("inf"))
    assert bounds(make_rod(1), 1390.0) == (-float("inf"), float("inf"))


def test_a_rod_beyond_its_range_already_goes_no_further_and_is_not_forced_back():
    rod = make_rod(1, length_min_mm=1380.0, length_max_mm=1400.0)
    assert bounds(rod, 1410.0) == (-30.0, 0.0)
    assert bounds(rod, 1370.0) == (0.0, 30.0)


@pytest.mark.parametrize(
    ("fwc", "order", "flats"),
    [
        (back_forced(-2.0), 1, -2),
        (clearances(opening_mm=123.0), 0, 2),
    ],
)
def test_the_end_of_the_thread_is_reached_in_whole_flats(fwc, order, flats):
    """1.5 mm are left either way; a flat is 0.667 mm, so two of them may be turned."""
    rods = [replace(rod, length_min_mm=1388.5, length_max_mm=1391.5) for rod in make_rods()]
    advice = advice_for(fwc, rods=rods, separations=dict.fromkeys(range(4), 1390.0))
    assert changes(advice)[order] == pytest.approx(flats * 4 / 6)


def test_fixed_rod_gives_back_its_shims_and_takes_no_more_than_fit():
    assert bounds(make_rod(1, adjustability=Adjustability.FIXED, shims_mm=4.0), None) == (-4.0, 8.0)
    full = make_rod(1, adjustability=Adjustability.FIXED, shims_mm=13.0)
    assert bounds(full, None) == (-13.0, 0.0)
    assert bounds(make_rod(1, adjustability=Adjustability.FIXED), None) == (0.0, 0.0)
    assert bounds(make_rod(1, adjustability=Adjustability.UNKNOWN), None) == (0.0, 0.0)


def test_steps_are_flats_shims_or_tenths():
    assert step_mm(make_rod(1)) == pytest.approx(4 / 6)
    assert step_mm(make_rod(1, adjustability=Adjustability.FIXED)) == 1.0
    assert step_mm(make_rod(1, thread_pitch_mm=None)) == 0.1
    with pytest.raises(CannotSay, match="thread pitch of the first stretcher"):
        step_mm(make_rod(1, thread_pitch_mm=0.0))


def test_rod_at_the_end_of_its_thread_is_said():
    rods = [replace(rod, length_min_mm=1400.0, length_max_mm=1500.0) for rod in make_rods()]
    separations = dict.fromkeys(range(4), 1401.0)
    advice = advice_for(back_forced(-2.0), rods=rods, separations=separations)
    assert not advice.reached
    assert min(changes(advice).values()) == pytest.approx(-4 / 6)  # one flat of the 1 mm left
    assert "which cannot be shortened any further" in advice.reason


def test_one_lie_is_not_enough():
    one = {Lie.LEFT_CLOSED: lies_of(clearances())[Lie.LEFT_CLOSED]}
    with pytest.raises(CannotSay, match="readings on both lies"):
        advise(one, make_rods(), LIMITS, {})


def test_advice_needs_the_clearance_limit():
    with pytest.raises(CannotSay, match="minimum free wheel clearance is not known"):
        advice_for(clearances(), limits=SwitchLimits())


def test_opening_without_limits_is_left_alone():
    limits = SwitchLimits(50.0)
    assert advice_for(clearances(opening_mm=140.0), limits=limits).moves == ()


OFF = st.floats(-10, 6)


@settings(max_examples=60)
@given(
    st.floats(97, 118),
    st.lists(OFF, min_size=3, max_size=3),
    st.lists(st.floats(-2, 2), min_size=4, max_size=4),
    st.sampled_from([2.0, 3.0, 4.0, None]),
)
def test_advice_put_back_through_the_blade_meets_every_limit_it_claims(opening, off, play, pitch):
    """Whatever the rods are out by, and however the lies differ by play."""
    rods = [replace(rod, thread_pitch_mm=pitch) for rod in make_rods()]
    left = clearances(dict(enumerate([0.0, *off])), opening)
    right = [mm + shift for mm, shift in zip(left, play, strict=True)]
    lies = lies_of(left, right)
    advice = advise(lies, rods, LIMITS, {})
    for outcome in advice.outcomes:
        moved = after(lies[outcome.lie], advice)
        assert moved.least_fwc.mm == pytest.approx(outcome.least_fwc.mm, abs=1e-6)
        assert moved.opening_mm == pytest.approx(outcome.opening_mm, abs=1e-6)
        if advice.reached:
            assert moved.least_fwc.mm >= 50 - 1e-3
            assert 102 - 1e-3 <= moved.opening_mm <= 120 + 1e-3
    assert advice.reached  # every rod can be altered freely, and the window is 18 mm wide


@settings(max_examples=10)
@given(st.floats(-9, -3))
def test_no_smaller_turn_of_a_middle_rod_out_of_place_would_do(off):
    """Two flats less leave it more than 2 mm from where the blade would lie."""
    advice = advice_for(clearances({2: off}))
    (move,) = advice.moves
    assert abs(off) - 2 <= abs(move.change_mm) <= abs(off) - 2 + 3 * 4 / 6


def test_a_loose_heel_held_by_one_rod_is_moved_without_any_force():
    """Nothing bends: the blade turns about its pivot, so no stiffness bounds the change."""
    rod = make_rod(0)
    blade = Blade.through([PLACES[0]], [90.0], 6858.0, held=False)
    lies = {lie: OpenSwitch(make_shape(), blade) for lie in LIES}
    limits = SwitchLimits(0.0, 102.0, 108.0, 120.0)
    advice = advise(lies, (rod,), limits, {}, STIFFNESS)
    (move,) = advice.moves
    assert advice.reached
    # 90 mm at 200 mm from the toe is 92.7 mm at the toe; 102 mm is wanted there.
    opened = (90.0 - move.change_mm) * 6858.0 / 6658.0
    assert 102.0 <= opened <= 102.0 + 2 * 4.0 / 6


def test_two_rods_have_none_between_them_to_ease():
    rods = (make_rod(0), make_rod(3))
    blade = Blade.through([PLACES[0], PLACES[3]], [103.0, 10.0], 6858.0)
    lies = {lie: OpenSwitch(make_shape(), blade) for lie in LIES}
    advice = advise(lies, rods, LIMITS, {})
    assert advice.still_forced == ()
    assert advice.reached
    assert min(outcome.least_fwc.mm for outcome in advice.outcomes) >= 50.0
