"""A visit is recorded whole or not at all, once, judged on its day, and never changed after."""

import uuid
from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from inspections.models import Examination, Inspection, Reading
from inspections.recording.corrections import correct_examination, correct_reading
from inspections.recording.entries import ExaminationEntry, ReadingEntry
from inspections.recording.visit import record_inspection
from tests import builders

pytestmark = pytest.mark.django_db
AT = builders.noon(2026, 5, 4)


def record(points, readings=(), examinations=(), **fields):
    return record_inspection(
        points=points,
        **{"at": AT, "by": "Lineman A", "user": None, "reason": "routine", **fields},
        readings=readings,
        examinations=examinations,
    )


def fwc(points, value, order=1, **fields):
    place = points.positions.get(order=order)
    return ReadingEntry("fwc", value, place, **{"lie": "left_closed", "name": "box", **fields})


def refusal(points, *entries, **fields) -> dict:
    readings = [e for e in entries if isinstance(e, ReadingEntry)]
    looks = [e for e in entries if isinstance(e, ExaminationEntry)]
    with pytest.raises(ValidationError) as caught:
        record(points, readings, looks, **fields)
    assert not Inspection.objects.exists()
    assert not Reading.objects.exists()
    return caught.value.message_dict


def test_each_reading_keeps_the_verdict_and_the_limit_that_judged_it():
    points = builders.make_rigged_points()
    limit = builders.set_limit("fwc", 50)
    visit = record(points, [fwc(points, 49.5), fwc(points, 50, lie="right_closed")])
    out, within = visit.readings.order_by("value")
    assert (out.verdict, out.limit, out.limit_confirmed) == ("intervention", limit, False)
    assert (within.verdict, within.limit) == ("within", limit)
    assert list(Reading.objects.out()) == [out]


def test_the_limit_of_the_day_of_the_visit_judges_not_the_newest():
    points = builders.make_rigged_points()
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 60, effective_from=date(2026, 6, 1))
    visit = record(points, [fwc(points, 55)])
    assert visit.readings.get().verdict == "within"


def test_a_visit_late_in_the_evening_belongs_to_the_railways_day_not_to_utc():
    # 23:30 UTC on 31 May is 00:30 on 1 June by British summer time.
    points = builders.make_rigged_points()
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 60, effective_from=date(2026, 6, 1))
    visit = record(points, [fwc(points, 55)], at=datetime(2026, 5, 31, 23, 30, tzinfo=UTC))
    assert visit.readings.get().verdict == "intervention"


def test_a_reading_notes_the_rod_that_was_there_then():
    points = builders.make_rigged_points()
    place = points.positions.get(order=1)
    fitting = place.fittings.get()
    fitting.taken_out_on, fitting.taken_out_reason = date(2026, 5, 10), "worn"
    fitting.save()
    newer = builders.make_stretcher("ST-NEW")
    builders.make_fitting(newer, place, fitted_on=date(2026, 5, 10))
    before = record(points, [fwc(points, 52)]).readings.get()
    after = record(points, [fwc(points, 52)], at=builders.noon(2026, 5, 11)).readings.get()
    assert (before.stretcher, after.stretcher) == (fitting.stretcher, newer)


def test_an_instrument_past_its_check_marks_the_reading_taken_with_it():
    points = builders.make_rigged_points()
    overdue = builders.make_instrument("RULE-1", "rule", check_due=date(2026, 5, 3))
    in_date = builders.make_instrument("FEEL-1", "feeler", check_due=date(2026, 5, 4))
    place = points.positions.get(order=1)
    gap = ReadingEntry("residual_opening", 0.5, place, lie="left_closed")
    visit = record(points, [fwc(points, 52), gap], instruments=[overdue, in_date])
    by_quantity = {r.quantity: r for r in visit.readings.all()}
    assert by_quantity["fwc"].instrument == overdue
    assert by_quantity["fwc"].instrument_past_check
    assert by_quantity["residual_opening"].instrument == in_date
    assert not by_quantity["residual_opening"].instrument_past_check
    assert set(visit.instruments.all()) == {overdue, in_date}


def test_with_two_rules_in_the_bag_no_reading_is_said_to_be_taken_with_either():
    points = builders.make_rigged_points()
    rules = [builders.make_instrument(tag) for tag in ("RULE-1", "RULE-2")]
    assert record(points, [fwc(points, 52)], instruments=rules).readings.get().instrument is None


