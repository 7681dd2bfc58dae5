"""Both switch rails under the same rods: what touches, what gives, and what cannot be said."""

from time import process_time

import numpy as np
import pytest

from assets.engineering.blade import Blade
from assets.engineering.cannot_say import CannotSay
from assets.engineering.two_rails.lying import TwoRails, _inverse, every_stud
from tests.assets.engineering.switches import PLACES, free_blade, make_shape
from tests.assets.engineering.two_rails.chance import STIFFNESS_N_MM2, any_switch

DRIVEN = (200.0,)  # the lock alone holds the closed rail


def make_rails(homes=DRIVEN, studs=(), rod_n_mm=None, held=True, rods=PLACES) -> TwoRails:
    """The B switch with four rods; ``rod_n_mm`` is the stiffness of each but the lock's."""
    softness = np.zeros(len(rods))
    if rod_n_mm is not None:
        softness[1:] = STIFFNESS_N_MM2 / rod_n_mm
    return TwoRails.of(make_shape(), held, rods, homes, studs, softness)


def moved_by(rails: TwoRails, rod: int, longer_mm: float) -> tuple[float, float]:
    """What lengthening one rod takes off the clearance at it, and adds to the closed side."""
    before = rails.read_as(free_blade().at(rails.rods_mm))
    change = np.zeros(len(rails.rods_mm))
    change[rod] = longer_mm
    after = rails.set_to(before.lengths_mm - change)
    place = rails.rods_mm[rod]
    lost = float((before.open_at(place) - after.open_at(place))[0])
    return lost, float((before.closed_at(place) - after.closed_at(place))[0])


def solve_by_chance(count: int) -> tuple[float, float]:
    """The least push (1) of any contact, and by how much (mm) any rod, home or contact is missed
    at worst: a contact that pushes is touched, no other is gone through."""
    chance = np.random.default_rng(1884)
    least_push, missed = np.inf, 0.0
    for _ in range(count):
        drawn = any_switch(chance)
        rails = drawn.rails
        lying = rails.set_to(drawn.lengths_mm, drawn.homes_mm)
        clear = lying.closed_at(rails.contacts_mm) + rails.gaps_mm
        given = rails.softness * lying.forces[: len(rails.rods_mm)]
        both = lying.open_at(rails.rods_mm) + lying.closed_at(rails.rods_mm)
        least_push = min(least_push, lying.pushed.min())
        missed = max(
            missed,
            -clear.min(),
            abs(clear[lying.pushed > 0]).max(initial=0.0),
            abs(both + given - drawn.lengths_mm).max(),
            abs(lying.closed_at(rails.homes_mm) - drawn.homes_mm).max(),
        )
    return least_push, missed


@pytest.mark.by_chance
def test_a_thousand_switches_by_chance_end_with_every_contact_pushing_or_clear():
    least_push, missed_mm = solve_by_chance(1000)
    assert least_push >= 0
    assert missed_mm < 1e-6


@pytest.mark.benchmark
def test_four_thousand_switches_by_chance_end_with_every_contact_pushing_or_clear():
    began = process_time()
    least_push, missed_mm = solve_by_chance(4000)
    print(f"\n4,000 switches by chance: {process_time() - began:.1f} s of the processor")
    assert least_push >= 0
    assert missed_mm < 1e-6


@pytest.mark.parametrize("held", [True, False])
def test_with_the_closed_rail_rigid_the_open_one_lies_as_the_single_beam(held):
    """Held at every rod the closed rail cannot give: what is left is the blade of one rail."""
    chance = np.random.default_rng(7)
    for _ in range(50):
        displaced = free_blade().at(PLACES) + chance.uniform(-10, 10, 4)
        lying = make_rails(homes=PLACES, held=held).set_to(displaced)
        blade = Blade.through(PLACES, displaced, 6858.0, held, STIFFNESS_N_MM2)
        x = np.linspace(0, 6858, 101)
        assert lying.open_at(x) == pytest.approx(blade.at(x), abs=1e-6)
        assert lying.rod_forces_per_stiffness == pytest.approx(
            blade.shear_per_stiffness, rel=1e-6, abs=1e-18
        )


def test_what_was_read_is_where_the_lengths_worked_out_from_it_put_both_rails():
    """Neither studs nor soft rods alter where the open rail lies as it was read."""
    chance = np.random.default_rng(5)
    for _ in range(200):
        drawn = any_switch(chance)
        displaced = drawn.lengths_mm
        read = drawn.rails.read_as(displaced, drawn.homes_mm)
        again = drawn.rails.set_to(read.lengths_mm, drawn.homes_mm)
        rods = drawn.rails.rods_mm
        assert again.open_at(rods) == pytest.approx(displaced, abs=1e-6)
        assert again.closed_at(rods) == pytest.approx(read.closed_at(rods), abs=1e-6)


