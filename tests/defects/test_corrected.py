"""A defect raised from a reading or an examination that was corrected afterwards."""

import pytest

from defects.closing.corrected import correction_of
from defects.moves import moves
from tests import pages
from tests.builders import (
    make_defect,
    make_examination,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    noon,
    set_limit,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(db):
    points = make_points("12")
    make_position(points, 1)
    set_limit("track_gauge", 1430, 1470)
    return make_inspection(points)


def gauge(visit, value: float, **fields):
    return make_reading(visit, None, value, quantity="track_gauge", **fields)


def corrected(visit, reading, value: float, **fields):
    reason = {"correction_reason": "Figures read in the wrong order.", "entered_by": "Ganger B"}
    return gauge(visit, value, corrects=reading, entered_at=noon(2025, 6, 3), **reason, **fields)


def page_of(client, defect):
    return client.get(defect.get_absolute_url())


def offered(response) -> list[str]:
    return [offer["name"] for offer in response.context["offers"]]


def test_the_page_says_what_the_reading_was_corrected_to_when_and_by_whom(as_ganger, visit):
    reading = gauge(visit, 1480)
    defect = make_defect(reading=reading, title="")
    assert "corrected" not in page_of(as_ganger, defect).text
    corrected(visit, reading, 1436)
    page = pages.shown(page_of(as_ganger, defect))
    assert "was corrected to 1436 mm</strong> on 3 Jun 2025 by Ganger B" in page
    assert "Figures read in the wrong order." in page


def test_raised_in_error_comes_first_once_the_corrected_value_is_within(as_technician, visit):
    """To the department that raised it; the other is told whose it is to say."""
    reading = gauge(visit, 1480)
    defect = make_defect(reading=reading, title="", mends="signalling")
    before = offered(page_of(as_technician, defect))
    assert before[0] == "accept"
    corrected(visit, reading, 1436)
    response = page_of(as_technician, defect)
    assert offered(response)[:2] == ["in_error", "accept"]
    assert set(offered(response)) == set(before)
    assert "the department that raised it should mark it as raised in error" in response.text


def test_corrected_to_another_value_that_is_out_it_stays_a_defect(as_technician, visit):
    reading = gauge(visit, 1480)
    defect = make_defect(reading=reading, title="", mends="signalling")
    corrected(visit, reading, 1475)
    response = page_of(as_technician, defect)
    assert "corrected to 1475 mm" in response.text
    assert "should mark it as raised in error" not in response.text
    assert offered(response)[0] == "accept"


def test_found_again_since_it_is_not_offered_first_as_raised_in_error(as_technician, ganger, visit):
    reading = gauge(visit, 1480)
    defect = make_defect(reading=reading, title="", mends="signalling")
    later = make_inspection(visit.points, noon(2025, 6, 2))
    again = gauge(later, 1479)
    moves.measured_again(defect, user=ganger, at=noon(2025, 6, 2), reading=again)
    corrected(visit, reading, 1436)
    response = page_of(as_technician, defect)
    assert offered(response)[0] == "accept"
    assert "in_error" in offered(response)


def test_the_last_of_several_corrections_counts(visit):
    reading = gauge(visit, 1480)
    defect = make_defect(reading=reading, title="")
    second = corrected(visit, reading, 1436)
    corrected(visit, second, 1476)
    found = correction_of(defect)
    assert (found.words, found.still_wrong) == ("1476 mm", True)


def test_an_examination_found_good_after_all_says_so(as_technician, visit):
    place = visit.points.positions.get()
    look = make_examination(visit, place, item="weld")
    defect = make_defect(examination=look)
    make_examination(
        visit, place, item="weld", found="good", corrects=look,
        correction_reason="Paint, no crack.", entered_by="Lineman A",
    )  # fmt: skip
    response = page_of(as_technician, defect)
    assert "The examination this was raised from" in response.text
    assert "was corrected to good" in response.text
    assert offered(response)[0] == "in_error"