def test_the_same_visit_sent_again_is_recorded_once():
    points = builders.make_rigged_points()
    sent = uuid.uuid4()
    first = record(points, [fwc(points, 52)], client_id=sent)
    again = record(points, [fwc(points, 52)], client_id=sent)
    assert again == first
    assert Reading.objects.count() == 1


def test_one_visits_number_does_not_serve_for_other_points():
    ours, theirs = builders.make_rigged_points(), builders.make_rigged_points()
    sent = uuid.uuid4()
    record(ours, [fwc(ours, 52)], client_id=sent)
    with pytest.raises(ValidationError, match="other points"):
        record(theirs, [fwc(theirs, 52)], client_id=sent)


def test_an_opening_of_1080_mm_is_refused_under_its_own_box_and_nothing_is_saved():
    points = builders.make_rigged_points()
    wrong = ReadingEntry("switch_opening", 1080, lie="left_closed", name="opening-left")
    messages = refusal(points, fwc(points, 52), wrong)
    assert list(messages) == ["opening-left"]
    assert "1080 mm cannot be right" in messages["opening-left"][0]


def test_an_entry_without_a_name_is_refused_under_its_own_words():
    points = builders.make_rigged_points()
    messages = refusal(points, fwc(points, -3, name=""))
    assert list(messages) == ["fwc, first stretcher, left closed"]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"at": AT + timedelta(minutes=11)}, "at", "future"),
        ({"at": datetime(202, 5, 4, tzinfo=UTC)}, "at", "year"),
        ({"by": "  "}, "by", "who"),
        ({"by": "x" * 81}, "by", "80 characters"),
        ({"reason": "whim"}, "reason", "not a reason"),
    ],
)
def test_a_visit_that_cannot_be_is_refused(change, field, words):
    points = builders.make_rigged_points()
    messages = refusal(points, fwc(points, 52), **{"now": AT, **change})
    assert list(messages) == [field]
    assert words in messages[field][0]


def test_a_phone_whose_clock_is_ten_minutes_fast_may_still_send():
    points = builders.make_rigged_points()
    assert record(points, [fwc(points, 52)], at=AT + timedelta(minutes=10), now=AT).pk


def test_a_visit_with_nothing_in_it_is_refused():
    assert "Nothing was measured" in refusal(builders.make_rigged_points())["__all__"][0]


def test_a_place_of_other_points_is_refused():
    ours, theirs = builders.make_rigged_points(), builders.make_rigged_points()
    messages = refusal(ours, fwc(theirs, 52))
    assert messages["box"] == [f"{theirs.key}, first stretcher is not a place of {ours.key}."]


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ({"quantity": "weight"}, "not a quantity"),
        ({"lie": ""}, "Say on which lie"),
        ({"lie": "half"}, "not a lie"),
        ({"side": "middle"}, "not a side"),
        ({"side": "left"}, "does not depend on the side"),
        ({"value": None}, "say why"),
        ({"not_taken_reason": "no light"}, "not both"),
        ({"value": None, "not_taken_reason": "x" * 121}, "120 characters"),
        ({"value": float("nan")}, "cannot be right"),
        ({"quantity": "switch_opening"}, "not taken at the first stretcher"),
        ({"position": None}, "Say at which stretcher"),
        ({"position": None, "at_mm": 7000.0}, "not between toe and heel (6858 mm)"),
        ({"position": None, "at_mm": -1.0}, "not between toe and heel"),
    ],
)
def test_a_reading_that_cannot_be_is_refused_in_words(entry, words):
    points = builders.make_rigged_points()
    fields = {
        "quantity": "fwc",
        "value": 52,
        "position": points.positions.get(order=1),
        "lie": "left_closed",
        "name": "box",
        **entry,
    }
    assert words in " ".join(refusal(points, ReadingEntry(**fields))["box"])


def test_the_same_place_given_twice_in_one_visit_is_refused():
    points = builders.make_rigged_points()
    messages = refusal(points, fwc(points, 52), fwc(points, 53, name="second box"))
    assert list(messages) == ["second box"]


