"""The note that goes with points given back: complete, dated, and no certificate."""

from datetime import date

import pytest
from django.urls import reverse

from config.today import handover
from defects.moves import moves
from tests import pages
from tests.builders import (
    make_defect,
    make_examination,
    make_fitting,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    make_stretcher,
    noon,
    set_limit,
    with_places,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def points(db):
    points = make_points("12")
    make_position(points, 1)
    return points


@pytest.fixture
def worked(points, technician):
    """Clearance 46 mm on 1 June, mended on the 3rd and measured 52 mm; a rod changed; one thing
    left open."""
    place = points.positions.get()
    out = make_fitting(make_stretcher("ST-001"), place)
    out.taken_out_on, out.taken_out_by = date(2025, 6, 3), "Lineman A"
    out.taken_out_reason = "Bent."
    out.save()
    make_fitting(make_stretcher("ST-002"), place, fitted_on=date(2025, 6, 3))
    low = make_reading(make_inspection(points, noon(2025, 6, 1)), place, 46)
    defect = moves.accept(make_defect(reading=low), user=technician, at=noon(2025, 6, 2))
    defect = moves.work_done(
        defect, user=technician, at=noon(2025, 6, 3), note="Back stretcher reset."
    )
    visit = make_inspection(points, noon(2025, 6, 3), reason="after_work")
    good = make_reading(visit, place, 52)
    make_examination(visit, place, item="ballast", note="Dug in again.")
    moves.close(defect, user=technician, at=noon(2025, 6, 3), reading=good)
    make_defect(points, title="Lamp out", at=noon(2025, 6, 3))
    return points


def note(points) -> handover.HandoverNote:
    return handover.note_of(with_places(points), date(2025, 6, 2), date(2025, 6, 4))


def page(client, points, query: str = "?since=2025-06-02&until=2025-06-04") -> str:
    address = reverse("defects:handover", args=[points.location.code, points.number])
    return pages.shown(client.get(address + query))


def test_it_says_what_was_done_measured_and_remains_with_names_and_times(as_technician, worked):
    text = page(as_technician, worked)
    for words in (
        "Back stretcher reset.",
        "Lineman A, 3 Jun 2025 13:00",
        "ST-001 taken out of the first stretcher: Bent.",
        "ST-002 fitted at the first stretcher",
        "Free wheel clearance 52 mm at the first stretcher, left closed: at least 50 mm",
        "Lamp out",
        "Limit not confirmed.",
        "common practice, no source",
        "Dug in again.",
    ):
        assert words in text, words


def test_a_reading_without_a_limit_is_not_said_to_be_out_of_limits(as_technician, points):
    place = points.positions.get()
    set_limit("fwc")  # neither least nor most
    make_reading(make_inspection(points, noon(2025, 6, 3)), place, 52)
    text = page(as_technician, points)
    assert "Free wheel clearance 52 mm at the first stretcher, left closed: no limit" in text
    assert "out of limits" not in text


def test_it_says_that_it_does_not_certify_the_points(as_technician, worked):
    assert "This note does not certify the points as fit for traffic." in page(
        as_technician, worked
    )


def test_what_was_found_and_not_decided_remains(worked):
    assert note(worked).undecided == [
        "Ballast behind the stretchers: defective at the first stretcher"
    ]


def test_only_the_chosen_days_count(worked):
    shown = note(worked)
    assert [r.value for visit in shown.visits for r in visit.readings] == [52]
    assert [event.move for event in shown.work] == ["work_done", "close"]


def test_a_temporary_measure_remains_even_of_a_closed_defect(worked, engineer):
    defect = make_defect(worked, title="Rail chipped")
    defect = moves.set_temporary_measure(
        defect, user=engineer, at=noon(2025, 6, 3), measure="speed", note="10 miles an hour."
    )
    moves.close(defect, user=engineer, at=noon(2025, 6, 3), reason="Watched weekly.")
    assert note(worked).measures == [defect]


def test_points_nobody_touched_have_an_honest_empty_note(as_technician, points):
    text = page(as_technician, points)
    assert "No work is recorded in this period." in text
    assert "Nothing was measured or examined in this period." in text
    assert "No reading in this period was judged by a limit." in text


def test_the_last_day_before_the_first_is_told(as_technician, points):
    text = page(as_technician, points, "?since=2025-06-04&until=2025-06-02")
    assert "The last day cannot be before the first." in text


def test_what_is_owed_since_the_last_change_remains(as_technician, worked):
    text = page(as_technician, worked)
    assert "To be measured again" in text
    assert "work on defect" in text
    assert "switch opening, both lies" in text


def test_the_night_the_clocks_change_belongs_to_its_day(points):
    """Clocks went forward at 01:00 UTC on 30 March 2025 in the United Kingdom."""
    make_reading(make_inspection(points, noon(2025, 3, 29).replace(hour=23, minute=59)), at_mm=2100)
    make_reading(make_inspection(points, noon(2025, 3, 30).replace(hour=22, minute=59)), at_mm=2100)
    make_reading(make_inspection(points, noon(2025, 3, 30).replace(hour=23, minute=1)), at_mm=2100)
    day = handover.note_of(with_places(points), date(2025, 3, 30), date(2025, 3, 30))
    assert [visit.inspection.at.hour for visit in day.visits] == [22]


def test_a_note_takes_the_same_queries_however_much_was_done(
    worked, technician, django_assert_max_num_queries
):
    for _ in range(8):
        visit = make_inspection(worked, noon(2025, 6, 3))
        make_reading(visit, worked.positions.get(), 46)
        make_defect(worked, title="More", at=noon(2025, 6, 3))
    placed = with_places(worked)
    handover.note_of(placed, date(2025, 6, 2), date(2025, 6, 4))  # judges what was changed
    with django_assert_max_num_queries(18):
        handover.note_of(placed, date(2025, 6, 2), date(2025, 6, 4))