def test_shortening_a_rod_is_shared_by_both_rails():
    """A rod that is rigid gives all of its turn to the two rails; one that is soft, less."""
    for rod in (1, 2, 3):
        gained, closed = (-moved for moved in moved_by(make_rails(), rod, -8.0))
        assert gained + closed == pytest.approx(8.0, abs=1e-6)
        assert min(gained, closed) > 1
        softer = [-sum(moved_by(make_rails(rod_n_mm=k), rod, -8.0)) for k in (5_000, 1_000)]
        assert 8 > softer[0] > softer[1] > 0


def test_the_back_rod_gives_hardly_half_of_its_turn_to_the_clearance():
    """8 mm at the back: 3.8 mm of clearance there and 4.2 mm of the closed rail off its home."""
    gained, closed = (-moved for moved in moved_by(make_rails(), 3, -8.0))
    assert gained == pytest.approx(3.8, abs=0.05)
    assert closed == pytest.approx(4.2, abs=0.05)


def test_a_stud_keeps_the_closed_rail_from_bending_towards_its_stock_rail():
    """Rods shortened at the back press the closed rail on: studs stop it, nothing else does."""
    displaced = free_blade().at(PLACES) - [0, 0, 0, 8]
    free = make_rails().read_as(displaced)
    stopped = make_rails(studs=every_stud(make_shape())).read_as(displaced)
    behind = np.linspace(2400, 6800, 60)
    assert free.closed_at(behind).min() < -0.2
    assert stopped.closed_at(np.array(stopped.rails.contacts_mm)).min() > -1e-6
    assert stopped.open_at(behind) == pytest.approx(free.open_at(behind), abs=1e-9)


def test_the_closed_rail_never_enters_the_stock_rail_over_the_planing():
    chance = np.random.default_rng(3)
    for _ in range(100):
        drawn = any_switch(chance, studs="none")
        lying = drawn.rails.set_to(drawn.lengths_mm)
        planing = np.linspace(0, drawn.shape.planing_mm * 0.98, 200)
        assert lying.closed_at(planing).min() > -0.05  # between the places that are asked


def test_a_residual_opening_is_where_it_was_read():
    lying = make_rails(homes=(200.0, 2800.0)).read_as(free_blade().at(PLACES), [1.5, 0.5])
    assert lying.closed_at([200.0, 2800.0]) == pytest.approx([1.5, 0.5], abs=1e-9)


def test_the_effects_of_a_mm_are_those_of_a_small_change():
    chance = np.random.default_rng(11)
    for _ in range(60):
        drawn = any_switch(chance)
        rails = drawn.rails
        lying = rails.set_to(drawn.lengths_mm, drawn.homes_mm)
        x = np.linspace(0, rails.heel_mm, 7)
        effects = lying.effect_of_lengths(rails.closed_moves(x))
        for rod in range(len(rails.rods_mm)):
            step = np.zeros(len(rails.rods_mm))
            step[rod] = 1e-4
            after = rails.set_to(drawn.lengths_mm + step, drawn.homes_mm)
            if after.touching_mm != lying.touching_mm:
                continue
            opened = (after.open_at(rails.rods_mm) - lying.open_at(rails.rods_mm)) / 1e-4
            closed = (after.closed_at(x) - lying.closed_at(x)) / 1e-4
            assert effects.open_mm[:, rod] == pytest.approx(opened, abs=1e-3)
            assert effects.closed_mm[:, rod] == pytest.approx(closed, abs=1e-3)


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ({"homes": ()}, "where the closed switch rail is held is not known"),
        ({"rods": ()}, "no stretcher is given"),
        ({"rods": (200.0, 6858.0)}, "at or beyond the heel"),
        ({"rods": (1200.0, 200.0)}, "must be beyond the one before it"),
        ({"homes": (float("nan"),)}, "is not a number"),
    ],
)
def test_what_is_not_determined_is_not_solved(parts, said):
    with pytest.raises(CannotSay, match=said):
        make_rails(**parts)


def test_a_loose_heel_with_one_rod_and_one_home_swings_without_force():
    """A beam held at one point and pivoted at the other is a mechanism: a straight line."""
    lying = make_rails(held=False, rods=(200.0,)).set_to([103.0])
    x = np.linspace(0, 6858, 9)
    assert lying.open_at(x) == pytest.approx(103 * (6858 - x) / 6658, abs=1e-9)
    assert lying.rod_forces_per_stiffness == pytest.approx([0.0], abs=1e-20)


def test_rods_as_good_as_at_one_place_do_not_hold_the_rail():
    rails = make_rails(rods=(200.0, 201.0, 202.0, 203.0, 204.0))
    with pytest.raises(CannotSay, match="do not hold the switch rail"):
        rails.set_to(np.ones(5))


def test_what_holds_nothing_at_all_holds_no_rail_either():
    with pytest.raises(CannotSay, match="do not hold the switch rail"):
        _inverse(np.ones((2, 2)))
