import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assets.engineering.cannot_say import CannotSay
from assets.engineering.shape import (
    Curved,
    Measured,
    SemiCurved,
    Straight,
    drawn,
    gap_behind,
    head_width,
)
from assets.engineering.words import ShapeKind

from .switches import make_shape

SHAPES = [
    Straight(114.3, 69.85, 3657.6),
    make_shape(),
    Curved(200_000, 69.85, 7000),
    Curved(200_000, 69.85, 7000, slope=60),
    Measured((1000, 3000, 6000), (30, 95, 250), 69.85, 6000),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_every_shape_grows_from_the_toe_and_answers_for_arrays(shape):
    x = np.linspace(0, shape.heel_mm, 300)
    offset = shape.offset(x)
    assert offset.shape == x.shape
    assert offset[0] == 0
    assert (np.diff(offset) >= 0).all()
    assert float(shape.offset(x[10])) == offset[10]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
@given(share=st.floats(0, 1))
def test_place_of_an_offset_is_where_that_offset_is(shape, share):
    offset = share * float(shape.offset(shape.heel_mm))
    assert float(shape.offset(shape.where(offset))) == pytest.approx(offset, abs=1e-6)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_offset_never_reached_has_no_place(shape):
    assert shape.where(5000) is None


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_head_and_gap_behind_it_make_up_the_offset(shape):
    x = np.linspace(0, shape.heel_mm, 50)
    assert head_width(shape, x) + gap_behind(shape, x) == pytest.approx(shape.offset(x))
    assert head_width(shape, x).max() <= shape.head_mm
    assert gap_behind(shape, 0.0) == 0


def test_semi_curved_switch_runs_smoothly_into_its_curve():
    shape = make_shape()
    x = np.linspace(2100, 2400, 301)
    slope = np.diff(shape.offset(x))
    assert np.abs(np.diff(slope)).max() < 1e-5
    assert slope[0] == pytest.approx(1 / 32)


def test_long_curve_of_large_radius_keeps_its_digits():
    """x²/2R to first order: 0.5 mm over 1 m at 1000 km, where the plain formula loses half."""
    assert Curved(1e9, 70, 10_000).offset(1000) == pytest.approx(5e-4, rel=1e-9)


def test_measured_offsets_pass_through_what_was_measured_and_never_overshoot():
    shape = Measured((500, 1000, 1500, 6000), (20, 20, 60, 300), 69.85, 6000)
    assert shape.offset([500, 1000, 1500]) == pytest.approx([20, 20, 60])
    between = shape.offset(np.linspace(500, 1000, 40))
    assert between == pytest.approx(20.0)


def test_measured_offsets_may_come_in_any_order():
    one = Measured((1000, 3000, 6000), (30, 95, 250), 69.85, 6000)
    other = Measured((6000, 1000, 3000), (250, 30, 95), 69.85, 6000)
    x = np.linspace(0, 6000, 30)
    assert one.offset(x) == pytest.approx(other.offset(x))


@pytest.mark.parametrize(
    ("distances", "offsets", "says"),
    [
        ((), (), "measure the offset"),
        ((1000, 1000, 6000), (30, 31, 250), "two offsets are given at 1000 mm"),
        ((1000, 2000, 6000), (30, 25, 250), "falls from 30 mm at 1000 mm to 25 mm at 2000 mm"),
        ((1000, 5000), (30, 200), "measure one at the heel, 6000 mm from the toe"),
        ((1000, 6000), (-3, 200), "the offset at 1000 mm must be at least 0"),
        ((1000, 6000), (float("nan"), 200), "the offset at 1000 mm is not a number"),
        ((-5, 6000), (3, 200), "distance of an offset from the toe must be at least 0"),
    ],
)
def test_measured_offsets_that_cannot_be_say_which(distances, offsets, says):
    with pytest.raises(CannotSay, match=says):
        Measured(distances, offsets, 69.85, 6000)


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: make_shape(head_mm=0), "head must be above 0"),
        (lambda: make_shape(heel_mm=float("inf")), "toe to the heel is not a number"),
        (lambda: make_shape(slope=0), "slope of the planing"),
        (lambda: make_shape(planing_mm=7000), "longer than the switch"),
        (lambda: make_shape(radius_mm=3000), "ends before the heel"),
        (lambda: Curved(-1, 70, 5000), "switch radius must be above 0"),
        (lambda: Straight(5, 70, 3000, toe_mm=6), "heel divergence must be above 6"),
    ],
)
def test_shape_that_cannot_be_says_what_to_look_at(make, says):
    with pytest.raises(CannotSay, match=says):
        make()


@pytest.mark.parametrize("x", [-1, 6859, float("nan"), [100, 9000]])
def test_place_off_the_switch_is_refused(x):
    with pytest.raises(CannotSay, match="between 0 and 6858 mm"):
        make_shape().offset(x)


def test_shape_is_drawn_from_a_record():
    record = {"slope": 32, "planing_mm": 2235.2, "radius_mm": 186_842.4}
    assert drawn(ShapeKind.SEMI_CURVED, 69.85, 6858.0, **record) == make_shape()
    assert drawn(ShapeKind.STRAIGHT, 69.85, 3657.6, divergence_mm=114.3) == SHAPES[0]
    assert drawn(ShapeKind.CURVED, 69.85, 7000, radius_mm=200_000) == SHAPES[2]
    table = [(6000, 250), (1000, 30), (3000, 95)]
    assert drawn(ShapeKind.MEASURED, 69.85, 6000, offsets=table) == SHAPES[4]


@pytest.mark.parametrize(
    ("kind", "facts", "says"),
    [
        (ShapeKind.SEMI_CURVED, {"slope": 32, "planing_mm": 2235}, "the switch radius"),
        (ShapeKind.SEMI_CURVED, {"slope": 32, "radius_mm": 1e5}, "the planing length"),
        (ShapeKind.STRAIGHT, {}, "the heel divergence"),
        (ShapeKind.CURVED, {}, "the switch radius"),
        (ShapeKind.UNKNOWN, {}, "find its design, or measure the offset"),
        (ShapeKind.MEASURED, {}, "find its design, or measure the offset"),
    ],
)
def test_record_that_lacks_a_fact_says_which(kind, facts, says):
    with pytest.raises(CannotSay, match=says):
        drawn(kind, 69.85, 6858, **facts)


def test_record_without_head_or_length_says_so():
    with pytest.raises(CannotSay, match="width of the switch rail's head is not known"):
        drawn(ShapeKind.CURVED, None, 6858, radius_mm=1e5)
    with pytest.raises(CannotSay, match="from the toe to the heel is not known"):
        drawn(ShapeKind.CURVED, 70, None, radius_mm=1e5)


def test_slope_given_as_one_in_n_is_kept_by_the_straight_part():
    shape = SemiCurved(24, 1676.4, 146_913.6, 69.85, 6096)
    assert shape.offset(240.0) == pytest.approx(10.0, rel=1e-12)


def test_an_offset_that_the_circle_never_comes_to_has_no_place():
    """A circle of 7 m radius is 7 m off its tangent at the most, wherever the heel is."""
    shape = Curved(7000.0, 69.85, 6858.0)
    assert shape.where(6999.0) is None  # beyond the heel
    assert shape.where(7001.0) is None  # beyond the circle


def test_a_straight_switch_with_a_thick_toe_rises_from_its_thickness():
    thick = Straight(106, 70, 3000, toe_mm=6)
    assert thick.offset([0, 1500, 3000]).tolist() == [6, 56, 106]
    assert thick.where(56) == pytest.approx(1500)
