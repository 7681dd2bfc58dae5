import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assets.engineering.blade import Blade, influence, own_stiffness
from assets.engineering.cannot_say import CannotSay

HEEL = 6000.0
DISPLACEMENT = st.floats(-20, 130)


@st.composite
def rods(draw, least=1, most=6):
    """One to six rods, apart as real ones are, each with a displacement (mm)."""
    count = draw(st.integers(least, most))
    gaps = draw(st.lists(st.floats(150, 900), min_size=count, max_size=count))
    places = np.cumsum(gaps).tolist()
    return places, draw(st.lists(DISPLACEMENT, min_size=count, max_size=count))


def energy(curve_second, x):
    """Bending energy for each N·mm² of stiffness, doubled: the integral of y''² along x."""
    return np.trapezoid(curve_second(x) ** 2, x)


def second(blade):
    """y'' of a blade, by differences close enough for comparison."""
    step = 0.5

    def at(x):
        return (blade.at(x + step) - 2 * blade.at(x) + blade.at(x - step)) / step**2

    return at


@given(rods(), st.booleans())
def test_blade_passes_through_every_rod_and_is_home_at_the_heel(given_rods, held):
    places, displacements = given_rods
    blade = Blade.through(places, displacements, HEEL, held)
    assert blade.at(places) == pytest.approx(displacements, abs=1e-6)
    assert blade.at(HEEL) == pytest.approx(0, abs=1e-9)


@given(rods(), st.lists(DISPLACEMENT, min_size=6, max_size=6), st.booleans())
def test_blades_add_up(given_rods, others, held):
    places, one = given_rods
    two = others[: len(places)]
    x = np.linspace(0, HEEL, 40)
    both = Blade.through(places, np.add(one, two), HEEL, held)
    apart = [Blade.through(places, y, HEEL, held).at(x) for y in (one, two)]
    assert both.at(x) == pytest.approx(sum(apart), abs=1e-6)


@given(rods(), st.floats(-3, 3), st.booleans())
def test_scaling_every_displacement_scales_curve_and_forces(given_rods, factor, held):
    places, y = given_rods
    x = np.linspace(0, HEEL, 40)
    blade = Blade.through(places, y, HEEL, held, 1e12)
    scaled = Blade.through(places, np.multiply(y, factor), HEEL, held, 1e12)
    assert scaled.at(x) == pytest.approx(factor * blade.at(x), abs=1e-6)
    assert scaled.toe_mm == pytest.approx(factor * blade.toe_mm, abs=1e-6)
    expected = np.multiply(blade.reactions_n, factor)
    assert scaled.reactions_n == pytest.approx(expected, rel=1e-6, abs=1e-2)


@given(rods(least=2), st.randoms(use_true_random=False))
def test_order_in_which_rods_are_given_does_not_matter(given_rods, random):
    places, y = given_rods
    shuffled = list(zip(places, y, strict=True))
    random.shuffle(shuffled)
    blade = Blade.through(places, y, HEEL, True, 1e12)
    other = Blade.through(*zip(*shuffled, strict=True), HEEL, True, 1e12)
    assert other == blade
    assert other.reactions_n == blade.reactions_n


@settings(max_examples=40)
@given(rods(), st.floats(-8, 8), st.integers(1, 5))
def test_blade_bends_with_less_energy_than_any_other_curve_through_its_rods(
    given_rods, bump, waves
):
    """Any other curve through the same rods, held alike at the heel: y plus something that is 0
    at every rod and has neither displacement nor slope at the heel.
    """
    assume(abs(bump) > 0.5)
    places, y = given_rods
    blade = Blade.through(places, y, HEEL)
    x = np.linspace(places[0], HEEL - 1, 4000)
    ends = np.array([*places, HEEL])

    def extra(at):
        nodes = np.prod([(at - end) / HEEL for end in ends], axis=0)
        return bump * nodes * (at - HEEL) / HEEL * np.cos(waves * at / HEEL) * 1e3

    def other_second(at):
        step = 0.5
        bent = (extra(at + step) - 2 * extra(at) + extra(at - step)) / step**2
        return second(blade)(at) + bent

    own = energy(second(blade), x)
    assert own <= energy(other_second, x) * (1 + 1e-4) + 1e-12


@given(rods(least=1, most=3), st.floats(0.1, 0.9), st.booleans())
def test_middle_rod_that_holds_the_blade_where_it_lies_carries_no_force(given_rods, share, held):
    places, y = given_rods
    extra = places[0] + share * (HEEL - places[0])
    assume(min(abs(extra - place) for place in [*places, HEEL]) > 50)
    without = Blade.through(places, y, HEEL, held, 1e12)
    blade = Blade.through([*places, extra], [*y, float(without.at(extra))], HEEL, held, 1e12)
    force = blade.reactions_n[blade.positions_mm.index(extra)]
    # Six digits of the largest force, since the rods may be close together.
    assert force == pytest.approx(0, abs=1e-6 * max(map(abs, blade.reactions_n)) + 1e-3)
    x = np.linspace(0, HEEL, 40)
    assert blade.at(x) == pytest.approx(without.at(x), abs=1e-6)


