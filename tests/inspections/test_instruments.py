"""Instruments: every check that they passed or failed, and how sure their readings are."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from assets.engineering.assumed import NOTHING_CONFIRMED, Assumed
from assets.engineering.report import report
from assets.models import Points
from inspections.latest.open_switch import PER_PLACE, read_points
from inspections.latest.taken_with import TakenWith
from inspections.models import Instrument, InstrumentCheck, Outlook, Reading
from inspections.recording.entries import ReadingEntry
from tests import builders, workbooks
from tests.inspections.test_recording import fwc, record

pytestmark = pytest.mark.django_db
DAY = date(2026, 5, 4)


def check(instrument, day=DAY, **fields) -> InstrumentCheck:
    known = {"by": "Test house", "passed": True, "next_due": day + timedelta(days=365)}
    return InstrumentCheck.objects.create(instrument=instrument, day=day, **{**known, **fields})


def page_of(response) -> str:
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


# Checks


def test_until_a_check_is_recorded_the_day_it_was_said_to_be_due_counts():
    rule = builders.make_instrument(check_due=DAY)
    assert not rule.past_check(DAY)
    assert rule.past_check(DAY + timedelta(days=1))
    check(rule, DAY + timedelta(days=10))
    assert rule.past_check(DAY + timedelta(days=1))  # as things stood that day
    assert not rule.past_check(DAY + timedelta(days=10))
    assert rule.past_check(DAY + timedelta(days=10 + 366))


def test_an_instrument_that_failed_its_check_is_past_it_at_once():
    rule = builders.make_instrument()
    check(rule, DAY, passed=False)
    assert rule.past_check(DAY)
    assert not rule.past_check(DAY - timedelta(days=1))
    assert rule.check_words(DAY) == "did not pass its check of 4 May 2026"
    check(rule, DAY + timedelta(days=5))
    assert not rule.past_check(DAY + timedelta(days=5))


def test_a_due_day_that_nobody_knows_marks_nothing():
    rule = builders.make_instrument()
    assert rule.check_words(DAY) == "check due: not known"
    check(rule, next_due=None)
    assert not rule.past_check(DAY + timedelta(days=4000))


def test_a_correction_stands_for_the_check_it_refers_to():
    rule = builders.make_instrument()
    mistaken = check(rule)
    check(rule, passed=False, corrects=mistaken, correction_reason="read the wrong certificate")
    assert rule.past_check(DAY)
    assert [one.passed for one in rule.standing_checks] == [False]


@pytest.mark.parametrize(
    "fields",
    [
        {"by": ""},
        {"next_due": DAY},
        {"found_error": float("inf")},
    ],
)
def test_the_database_refuses_a_check_that_cannot_be(fields):
    with pytest.raises(IntegrityError), transaction.atomic():
        check(builders.make_instrument(), **fields)


@pytest.mark.django_db(transaction=True)
def test_the_database_changes_and_removes_no_check():
    made = check(builders.make_instrument())
    for act in (made.delete, lambda: InstrumentCheck.objects.update(passed=False)):
        with pytest.raises(IntegrityError, match="A check is never changed or removed"):
            act()


def test_a_check_is_entered_and_corrected_on_the_page_of_the_instrument(as_technician):
    rule = builders.make_instrument("TW-1", "torque_wrench")
    sent = {
        "day": "2026-05-04",
        "by": "Test house",
        "certificate": "C 118",
        "passed": "yes",
        "found_error": "2 N·m",
        "next_due": "2027-05-04",
    }
    new = reverse("inspections:check_new", args=[rule.pk])
    page = page_of(as_technician.post(new, sent, follow=True))
    assert "C 118" in page
    made = InstrumentCheck.objects.get()
    assert (made.found_error, made.entered_by) == (2, "Lineman A")
    correct = reverse("inspections:check_correct", args=[made.pk])
    assert "C 118" in page_of(as_technician.get(correct))
    refused = page_of(as_technician.post(correct, {**sent, "passed": "no"}))
    assert "Fill this in." in refused
    why = {"correction_reason": "wrong wrench"}
    page = page_of(as_technician.post(correct, {**sent, "passed": "no", **why}, follow=True))
    assert "corrected since" in page
    assert "wrong wrench" in page
    assert "Past its check: did not pass its check of 4 May 2026" in page
    again = page_of(as_technician.post(correct, {**sent, **why}, follow=True))
    assert "was corrected already" in again
    assert InstrumentCheck.objects.count() == 2


def test_a_check_needs_its_result_and_is_not_in_the_future(as_technician):
    rule = builders.make_instrument()
    new = reverse("inspections:check_new", args=[rule.pk])
    tomorrow = timezone.localdate() + timedelta(days=1)
    page = page_of(as_technician.post(new, {"day": tomorrow, "by": "Test house"}))
    assert "A check cannot be in the future." in page
    assert "Fill this in." in page
    assert not InstrumentCheck.objects.exists()


def test_the_list_of_instruments_asks_no_more_however_many(
    as_technician, django_assert_max_num_queries
):
    for number in range(6):
        check(builders.make_instrument(f"RULE-{number}"))
    as_technician.get(reverse("inspections:instruments"))
    with django_assert_max_num_queries(5):
        assert "RULE-5" in page_of(as_technician.get(reverse("inspections:instruments")))


def test_figures_of_an_instrument_are_in_the_unit_of_its_kind(as_technician):
    new = reverse("inspections:instrument_new")
    sent = {"tag": "RU-1", "kind": "rule", "resolution": "0.1 cm", "uncertainty": "0.2"}
    as_technician.post(new, sent)
    made = Instrument.objects.get(tag="RU-1")
    page = page_of(as_technician.get(reverse("inspections:instrument", args=[made.pk])))
    assert "1 mm" in page
    assert "0.2 mm" in page
    refused = as_technician.post(new, {**sent, "tag": "TW-1", "kind": "torque_wrench"})
    assert "torque" in page_of(refused)


# The workbook


def test_checks_are_added_by_workbook_and_never_changed(technician):
    rule = builders.make_instrument("RU-1")
    heads = ["Instrument", "Checked on", "Certificate", "Checked by", "Passed", "Next check due"]
    row = ["RU-1", "4 May 2026", "C 118", "Test house", "yes", "4 May 2027"]
    plan = workbooks.load({"Instrument checks": [heads, row]}, technician)
    assert workbooks.totals(plan) == (1, 0, 0, 0, 0)
    made = rule.checks.get()
    assert made.passed
    assert made.history.get().history_user == technician
    assert workbooks.load(workbooks.saved(), technician).can_be_applied
    plan = workbooks.load({"Instrument checks": [heads, [*row[:4], "no", row[5]]]}, technician)
    assert "A check is never changed or removed" in workbooks.reason(plan)
    assert rule.checks.get().passed


def test_a_workbook_saved_before_loads_without_what_is_new_of_instruments(technician):
    heads = ["Tag", "Kind", "Check due", "Note"]
    plan = workbooks.load(
        {"Instruments": [heads, ["RU-1", "rule or callipers", "3 May 2026", ""]]}, technician
    )
    assert workbooks.totals(plan) == (1, 0, 0, 0, 0)


# How sure a reading is


def sigma(*instruments, assumed=NOTHING_CONFIRMED, **fields) -> float | None:
    return TakenWith(instruments, assumed).sigma_mm(Reading(quantity="fwc", value=52, **fields))


def test_a_reading_is_as_sure_as_instrument_resolution_and_repeating_it_make_it():
    """sqrt(0.2² + 1²/12 + 0.5²); JCGM 106:2012 takes uncertainties so, as GUM 5.1.2 does."""
    rule = builders.make_instrument("RU-1", resolution=1, uncertainty=0.2)
    assert sigma(rule) == pytest.approx(0.6110, abs=1e-4)
    assert sigma() == 0.5
    assert sigma(builders.make_instrument("RU-2")) == 0.5  # nothing is known of it
    rule.repeats = True
    assert sigma(rule) == pytest.approx(0.5774, abs=1e-4)


def test_the_worst_of_several_counts_unless_the_reading_names_one():
    fine = builders.make_instrument("RU-1", resolution=0.1)
    coarse = builders.make_instrument("RU-2", resolution=2)
    feeler = builders.make_instrument("FE-1", "feeler", resolution=5)
    assert sigma(fine, coarse, feeler) == pytest.approx((0.25 + 4 / 12) ** 0.5)
    assert sigma(fine, coarse, instrument=fine) == pytest.approx((0.25 + 0.01 / 12) ** 0.5)


def test_the_railways_own_figure_for_repeating_goes_into_it():
    own = Assumed.with_own({"repeat_fwc_mm": (0.3, "trial of May 2026")})
    assert sigma(builders.make_instrument(uncertainty=0.4), assumed=own) == pytest.approx(0.5)


def test_a_quantity_that_is_not_combined_has_no_sigma():
    assert TakenWith((), NOTHING_CONFIRMED).sigma_mm(Reading(quantity="torque", value=220)) is None


def test_whatever_is_combined_has_a_sigma():
    """A closed gap is read like a residual opening, and counts by the instrument like any other."""
    rule = builders.make_instrument("RU-1", resolution=1)
    for quantity in {*PER_PLACE, "switch_opening"}:
        found = TakenWith([], NOTHING_CONFIRMED)
        reading = Reading(quantity=quantity, value=52, instrument=rule)
        assert found.sigma_mm(reading) == pytest.approx((0.25 + 1 / 12) ** 0.5), quantity


def readings_of(points: Points) -> list[ReadingEntry]:
    """Opening and clearance at both stretchers on both lies: enough for the open switch."""
    found = []
    for lie in ("left_closed", "right_closed"):
        found += [ReadingEntry("switch_opening", 108, lie=lie, name=f"toe {lie}")]
        found += [fwc(points, 60, order, lie=lie, name=f"{order} {lie}") for order in (1, 2)]
    return found


def measured(instruments=()) -> Points:
    points = builders.make_rigged_points("12")
    limit_day = {"effective_from": date(2020, 1, 1)}
    builders.set_limit("fwc", 50, **limit_day)
    entries = readings_of(points)
    record(points, entries, instruments=instruments)
    return Points.objects.with_places().get(pk=points.pk)


def test_the_open_switch_is_as_sure_as_what_it_was_read_with():
    coarse = builders.make_instrument("RU-1", resolution=2, uncertainty=0.8)
    points = measured([coarse])
    read = read_points(points)
    sigmas = [one.sigma_mm for one in read.facts.left_closed.fwc]
    assert sigmas == pytest.approx([(0.64 + 4 / 12 + 0.25) ** 0.5] * 2)
    with_it = report(read.facts).answers.lies[0].least_sigma_mm
    without = report(read_points(measured_again(points)).facts).answers.lies[0].least_sigma_mm
    assert with_it == pytest.approx(without * (0.64 + 4 / 12 + 0.25) ** 0.5 / 0.5)


def measured_again(points: Points) -> Points:
    """The same a day later, with nothing stated."""
    entries = readings_of(points)
    record(points, entries, at=builders.noon(2026, 5, 5))
    return Points.objects.with_places().get(pk=points.pk)


def test_a_finer_instrument_makes_what_is_kept_of_its_readings_stale():
    rule = builders.make_instrument("RU-1")
    measured([rule])
    other = builders.make_rigged_points("14")
    record(other, readings_of(other))
    before = dict(Outlook.objects.values_list("points__number", "changes"))
    rule.note = "new case"
    rule.save()
    assert dict(Outlook.objects.values_list("points__number", "changes")) == before
    rule.resolution = 0.1
    rule.save()
    after = dict(Outlook.objects.values_list("points__number", "changes"))
    assert after == before | {"12": before["12"] + 1}


def test_the_switch_page_says_that_an_instrument_was_past_its_check(as_technician):
    points = measured([builders.make_instrument("RU-1", check_due=date(2026, 5, 3))])
    address = reverse("inspections:switch", args=["SKB", points.number])
    told = "RU-1 (rule or callipers) was past its check when these readings were taken"
    assert told in page_of(as_technician.get(address))
    measured_again(points)
    assert told not in page_of(as_technician.get(address))


def test_several_instruments_past_their_check_are_all_named():
    late = [builders.make_instrument(tag, check_due=date(2026, 5, 3)) for tag in ("RU-1", "RU-2")]
    assert len(read_points(measured(late)).past_check) == 2
