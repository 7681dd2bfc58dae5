"""Studs are written as distances; none at all and not known are two things."""

import pytest
from django.core.exceptions import ValidationError

from tests.builders import make_points

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("written", "studs"),
    [
        ("", None),
        ("none", ()),
        (" None ", ()),
        ("3400; 2600", (2600, 3400)),
        ("8 ft 6 in", (2590.8,)),
        ("2600", (2600,)),
    ],
)
def test_distances_from_the_toe_none_and_not_known_are_told_apart(written, studs):
    assert make_points(studs=written).studs_mm == studs


@pytest.mark.parametrize("wrong", ["two", "2600, 3400", "2600; ", "0", "-3", "1,435", "40000"])
def test_what_is_no_distance_is_refused_with_how_to_write_it(wrong):
    points = make_points()
    points.studs = wrong
    with pytest.raises(ValidationError) as refused:
        points.full_clean()
    assert list(refused.value.message_dict) == ["studs"]
