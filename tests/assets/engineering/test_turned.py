"""A rod turned end for end: everything sided changes its side, and twice is as it was."""

from dataclasses import fields, replace

from assets.engineering.words import Ends, InsulationSide, Towards
from tests.assets.engineering.rods import BULLHEAD_SHOE, FLAT_BOTTOM_SHOE, make_rod

SIDED = {
    "insulation_side": InsulationSide.LEFT,
    "gooseneck_towards": Towards.TOE,
    "left_shoe": BULLHEAD_SHOE,
    "right_shoe": FLAT_BOTTOM_SHOE,
    "kicker_end": Ends.LEFT,
    "lug_end": Ends.RIGHT,
    "shim_left_mm": 2.0,
    "shim_right_mm": None,
}


def test_each_side_is_changed_and_nothing_else():
    rod = make_rod(**SIDED)
    turned = rod.turned
    assert {name: getattr(turned, name) for name in SIDED} == {
        "insulation_side": InsulationSide.RIGHT,
        "gooseneck_towards": Towards.HEEL,
        "left_shoe": FLAT_BOTTOM_SHOE,
        "right_shoe": BULLHEAD_SHOE,
        "kicker_end": Ends.RIGHT,
        "lug_end": Ends.LEFT,
        "shim_left_mm": None,
        "shim_right_mm": 2.0,
    }
    others = {f.name for f in fields(rod)} - set(SIDED)
    assert [n for n in others if getattr(rod, n) != getattr(turned, n)] == []


def test_no_fact_with_a_side_in_its_name_is_forgotten():
    """The left one of a pair comes out as the right one was."""
    rod = make_rod()
    for name in (f.name for f in fields(rod) if "left" in f.name):
        marked = object()
        assert getattr(replace(rod, **{name: marked}).turned, name.replace("left", "right")) is (
            marked
        )


def test_turned_twice_a_rod_lies_as_it_did():
    for side in InsulationSide:
        for end in Ends:
            rod = make_rod(**{**SIDED, "insulation_side": side, "kicker_end": end})
            assert rod.turned.turned == rod
