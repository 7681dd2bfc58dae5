import pytest

from assets.engineering.cannot_say import CannotSay
from assets.engineering.facts import Interval
from assets.engineering.rails import (
    KG_M_PER_LB_YD,
    Feet,
    area_mm2,
    feet_agree,
    iyy_bounds_cm4,
    stiffness_n_mm2,
    stiffness_range,
)


def test_stiffness_is_young_times_second_moment():
    assert stiffness_n_mm2(512.0) == pytest.approx(1.0752e12)


def test_published_section_has_one_stiffness():
    assert stiffness_range(512.0, 85, 186) == Interval(1.0752e12, 1.0752e12)


def test_section_with_bounds_only_has_a_range():
    found = stiffness_range(None, 85, 186)
    assert (found.least, found.most) == pytest.approx((1.785e11, 3.906e11))


@pytest.mark.parametrize("bounds", [(None, None), (85, None), (None, 186)])
def test_section_without_both_bounds_has_no_stiffness(bounds):
    assert stiffness_range(None, *bounds) is None


def test_bounds_of_a_bullhead_section_from_its_sizes():
    """95RBH: mass by BS 11:1985 clause 4 note 2; the bounds are exact for any such section."""
    mass = 95 * KG_M_PER_LB_YD
    assert mass == pytest.approx(47.13, abs=0.01)
    found = iyy_bounds_cm4(area_mm2(mass), 145.26, 69.85, 19.05)
    assert (found.least, found.most) == pytest.approx((85, 186), abs=1)


def test_bounds_hold_a_section_whose_second_moment_is_published():
    """60E1: Iyy 512.3 cm⁴ (EN 13674-1 by way of a steelmaker's data sheet)."""
    bounds = iyy_bounds_cm4(area_mm2(60.21), 172, 150, 16.5)
    assert bounds.least < 512.3 < bounds.most


def test_second_moment_of_nothing_is_refused():
    with pytest.raises(CannotSay, match="lateral Iyy must be above 0"):
        stiffness_n_mm2(0)


def test_a_rail_without_weight_is_refused():
    with pytest.raises(CannotSay, match="the mass of the rail must be above 0"):
        area_mm2(0.0)


def test_feet_that_agree_within_a_millimetre_take_the_same_shoes():
    """109 lb (139.7 mm) and 113A (140 mm); 60E1 has 150 mm. Common practice, no source."""
    assert feet_agree(139.7, 140.0, 1.0)
    assert feet_agree(140.0, 141.0, 1.0)
    assert not feet_agree(140.0, 141.1, 1.0)
    assert not feet_agree(140.0, 150.0, 1.0)


@pytest.mark.parametrize(
    ("feet", "one"),
    [
        ([], True),
        ([140.0, 139.7], True),
        ([140.0, 150.0], False),
        ([140.0, 140.9, 141.8], False),
        ([None], True),  # one section is one family, whatever its foot
        ([140.0, None], None),
        ([140.0, None, 150.0], False),
    ],
)
def test_a_railway_has_one_family_of_feet_or_more(feet, one):
    assert Feet.of(feet).one_family(1.0) is one