def test_a_reading_of_a_rod_where_none_is_left_is_refused_with_the_way_out():
    points = builders.make_rigged_points()
    place = points.positions.get(order=2)
    place.fittings.update(taken_out_on=date(2026, 5, 1), taken_out_reason="cracked")
    torque = ReadingEntry("torque", 220, place, side="left", name="torque box")
    look = ExaminationEntry("weld", "good", place, name="weld look")
    messages = refusal(points, torque, look)
    assert messages["torque box"] == [
        (
            "No stretcher is recorded at the second stretcher on 4 May 2026, so it has no "
            "tightening torque: record the stretcher that is there first, or leave this out."
        )
    ]
    assert "has no welds" in messages["weld look"][0]
    clearance = record(points, [fwc(points, 52, order=2)]).readings.get()
    assert clearance.stretcher is None


@pytest.mark.parametrize(
    ("look", "words"),
    [
        ({"item": "paint"}, "not an item"),
        ({"found": "fine"}, "is not a result"),
        ({"item": "switch_creep"}, "once for the whole set of points"),
        ({"position": None}, "say at which stretcher"),
        ({"note": "x" * 301}, "300 characters"),
    ],
)
def test_an_examination_that_cannot_be_is_refused_in_words(look, words):
    points = builders.make_rigged_points()
    fields = {
        "item": "weld",
        "found": "good",
        "position": points.positions.get(order=1),
        "name": "look",
        **look,
    }
    assert words in " ".join(refusal(points, ExaminationEntry(**fields))["look"])


def test_a_reading_not_taken_keeps_its_reason_and_is_not_judged():
    points = builders.make_rigged_points()
    builders.set_limit("fwc", 50)
    visit = record(points, [fwc(points, None, not_taken_reason="could not get at it")])
    reading = visit.readings.get()
    assert (reading.verdict, reading.not_taken_reason) == ("not_taken", "could not get at it")


def test_recording_asks_the_database_no_more_for_a_long_visit(django_assert_max_num_queries):
    points = builders.make_rigged_points()
    builders.set_limit("fwc", 50)
    places = list(points.positions.all())
    readings = [
        ReadingEntry("residual_opening", 0.5, place, lie=lie)
        for place in places
        for lie in ("left_closed", "right_closed")
    ]
    looks = [
        ExaminationEntry(item, "good", place)
        for place in places
        for item in ("weld", "shoe_crack", "fixings", "ballast", "lock_nuts")
    ]
    with django_assert_max_num_queries(11):
        record(points, readings, looks)


def test_a_correction_stands_beside_the_mistake_and_is_judged_by_the_same_day():
    points = builders.make_rigged_points()
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 60, effective_from=date(2026, 6, 1))
    mistaken = record(points, [fwc(points, 25)]).readings.get()
    anew = correct_reading(mistaken, value=52, by="Lineman A", reason="digits swapped")
    mistaken.refresh_from_db()
    assert (mistaken.value, mistaken.verdict) == (25, "intervention")
    assert (anew.value, anew.verdict, anew.corrects) == (52, "within", mistaken)
    assert (anew.stretcher, anew.inspection) == (mistaken.stretcher, mistaken.inspection)
    assert list(Reading.objects.standing()) == [anew]
    assert list(Reading.objects.latest()) == [anew]


def test_a_reading_never_taken_is_withdrawn_by_a_correction():
    points = builders.make_rigged_points()
    mistaken = record(points, [fwc(points, 25)]).readings.get()
    correct_reading(mistaken, not_taken_reason="read at other points", by="A", reason="wrong box")
    assert list(Reading.objects.latest()) == []


@pytest.mark.parametrize(
    ("fields", "where", "words"),
    [
        ({"value": 52, "reason": " "}, "reason", "Say why"),
        ({"value": 520, "reason": "slip"}, "value", "cannot be right"),
        ({"reason": "slip"}, "value", "Give a value"),
        ({"value": 52, "reason": "x" * 201}, "reason", "200 characters"),
    ],
)
def test_a_correction_that_cannot_be_is_refused(fields, where, words):
    points = builders.make_rigged_points()
    mistaken = record(points, [fwc(points, 25)]).readings.get()
    with pytest.raises(ValidationError) as caught:
        correct_reading(mistaken, by="Lineman A", **fields)
    assert words in caught.value.message_dict[where][0]
    assert Reading.objects.count() == 1


