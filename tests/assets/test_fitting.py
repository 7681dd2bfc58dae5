"""A part is in one place at a time, a position holds one, and the story stays whole."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from assets import fitting
from assets.models import Fitting, Stretcher
from tests.builders import (
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

pytestmark = pytest.mark.django_db
MARCH, MAY, JULY = date(2025, 3, 1), date(2025, 5, 1), date(2025, 7, 1)


@pytest.fixture
def place():
    return make_position(make_points("12"), 2)


def test_a_fitted_rod_is_no_longer_a_spare(place):
    rod, other = make_stretcher("ST-014"), make_stretcher("ST-015")
    fitting.fit(rod, place, on=MAY, by="Lineman A")
    assert list(Stretcher.objects.spare()) == [other]
    assert list(Stretcher.objects.fitted()) == [rod]


def test_a_rod_taken_out_is_a_spare_again_and_its_story_says_why(place):
    rod = make_stretcher("ST-014")
    fitted = fitting.fit(rod, place, on=MARCH, by="Lineman A")
    fitting.take_out(fitted, on=MAY, by="Lineman A", reason="bush squashed")
    assert list(Stretcher.objects.spare()) == [rod]
    assert rod.fittings.get().taken_out_reason == "bush squashed"


def test_a_rod_cannot_be_fitted_twice(place):
    rod = make_stretcher("ST-014")
    fitting.fit(rod, place, on=MARCH, by="Lineman A")
    elsewhere = make_position(make_points("13"), 1)
    with pytest.raises(ValidationError, match="ST-014 was at SKB 12, second stretcher"):
        fitting.fit(rod, elsewhere, on=MAY, by="Lineman A")
    assert Fitting.objects.count() == 1


def test_an_occupied_position_is_refused_unless_the_present_rod_comes_out(place):
    old, new = make_stretcher("ST-001"), make_stretcher("ST-002")
    fitting.fit(old, place, on=MARCH, by="Lineman A")
    with pytest.raises(ValidationError, match="SKB 12, second stretcher held ST-001"):
        fitting.fit(new, place, on=MAY, by="Lineman A")
    fitting.fit(new, place, on=MAY, by="Lineman A", replacing="worn out")
    assert [f.part.tag for f in Fitting.objects.current()] == ["ST-002"]
    assert old.fittings.get().taken_out_on == MAY


def test_a_failed_replacement_leaves_the_present_rod_in(place):
    old, new = make_stretcher("ST-001"), make_stretcher("ST-002")
    fitting.fit(old, place, on=MARCH, by="Lineman A")
    fitting.fit(new, make_position(make_points("13"), 1), on=MARCH, by="Lineman A")
    with pytest.raises(ValidationError):
        fitting.fit(new, place, on=MAY, by="Lineman A", replacing="worn out")
    assert old.fittings.get().taken_out_on is None


def test_moving_a_rod_is_one_step(place):
    rod = make_stretcher("ST-014")
    there = make_position(place.points, 3)
    fitted = fitting.fit(rod, place, on=MARCH, by="Lineman A")
    fitting.move(fitted, there, on=MAY, by="Lineman A", reason="better length")
    assert [f.position.order for f in rod.fittings.in_order()] == [3, 2]


def test_a_day_that_has_not_come_is_refused(place):
    tomorrow = timezone.localdate() + timedelta(days=1)
    with pytest.raises(ValidationError, match="is in the future"):
        fitting.fit(make_stretcher(), place, on=tomorrow, by="Lineman A")


def test_taking_out_twice_is_refused(place):
    fitted = fitting.fit(make_stretcher("ST-1"), place, on=MARCH, by="Lineman A")
    fitting.take_out(fitted, on=MAY, by="Lineman A", reason="worn")
    with pytest.raises(ValidationError, match="ST-1 was already taken out on 1 May 2025"):
        fitting.take_out(fitted, on=JULY, by="Lineman A", reason="worn")


def test_machine_and_lost_motion_share_a_position_with_the_rod(place):
    for part in (make_stretcher(), make_machine(), make_lost_motion_fitting()):
        fitting.fit(part, place, on=MARCH, by="Lineman A")
    assert Fitting.objects.current().filter(position=place).count() == 3


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"taken_out_on": date(2025, 2, 1), "taken_out_reason": "x"}, "fitting_ends_after"),
        ({"taken_out_on": MAY}, "fitting_end_has_a_reason"),
        ({"machine": "machine"}, "fitting_has_one_part"),
    ],
)
def test_the_database_itself_refuses_a_fitting_that_cannot_be(place, fields, sentence):
    fields = {k: make_machine() if v == "machine" else v for k, v in fields.items()}
    with pytest.raises(IntegrityError, match=sentence), transaction.atomic():
        make_fitting(make_stretcher(), place, **fields)


def test_the_database_itself_refuses_overlapping_stories(place):
    rod = make_stretcher()
    make_fitting(rod, place, fitted_on=MARCH, taken_out_on=JULY, taken_out_reason="worn")
    there = make_position(place.points, 3)
    with pytest.raises(IntegrityError, match="one place at a time"), transaction.atomic():
        make_fitting(rod, there, fitted_on=MAY, taken_out_on=JULY, taken_out_reason="x")
    with pytest.raises(IntegrityError, match="one part of a kind"), transaction.atomic():
        make_fitting(make_stretcher(), place, fitted_on=MAY)
    make_fitting(rod, there, fitted_on=JULY)


def test_what_was_fitted_on_a_day_leaves_out_what_came_out_that_day(place):
    old, new = make_stretcher("ST-001"), make_stretcher("ST-002")
    fitting.fit(old, place, on=MARCH, by="Lineman A")
    fitting.fit(new, place, on=MAY, by="Lineman A", replacing="worn")
    assert [f.part.tag for f in Fitting.objects.on(MAY)] == ["ST-002"]
    assert [f.part.tag for f in Fitting.objects.on(date(2025, 4, 30))] == ["ST-001"]