@given(rods(), st.booleans())
def test_influence_of_each_rod_makes_up_the_blade(given_rods, held):
    places, y = given_rods
    x = np.linspace(0, HEEL, 25)
    blade = Blade.through(places, y, HEEL, held)
    assert influence(places, HEEL, held, x) @ y == pytest.approx(blade.at(x), abs=1e-6)
    assert influence(places, HEEL, held, 0.0) @ y == pytest.approx(blade.toe_mm, abs=1e-6)


@given(rods(), st.booleans())
def test_a_rod_forces_the_blade_by_its_force_over_its_own_stiffness(given_rods, held):
    """Let go, a rod gives back as much as its reaction would move it, the others kept."""
    places, y = given_rods
    blade = Blade.through(places, y, HEEL, held, 1e12)
    stiff = own_stiffness(blade.positions_mm, HEEL, held)
    if len(places) > 1:
        forcing = np.array(blade.shear_per_stiffness) / stiff
        let_go = [blade.let_go(at) for at in range(len(places))]
        assert blade.displacements_mm - forcing == pytest.approx(let_go, rel=1e-6, abs=1e-6)


@given(rods(), st.booleans())
def test_forces_of_rods_and_heel_balance(given_rods, held):
    places, y = given_rods
    blade = Blade.through(places, y, HEEL, held, 1e12)
    moments = sum(force * (HEEL - x) for x, force in zip(places, blade.reactions_n, strict=True))
    scale = max(1.0, *map(abs, blade.reactions_n))
    assert sum(blade.reactions_n) + blade.heel_force_n == pytest.approx(0, abs=1e-9 * scale)
    assert blade.heel_moment_n_mm == pytest.approx(moments, rel=1e-6, abs=1e-5 * scale * HEEL)


def test_toe_is_where_the_curve_says():
    blade = Blade.through([200, 3000], [103, 40], HEEL)
    assert blade.toe_mm == pytest.approx(float(blade.at(0)), abs=1e-12)
    assert blade.toe_mm > 103


def test_forces_are_not_made_up_where_the_stiffness_is_not_known():
    blade = Blade.through([200, 3000], [103, 40], HEEL)
    assert blade.reactions_n is None
    assert blade.heel_force_n is None
    assert blade.heel_moment_n_mm is None


def test_rod_let_go_shows_where_the_blade_would_lie():
    """62 mm forced at 3 m of 5 m, where the free bend of 108 mm at the toe gives 22.46 mm."""
    blade = Blade.through([0, 3000], [108, 62], 5000)
    assert blade.let_go(1) == pytest.approx(22.464, abs=1e-3)


@pytest.mark.parametrize(
    ("places", "displacements", "says"),
    [
        ([], [], "no stretcher is given"),
        ([200, 900], [100], "2 stretchers but 1 displacements"),
        ([200, 200], [100, 90], "two stretchers at the same place, 200 mm"),
        ([200, 200.5], [100, 90], "two stretchers at the same place"),
        ([-10], [100], "distance of a stretcher from the toe must be at least 0"),
        ([6000], [100], "at or beyond the heel, which is 6000 mm"),
        ([7000], [100], "at or beyond the heel"),
        ([float("nan")], [100], "distance of a stretcher from the toe is not a number"),
        ([200], [float("nan")], "displacement at 200 mm is not a number"),
        ([200], [float("inf")], "displacement at 200 mm is not a number"),
    ],
)
def test_rods_that_no_blade_can_have_say_what_to_measure(places, displacements, says):
    with pytest.raises(CannotSay, match=says):
        Blade.through(places, displacements, HEEL)


@pytest.mark.parametrize("heel", [0, -1, float("nan"), None])
def test_blade_needs_its_length(heel):
    with pytest.raises(CannotSay, match="from the toe to the heel"):
        Blade.through([200], [100], heel)


@pytest.mark.parametrize("stiffness", [0, -1e12, float("nan")])
def test_stiffness_that_cannot_be_is_refused(stiffness):
    with pytest.raises(CannotSay, match="lateral stiffness"):
        Blade.through([200], [100], HEEL, True, stiffness)


@pytest.mark.parametrize("x", [-1, 6001, float("nan")])
def test_place_off_the_blade_is_refused(x):
    with pytest.raises(CannotSay, match="between 0 and 6000 mm"):
        Blade.through([200], [100], HEEL).at(x)


def test_answer_has_the_shape_of_the_question():
    blade = Blade.through([200, 3000], [103, 40], HEEL)
    assert blade.at([[0, 1], [2, 3], [4, 5]]).shape == (3, 2)
    assert blade.at([]).shape == (0,)
    assert np.ndim(blade.at(5)) == 0


def test_rods_a_millimetre_apart_are_two_and_nearer_ones_are_not():
    assert len(Blade.through([1000, 1001, 6857], [50, 50, 0], 6858).positions_mm) == 3
    with pytest.raises(CannotSay, match="two stretchers at the same place"):
        Blade.through([1000, 1000.9], [50, 50], 6858)
    with pytest.raises(CannotSay, match="at or beyond the heel"):
        Blade.through([1000, 6857.1], [50, 0], 6858)