def test_an_entry_is_corrected_once_and_then_its_correction_is():
    points = builders.make_rigged_points()
    mistaken = record(points, [fwc(points, 25)]).readings.get()
    anew = correct_reading(mistaken, value=52, by="A", reason="slip")
    with pytest.raises(ValidationError, match="already been corrected"):
        correct_reading(mistaken, value=53, by="B", reason="slip")
    last = correct_reading(anew, value=53, by="B", reason="read again")
    assert list(Reading.objects.standing()) == [last]


def test_an_examination_is_corrected_by_a_new_one():
    points = builders.make_rigged_points()
    place = points.positions.get(order=1)
    mistaken = record(points, [], [ExaminationEntry("weld", "good", place)]).examinations.get()
    anew = correct_examination(mistaken, found="defective", by="A", reason="ticked the wrong one")
    assert (anew.found, anew.corrects) == ("defective", mistaken)
    assert list(Examination.objects.standing()) == [anew]
    assert list(Examination.objects.latest().out()) == [anew]


@pytest.mark.parametrize("table", [Inspection, Reading, Examination])
def test_what_was_recorded_can_be_neither_changed_nor_removed_by_any_way(table):
    points = builders.make_rigged_points()
    place = points.positions.get(order=1)
    record(points, [fwc(points, 52)], [ExaminationEntry("weld", "good", place)])
    row = table.objects.get()
    with pytest.raises(IntegrityError, match="never changed or removed"), transaction.atomic():
        row.save()
    with pytest.raises(IntegrityError, match="never changed or removed"), transaction.atomic():
        table.objects.update(id=row.pk)
    with pytest.raises(IntegrityError, match="never changed or removed"), transaction.atomic():
        table.objects.all()._raw_delete("default")
    assert table.objects.count() == 1


def test_a_limit_that_has_judged_keeps_its_figures_but_may_be_confirmed():
    points = builders.make_rigged_points()
    limit = builders.set_limit("fwc", 50)
    limit.minimum = 51
    limit.save()
    record(points, [fwc(points, 52)])
    limit.minimum = 40
    with pytest.raises(IntegrityError, match="has judged readings"), transaction.atomic():
        limit.save()
    limit.refresh_from_db()
    limit.confirmed_by, limit.confirmed_on = "Engineer C", date(2026, 5, 5)
    limit.save()
    assert limit.minimum == 51


def test_readings_between_rods_near_each_other_are_of_the_same_place():
    points = builders.make_rigged_points()
    free = {"lie": "left_closed", "at_mm": 2000.0}
    first = builders.make_visit(points, AT, readings=[("fwc", None, 52, free)]).readings.get()
    day = builders.noon(2026, 5, 5)
    near = {**free, "at_mm": 2300.0}
    far = {**free, "at_mm": 2301.0}
    near_one, far_one = builders.make_visit(
        points, day, readings=[("fwc", None, 53, near), ("fwc", None, 54, far)]
    ).readings.order_by("value")
    same = set(Reading.objects.filter(quantity="fwc").same_place(first.where))
    assert same == {first, near_one}
    assert far_one not in same


def test_what_was_mended_is_no_longer_among_the_latest_that_are_out():
    points = builders.make_rigged_points()
    builders.set_limit("fwc", 50)
    place = points.positions.get(order=1)
    builders.make_fwc_visit(points, AT, 45)
    defective = [("weld", place, "defective")]
    builders.make_visit(points, AT, looks=defective)
    assert Reading.objects.latest().out().count() == 1
    assert Examination.objects.latest().out().count() == 1
    later = builders.noon(2026, 5, 5)
    builders.make_fwc_visit(points, later, 55)
    builders.make_visit(points, later, looks=[("weld", place, "good")])
    assert Reading.objects.latest().out().count() == 0
    assert Examination.objects.latest().out().count() == 0


def test_a_thing_not_seen_does_not_hide_what_was_seen_before():
    points = builders.make_rigged_points()
    place = points.positions.get(order=1)
    builders.make_visit(points, AT, looks=[("weld", place, "defective")])
    builders.make_visit(points, builders.noon(2026, 5, 5), looks=[("weld", place, "not_seen")])
    assert Examination.objects.latest().out().count() == 1
