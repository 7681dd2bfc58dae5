"""What a reading is called in lists of evidence: its verdict is never said wrongly."""

from datetime import date

import pytest
from django.urls import reverse

from config.today import handover, home
from defects import forms, proposals
from defects.moves import moves
from defects.routing.words import finding_in_words
from inspections.models import Reading
from inspections.verdicts.stored import finding_of
from inspections.words import Verdict
from tests import builders

pytestmark = pytest.mark.django_db
PLACE = "at the first stretcher, left closed"
WORDS = {  # a clearance with limits of 55 mm (alert), 50 mm and 45 mm (immediate action)
    Verdict.WITHIN: (60, f"Free wheel clearance 60 mm {PLACE}: at least 55 mm"),
    Verdict.ALERT: (52, f"Free wheel clearance 52 mm {PLACE}: at least 55 mm (alert limit)"),
    Verdict.INTERVENTION: (46, f"Free wheel clearance 46 mm {PLACE}: at least 50 mm"),
    Verdict.IMMEDIATE: (
        44,
        f"Free wheel clearance 44 mm {PLACE}: at least 45 mm (immediate action limit)",
    ),
    Verdict.NO_LIMIT: (46, f"Free wheel clearance 46 mm {PLACE}: no limit"),
    Verdict.NOT_TAKEN: (None, f"Free wheel clearance not taken {PLACE}: dark"),
}


@pytest.fixture
def points():
    points = builders.make_points("12")
    builders.make_position(points, 1)
    return points


@pytest.fixture
def limits():
    for level, least in (("alert", 55), ("intervention", 50), ("immediate", 45)):
        builders.set_limit("fwc", minimum=least, level=level)


def read(points, value: float | None) -> Reading:
    """One clearance at the first stretcher, judged as every visit is."""
    more = {"lie": "left_closed"} | ({"not_taken_reason": "dark"} if value is None else {})
    visit = builders.make_visit(
        points, builders.noon(2025, 6, 1), readings=[("fwc", points.positions.get(), value, more)]
    )
    return visit.readings.get()


@pytest.mark.parametrize("verdict", Verdict)
def test_every_verdict_has_its_own_words(points, request, verdict):
    if verdict is not Verdict.NO_LIMIT:
        request.getfixturevalue("limits")
    value, words = WORDS[verdict]
    reading = read(points, value)
    assert reading.verdict == verdict
    assert finding_in_words(finding_of(reading)) == words


@pytest.mark.parametrize(
    ("verdict", "words"),
    [
        ("within", "within limits"),
        ("alert", "past the alert limit"),
        ("intervention", "out of limits"),
        ("immediate", "past the immediate action limit"),
        ("no_limit", "no limit"),
    ],
)
def test_a_verdict_whose_limit_is_not_recorded_still_says_itself(points, verdict, words):
    visit = builders.make_inspection(points)
    place = points.positions.get()
    reading = builders.make_reading(visit, place, 46, verdict=verdict, limit=None)
    assert finding_in_words(finding_of(reading)).endswith(f"{PLACE}: {words}")


def test_the_handover_note_says_no_limit_of_a_reading_without_one(as_technician, points):
    read(points, 46)
    note = handover.note_of(builders.with_places(points), date(2025, 6, 1), date(2025, 6, 1))
    assert [reading.words for reading in note.visits[0].readings] == [WORDS[Verdict.NO_LIMIT][1]]
    address = reverse("defects:handover", args=["SKB", "12"])
    page = as_technician.get(address, {"since": "2025-06-01", "until": "2025-06-01"})
    assert WORDS[Verdict.NO_LIMIT][1] in page.content.decode()
    assert "out of limits" not in page.content.decode()


@pytest.mark.usefixtures("limits")
@pytest.mark.parametrize("verdict", [verdict for verdict in Verdict if verdict.is_out])
def test_proposals_home_page_and_undecided_findings_say_the_same(points, verdict):
    value, words = WORDS[verdict]
    reading = read(points, value)
    assert [p.title for p in proposals.proposals_for(reading.inspection)] == [words]
    note = handover.note_of(builders.with_places(points), date(2025, 6, 2), date(2025, 6, 2))
    assert note.undecided == [words]
    (finds,), more = home._finds()
    assert (finds.words, more) == ([words], 0)


@pytest.mark.usefixtures("limits")
def test_evidence_to_choose_from_says_which_limit_it_met(points, technician):
    out = read(points, 46)
    defect = moves.accept(
        builders.make_defect(reading=out), user=technician, at=builders.noon(2025, 6, 2)
    )
    at = builders.noon(2025, 6, 3)
    defect = moves.work_done(defect, user=technician, at=at, note="Rod set again.")
    where = points.positions.get()
    builders.make_visit(points, at, readings=[("fwc", where, 52, {"lie": "left_closed"})])
    ((_, words, _),) = forms.offered_evidence(defect)
    assert words == f"{WORDS[Verdict.ALERT][1]} (3 Jun 2025 13:00, Lineman A)"


def test_what_was_not_taken_shows_no_limit_on_the_page_of_the_visit(as_technician, points, limits):
    reading = read(points, None)
    page = as_technician.get(reading.inspection.get_absolute_url()).content.decode()
    assert "not taken: dark" in page
    assert "no limit" not in page
