"""Visits, readings and examinations in the workbook: judged as on the screen, never rewritten."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from inspections.models import Difference, Examination, Inspection, Limit, Reading
from inspections.words import Verdict
from tests import builders, workbooks
from tests.workbooks import load, reason, refusals, totals

pytestmark = pytest.mark.django_db

WHEN = "4 May 2026 11:30"
VISIT = ["Points", "When", "Who", "Why"]
READING = ["Points", "When", "Quantity", "Place", "Lie", "Value"]
LOOK = ["Points", "When", "Thing looked at", "Place", "Found"]


@pytest.fixture
def points():
    return builders.make_rigged_points("12")


def sheets(*, value=46, readings=(), looks=(), by="Lineman A"):
    return {
        "Visits": [VISIT, ["SKB 12", WHEN, by, "routine"]],
        "Readings": [
            READING,
            ["SKB 12", WHEN, "free wheel clearance", 1, "left closed", value],
            *readings,
        ],
        "Examinations": [LOOK, ["SKB 12", WHEN, "fixings", 1, "defective"], *looks],
    }


def test_a_visit_is_recorded_with_the_verdicts_of_its_day(points, technician):
    builders.set_limit("fwc", minimum=50, effective_from=date(2020, 1, 1))
    plan = load(sheets(), technician)
    assert refusals(plan) == []
    assert totals(plan) == (3, 0, 0, 0, 0)
    visit = Inspection.objects.get()
    assert (visit.by, visit.reason, visit.recorded_by) == ("Lineman A", "routine", technician)
    assert timezone.localtime(visit.at).strftime("%d %b %Y %H:%M") == "04 May 2026 11:30"
    [reading] = visit.readings.all()
    assert (reading.value, reading.verdict) == (46, Verdict.INTERVENTION)
    assert reading.limit == Limit.objects.get()
    assert not reading.limit_confirmed
    assert reading.stretcher.tag == f"ST-{points.pk}-1"
    [look] = visit.examinations.all()
    assert (look.item, look.found) == ("fixings", "defective")


def test_loading_it_again_changes_nothing(points):
    load(sheets())
    assert totals(load(sheets())) == (0, 0, 3, 0, 0)
    assert totals(load(workbooks.saved()))[:2] == (0, 0)
    assert Reading.objects.count() == 1


def test_a_changed_reading_is_refused_and_says_what_to_do(points):
    load(sheets(value=46))
    plan = load(sheets(value=52))
    assert refusals(plan) == [
        ("Readings", 2, "Value",
         ("What was recorded stays as it was written: enter a correction in the program, or as a "
         "row of its own here with the next entry number and the reason."))
    ]  # fmt: skip
    assert Reading.objects.get().value == 46


def test_a_correction_is_a_row_of_its_own(points):
    builders.set_limit("fwc", minimum=50)
    load(sheets(value=46))
    correction = {
        "Readings": [
            [*READING, "Entry", "Why corrected", "Corrected by", "Corrected at"],
            ["SKB 12", WHEN, "free wheel clearance", 1, "left closed", 64, 2, "misread",
             "Lineman A", "5 May 2026 09:00"],
        ]
    }  # fmt: skip
    assert totals(load(correction)) == (1, 0, 0, 0, 0)
    mistaken = Reading.objects.get(value=46)
    anew = Reading.objects.get(value=64)
    assert anew.corrects == mistaken
    assert anew.verdict == Verdict.WITHIN
    assert (anew.correction_reason, anew.entered_by) == ("misread", "Lineman A")
    assert timezone.localtime(anew.entered_at).hour == 9
    assert totals(load(correction)) == (0, 0, 1, 0, 0)
    assert totals(load(workbooks.saved()))[:2] == (0, 0)


def test_a_correction_needs_its_reason_and_something_to_correct(points):
    load(sheets())
    headings = [*READING, "Entry", "Corrected by"]
    row = ["SKB 12", WHEN, "free wheel clearance", 1, "left closed", 64]
    assert reason(load({"Readings": [headings, [*row, 2, "Lineman A"]]})) == (
        "Say why the entry is corrected."
    )
    assert reason(load({"Readings": [headings, [*row, 3, "Lineman A"]]})) == (
        "There is no entry 2 to correct."
    )
    assert reason(load({"Readings": [headings, [*row, 2, None]]})) == "Say who corrected it."


def test_an_absurd_reading_is_refused_beside_its_cell(points):
    headings = ["Points", "When", "Quantity", "Lie", "Value"]
    plan = load(
        {
            "Visits": [VISIT, ["SKB 12", WHEN, "Lineman A", "routine"]],
            "Readings": [headings, ["SKB 12", WHEN, "switch opening", "left closed", 1080]],
        }
    )
    visit, (sheet, row, heading, sentence) = refusals(plan)
    assert (sheet, row, heading) == ("Readings", 2, "Value")
    assert sentence.startswith("1080 mm cannot be right: switch opening is between")
    assert visit[3] == "One of its readings or examinations is refused."
    assert not Inspection.objects.exists()


def test_a_reading_of_no_visit_is_refused(points):
    plan = load({"Readings": sheets()["Readings"]})
    assert "no visit to these points at that moment" in reason(plan)


def test_nothing_is_added_to_a_visit_afterwards(points):
    load(sheets())
    more = ["SKB 12", WHEN, "free wheel clearance", 1, "right closed", 60]
    plan = load(sheets(readings=[more]))
    assert "nothing is added to it afterwards" in reason(plan)


def test_a_visit_in_the_future_is_refused(points):
    when = (timezone.localtime() + timedelta(days=2)).replace(tzinfo=None, microsecond=0)
    plan = load(
        {
            "Visits": [VISIT, ["SKB 12", when, "Lineman A", "routine"]],
            "Examinations": [LOOK, ["SKB 12", when, "fixings", 1, "good"]],
        }
    )
    assert refusals(plan)[0][2:] == ("When", "A visit cannot be in the future.")


def test_a_time_that_the_clocks_passed_over_is_refused(points):
    """The clocks go forward at 01:00 on 29 March 2026."""
    when = "29 Mar 2026 01:30"
    plan = load(
        {
            "Visits": [VISIT, ["SKB 12", when, "Lineman A", "routine"]],
            "Examinations": [LOOK, ["SKB 12", when, "fixings", 1, "good"]],
        }
    )
    assert "no such time" in refusals(plan)[0][3]


def test_two_visits_at_one_moment_are_told_apart_by_number(points):
    """A joint visit, entered by both departments."""
    at = builders.noon(2026, 5, 4)
    builders.make_fwc_visit(points, at, 60)
    builders.make_fwc_visit(points, at, 61, by="Ganger B")
    file, before = workbooks.saved(), workbooks.everything()
    assert workbooks.load(file).rows == []
    workbooks.empty_the_register()
    assert refusals(load(file)) == []
    assert workbooks.everything() == before


def test_instruments_are_kept_and_one_past_its_check_is_marked(points):
    builders.make_instrument("RULE-1", "rule", check_due=date(2026, 1, 1))
    given = sheets()
    given["Visits"] = [[*VISIT, "Instruments"], ["SKB 12", WHEN, "Lineman A", "routine", "rule-1"]]
    assert refusals(load(given)) == []
    reading = Reading.objects.get()
    assert (reading.instrument.tag, reading.instrument_past_check) == ("RULE-1", True)
    given["Visits"][1][4] = "RULE-9"
    given["Visits"][1][1] = given["Readings"][1][1] = given["Examinations"][1][1] = "5 May 2026"
    assert refusals(load(given))[0][2:] == (
        "Instruments", 'There is no instrument "RULE-9" in the sheet Instruments.',
    )  # fmt: skip


def test_a_rod_that_is_not_the_one_recorded_there_is_asked_about(points):
    other = builders.make_stretcher("ST-OTHER")
    before = {"fitted_on": date(2024, 1, 1), "taken_out_on": date(2024, 2, 1)}
    place = points.positions.get(order=1)
    builders.make_fitting(other, place, **before, taken_out_reason="worn")
    given = sheets()
    given["Readings"] = [[*READING, "Rod"], [*given["Readings"][1], other.tag]]
    assert refusals(load(given)) == []
    assert Reading.objects.get().stretcher == other
    difference = Difference.objects.get()
    assert (difference.rod_then, difference.rod_now.tag) == (other, f"ST-{points.pk}-1")


def test_a_rod_that_was_never_there_is_refused(points):
    builders.make_stretcher("ST-OTHER")
    given = sheets()
    given["Readings"] = [[*READING, "Rod"], [*given["Readings"][1], "ST-OTHER"]]
    assert ("Readings", 2, "Rod", "ST-OTHER was never recorded at the first stretcher.") in (
        refusals(load(given))
    )


def test_an_examination_is_corrected_too(points):
    load(sheets())
    correction = {
        "Examinations": [
            [*LOOK, "Entry", "Why corrected", "Corrected by"],
            ["SKB 12", WHEN, "fixings", 1, "good", 2, "wrong rod looked at", "Lineman A"],
        ]
    }
    assert totals(load(correction)) == (1, 0, 0, 0, 0)
    assert Examination.objects.standing().get().found == "good"
    assert totals(load(correction)) == (0, 0, 1, 0, 0)


def test_who_may_not_record_visits_may_not_load_them(points, viewer):
    plan = load(sheets(), viewer)
    assert {column for _, _, column, _ in refusals(plan)} == {""}
    assert not Inspection.objects.exists()
