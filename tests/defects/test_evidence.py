"""A defect closes on what was measured or seen after the work, or on the engineer's reason.

The rule follows accident reports: nuts found undone had been put back 47 days before and the
cause was not looked for (RAIB 20/2008, in a secondary account).
"""

from datetime import timedelta

import pytest
from django.contrib.admin.sites import site
from django.db import Error, connection, transaction
from django.urls import reverse

from assets.models import Position
from defects.closing import evidence
from defects.models import Defect, Event
from defects.moves import moves
from defects.words import Move, State
from inspections.models import Examination, Limit, Reading
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

RAISED = noon(2025, 6, 1)
DONE = noon(2025, 6, 3)
LATER = noon(2025, 6, 4)


@pytest.fixture
def points(db):
    points = make_points("12")
    make_position(points, 1)
    make_position(points, 2)
    return points


def place(points, order: int = 1) -> Position:
    return points.positions.get(order=order)


def low_clearance(points, **fields) -> Defect:
    """Free wheel clearance 46 mm at the first stretcher, against at least 50 mm."""
    reading = make_reading(make_inspection(points, RAISED), place(points), 46)
    return make_defect(reading=reading, **fields)


def worked(defect, user, **fields) -> Defect:
    defect = moves.accept(defect, user=user, at=DONE)
    return moves.work_done(defect, user=user, at=DONE, note="Back stretcher reset.", **fields)


def measured(points, at, value, order: int = 1, **fields):
    return make_reading(make_inspection(points, at), place(points, order), value, **fields)


def seen(points, at, found="good", order: int = 1, **fields):
    return make_examination(
        make_inspection(points, at), place(points, order), found=found, **fields
    )


def refusal(defect, user, **offered) -> str:
    return evidence.refusal_to_close(defect, user=user, **offered)


def test_closes_on_a_reading_within_limits_after_the_work(points, technician):
    defect = worked(low_clearance(points), technician)
    reading = measured(points, LATER, 52)
    defect = moves.close(defect, user=technician, at=LATER, reading=reading)
    assert defect.state == State.CLOSED
    event = defect.events.get(move="close")
    assert event.reading == reading
    assert event.at == defect.closed_at
    assert not event.agreed_by_engineer


def test_an_alert_is_not_out_so_it_closes(points, technician):
    defect = worked(low_clearance(points), technician)
    set_limit("fwc", 52, level="alert")
    reading = measured(points, LATER, 51)
    assert reading.verdict == "alert"
    assert refusal(defect, technician, reading=reading) == ""


@pytest.mark.parametrize(
    ("case", "sentence"),
    [
        ({"at": DONE - timedelta(hours=1), "value": 52}, "before the work was done"),
        ({"at": LATER, "value": 49}, "out of limits"),
        ({"at": DONE, "value": 49}, "out of limits"),
        ({"at": LATER, "value": 52, "order": 2}, "another quantity or place"),
        ({"at": LATER, "value": 52, "lie": "right_closed"}, "another quantity or place"),
        ({"at": LATER, "value": 1378, "quantity": "fwp", "lie": "left_closed"}, "another quantity"),
    ],
    ids=[
        "before",
        "out",
        "out at that minute",
        "other place",
        "other lie",
        "other quantity",
    ],
)
def test_a_reading_that_proves_nothing_is_refused_with_the_reason(
    points, technician, case, sentence
):
    set_limit("fwp", maximum=1390)
    defect = worked(low_clearance(points), technician)
    proves_nothing(defect, technician, measured(points, **case), sentence)


def test_a_reading_since_the_limit_was_ended_proves_nothing(points, technician):
    defect = worked(low_clearance(points), technician)
    set_limit("fwc", effective_from=LATER.date())
    proves_nothing(defect, technician, measured(points, LATER, 52), "no limit")


def proves_nothing(defect, technician, reading, sentence) -> None:
    """Neither the program nor the database closes on this reading."""
    assert sentence in refusal(defect, technician, reading=reading)
    with pytest.raises(moves.Refused):
        moves.close(defect, user=technician, at=LATER, reading=reading)
    with pytest.raises(Error), transaction.atomic():
        Event.objects.create(
            defect=defect, at=LATER, by="x", move="close", state="closed", reading=reading
        )


def test_a_reading_of_other_points_is_refused(points, technician):
    defect = worked(low_clearance(points), technician)
    elsewhere = make_points("13")
    make_position(elsewhere, 1)
    reading = measured(elsewhere, LATER, 52)
    assert "another quantity or place" in refusal(defect, technician, reading=reading)


def test_a_corrected_reading_proves_nothing(points, technician):
    defect = worked(low_clearance(points), technician)
    mistaken = measured(points, LATER, 52)
    make_reading(
        mistaken.inspection, place(points), 47, corrects=mistaken, correction_reason="Misread."
    )
    assert "has since been corrected" in refusal(defect, technician, reading=mistaken)


def test_a_reading_out_again_undoes_the_good_one_before_it(points, technician):
    defect = worked(low_clearance(points), technician)
    good = measured(points, LATER, 52)
    measured(points, LATER + timedelta(days=1), 48)
    assert "is out of limits again" in refusal(defect, technician, reading=good)


def test_a_reading_measured_by_hand_at_one_lie_does_not_hide_the_other(points, technician):
    defect = worked(make_defect(points, found="fwc.below", position=place(points)), technician)
    visit = make_inspection(points, LATER)
    good = make_reading(visit, place(points), 52)
    make_reading(visit, place(points), 47, lie="right_closed")
    assert "out of limits again" in refusal(defect, technician, reading=good)


def test_no_work_recorded_no_closing(points, technician):
    defect = moves.accept(low_clearance(points), user=technician, at=RAISED)
    reading = measured(points, LATER, 52)
    assert "is not recorded as done" in refusal(defect, technician, reading=reading)


def test_an_examination_found_good_closes_what_was_seen_defective(points, technician):
    cracked = seen(points, RAISED, "defective", item="gooseneck_crack")
    defect = worked(make_defect(examination=cracked), technician)
    good = seen(points, LATER, item="gooseneck_crack")
    assert moves.close(defect, user=technician, at=LATER, examination=good).state == "closed"


@pytest.mark.parametrize(
    ("case", "sentence"),
    [
        ({"found": "not_seen"}, "marked not seen"),
        ({"found": "defective"}, "found it defective"),
        ({"order": 2}, "another item or place"),
        ({"item": "weld"}, "another item or place"),
        ({"at": DONE - timedelta(hours=1)}, "before the work"),
        ({"at": DONE, "found": "defective"}, "found it defective"),
    ],
)
def test_an_examination_that_proves_nothing_is_refused(points, technician, case, sentence):
    cracked = seen(points, RAISED, "defective", item="gooseneck_crack")
    defect = worked(make_defect(examination=cracked), technician)
    look = seen(points, **{"at": LATER, "item": "gooseneck_crack", **case})
    assert sentence in refusal(defect, technician, examination=look)


def test_the_engineer_closes_with_a_reason_that_stays(points, engineer):
    defect = moves.close(
        low_clearance(points), user=engineer, at=LATER, reason="Points lifted last week."
    )
    event = defect.events.get(move="close")
    assert event.agreed_by_engineer
    assert event.note == "Points lifted last week."


def test_the_engineer_without_a_reason_is_refused(points, engineer):
    assert "Write the reason" in refusal(low_clearance(points), engineer, reason="  ")


@pytest.mark.parametrize("post", ["technician", "ganger", "viewer", "outsider"])
def test_nobody_else_closes_with_a_reason_alone(points, post, request):
    user = request.getfixturevalue(post)
    defect = worked(low_clearance(points), request.getfixturevalue("technician"))
    sentence = refusal(defect, user, reason="Trust me.")
    assert "a reading of free wheel clearance within limits" in sentence
    assert "responsible engineer" in sentence


def test_the_department_that_does_not_check_cannot_close_on_a_reading(points, technician, ganger):
    defect = worked(low_clearance(points), technician)
    assert "with signalling" in refusal(defect, ganger, reading=measured(points, LATER, 52))


def test_a_loose_fixing_needs_its_cause_even_from_the_engineer(points, technician, engineer):
    loose = seen(points, RAISED, "defective", item="fixings")
    defect = worked(make_defect(examination=loose), technician)
    tight, _ = torques(points, LATER)
    assert "needs a stated cause" in refusal(defect, technician, reading=tight)
    assert "needs a stated cause" in refusal(defect, engineer, reason="Looks fine.")
    closed = moves.close(
        defect, user=technician, at=LATER, reading=tight, cause="Spring washer left out."
    )
    assert closed.cause == "Spring washer left out."


def torques(points, at, left=220, right=220, **fields) -> list[Reading]:
    """Torque at both sides of the first stretcher, against at least 200 N·m."""
    if not Limit.objects.filter(quantity="torque").exists():
        set_limit("torque", 200)
    visit = make_inspection(points, at)
    return [
        make_reading(visit, place(points), value, quantity="torque", side=side, **fields)
        for side, value in (("left", left), ("right", right))
    ]


@pytest.fixture
def loose(points, technician):
    """Fixings found defective at the first stretcher; the cause is known and the work is done."""
    look = seen(points, RAISED, "defective", item="fixings")
    return worked(make_defect(examination=look), technician, cause="Thread stripped.")


def test_a_loose_fixing_seen_good_again_is_not_proven_tight(points, loose, technician):
    good = seen(points, LATER, item="fixings")
    sentence = refusal(loose, technician, examination=good)
    assert "a reading of tightening torque at both sides within limits" in sentence
    refused = refusal(loose, technician, examination=good)
    assert refused.startswith("Examining it again does not show that it holds: closing needs")
    assert not evidence.proving(loose, Examination).exists()


def test_a_loose_fixing_closes_on_torque_at_both_sides_within_limits(points, loose, technician):
    left, right = torques(points, LATER)
    assert refusal(loose, technician, reading=left) == ""
    assert refusal(loose, technician, reading=right) == ""


def test_a_torque_at_one_side_leaves_the_other_open(points, loose, technician):
    set_limit("torque", 200)
    visit = make_inspection(points, LATER)
    left = make_reading(visit, place(points), 220, quantity="torque", side="left")
    sentence = "Not yet read within limits since the work: tightening torque, right."
    proves_nothing(loose, technician, left, sentence)


def test_a_torque_too_low_at_the_other_side_proves_nothing(points, loose, technician):
    left, right = torques(points, LATER, right=150)
    proves_nothing(loose, technician, right, "out of limits")
    assert refusal(loose, technician, reading=left) != ""


def test_where_no_wrench_fits_the_engineer_agrees(points, loose, engineer):
    closed = moves.close(loose, user=engineer, at=LATER, reason="No wrench fits: seen tight.")
    assert closed.state == State.CLOSED


def test_the_cause_may_be_stated_when_the_work_is_done(points, technician):
    loose = seen(points, RAISED, "defective", item="fixings")
    defect = worked(make_defect(examination=loose), technician, cause="Thread stripped.")
    assert refusal(defect, technician, reading=torques(points, LATER)[0]) == ""


def test_what_names_nothing_measured_or_seen_is_for_the_engineer(points, technician):
    defect = worked(make_defect(points, title="Lamp broken"), technician)
    sentence = refusal(defect, technician, reading=measured(points, LATER, 52))
    assert "another quantity or place" in sentence
    assert evidence.what_is_needed(defect) == "the responsible engineer's written reason"
    assert refusal(defect, technician, reason="Mended.") == evidence.NOTHING_PROVES_IT


def test_any_visit_since_proves_that_an_overdue_inspection_was_made(points, technician):
    defect = worked(make_defect(points, found="check.inspection_overdue"), technician)
    look = seen(points, LATER, item="ballast", order=2)
    assert refusal(defect, technician, examination=look) == ""


# --- ways round it ---------------------------------------------------------------------------


def closed_by(change) -> None:
    """Runs a change that should not get through, and leaves the test's transaction usable."""
    with pytest.raises(Error), transaction.atomic():
        change()


@pytest.fixture
def done(points, technician):
    return worked(low_clearance(points), technician)


def test_saving_the_model_as_closed_is_refused(done):
    done.state, done.closed_at = "closed", LATER
    closed_by(done.save)


def test_updating_the_rows_as_closed_is_refused(done):
    closed_by(lambda: Defect.objects.update(state="closed", closed_at=LATER))


def test_updating_in_bulk_as_closed_is_refused(done):
    done.state, done.closed_at = "closed", LATER
    closed_by(lambda: Defect.objects.bulk_update([done], ["state", "closed_at"]))


def test_making_a_closed_defect_is_refused(done, points):
    fields = {"points": points, "title": "x", "raised_at": RAISED, "raised_by": "x"}
    closed = Defect(number=99, state="closed", closed_at=LATER, **fields)
    closed_by(lambda: Defect.objects.bulk_create([closed]))


def test_plain_sql_is_refused(done):
    sql = "UPDATE defects_defect SET state = 'closed', closed_at = raised_at"
    closed_by(lambda: connection.cursor().execute(sql))


def test_an_event_without_evidence_is_refused(done):
    close = {"defect": done, "at": LATER, "by": "x", "move": "close", "state": "closed"}
    closed_by(lambda: Event.objects.create(**close))
    closed_by(lambda: Event.objects.create(**close, agreed_by_engineer=True))
    closed_by(lambda: Event.objects.bulk_create([Event(**close, note="because")]))


def test_taking_the_need_of_a_cause_away_does_not_help_where_no_evidence_is(points, technician):
    loose = seen(points, RAISED, "defective", item="fixings")
    worked(make_defect(examination=loose), technician)
    closed_by(lambda: Defect.objects.update(needs_cause=False, state="closed", closed_at=LATER))


def test_a_defect_cannot_be_turned_into_one_that_is_proven(done, points):
    other = measured(points, LATER, 52, order=2)
    closed_by(lambda: Defect.objects.update(reading=other))
    closed_by(lambda: Defect.objects.update(subject="track_gauge"))
    closed_by(lambda: Defect.objects.update(position=place(points, 2)))
    closed_by(lambda: Defect.objects.update(work_done_at=RAISED))


def test_it_cannot_be_moved_without_an_event(done):
    closed_by(lambda: Defect.objects.update(state="raised"))
    closed_by(lambda: Defect.objects.update(owner="permanent_way"))
    closed_by(lambda: Defect.objects.update(owner=""))


def test_it_is_never_removed_nor_opened_again(done, engineer):
    closed_by(done.delete)
    closed = moves.close(done, user=engineer, at=LATER, reason="Agreed on site.")
    closed_by(lambda: Defect.objects.update(state="raised", closed_at=None))
    closed_by(closed.delete)


def test_events_and_dismissals_are_never_changed_or_removed(done, technician, points):
    from defects import proposals

    proposals.dismiss(measured(points, LATER, 47), user=technician, at=LATER, reason="Misread.")
    for table in ("defects_event", "defects_dismissal"):
        with pytest.raises(Error), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {table}")
        with pytest.raises(Error), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"UPDATE {table} SET at = at")


def test_the_admin_lets_nobody_change_a_defect_or_an_event(client, engineer):
    engineer.is_staff = engineer.is_superuser = True
    engineer.save()
    client.force_login(engineer)
    for model in (Defect, Event):
        if model in site._registry:
            options = site._registry[model]
            request = client.get(reverse("admin:index")).wsgi_request
            assert not options.has_change_permission(request)
            assert not options.has_add_permission(request)
            assert not options.has_delete_permission(request)


def test_every_move_to_closed_in_the_table_goes_through_the_rule():
    from defects.moves.transitions import STEPS

    assert {move for (_, move), step in STEPS.items() if step.to == State.CLOSED} == {Move.CLOSE}


# --- what would prove it ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("found", "sentence"),
    [
        (
            "kicker_clearance.below",
            "a reading of kicker clearance within limits, taken at the same place after the work",
        ),
        (
            "fwc.below.gauge_out",
            (
                "a reading of free wheel clearance within limits, taken at the same place after "
                "the work"
            ),
        ),
        (
            "check.mixed_insulation",
            (
                "a reading of insulation resistance within limits, taken at these points after the "
                "work"
            ),
        ),
        ("item.ballast", "an examination of ballast"),
        ("check.cracked_part", "an examination of "),
        (
            "check.inspection_overdue",
            "an inspection of these points, with something measured within limits or found good",
        ),
        ("", "the responsible engineer's written reason"),
        ("check.no_such_check", "the responsible engineer's written reason"),
    ],
)
def test_what_is_needed_is_said_in_words(points, found, sentence):
    defect = make_defect(points, found=found, position=place(points))
    assert sentence in evidence.what_is_needed(defect)
    assert bool(evidence.proofs_of(defect)) == ("engineer" not in sentence)


def test_before_the_work_is_done_nothing_is_offered_as_proof(points):
    defect = low_clearance(points)
    measured(points, LATER, 52)
    seen(points, LATER)
    assert not evidence.proving(defect, Reading).exists()
    assert not evidence.proving(defect, Examination).exists()


def test_a_good_reading_and_a_good_look_since_the_work_are_offered_as_proof(points, technician):
    defect = worked(low_clearance(points), technician)
    measured(points, DONE - timedelta(days=1), 52)
    good = measured(points, LATER, 52)
    assert list(evidence.proving(defect, Reading)) == [good]
    cracked = seen(points, RAISED, "defective", item="gooseneck_crack")
    defect = worked(make_defect(examination=cracked), technician)
    good = seen(points, LATER, item="gooseneck_crack")
    assert list(evidence.proving(defect, Examination)) == [good]


def test_an_insulation_measured_anywhere_on_the_points_proves_mixed_insulation_right(
    points, technician
):
    defect = worked(
        make_defect(points, found="check.mixed_insulation", position=place(points)), technician
    )
    set_limit("insulation_resistance", 1000)
    other = measured(points, LATER, 5000, order=2, quantity="insulation_resistance")
    assert refusal(defect, technician, reading=other) == ""


def test_an_inspection_made_whole_proves_that_it_is_no_longer_overdue(points, technician):
    defect = worked(make_defect(points, found="check.inspection_overdue"), technician)
    good = measured(points, LATER, 52)
    measured(points, LATER + timedelta(days=1), 47, order=2)
    assert refusal(defect, technician, reading=good) == ""
    seen(points, LATER + timedelta(days=1), "defective", item="ballast")
    look = seen(points, LATER, item="ballast")
    assert refusal(defect, technician, examination=look) == ""
    part = make_reading(make_inspection(points, LATER, reason="after_fitting"), place(points), 52)
    assert "another quantity or place" in refusal(defect, technician, reading=part)


def test_a_visit_that_answered_less_than_half_proves_no_inspection(points, technician):
    defect = worked(make_defect(points, found="check.inspection_overdue"), technician)
    hasty = make_inspection(points, LATER, partial=True)
    reading = make_reading(hasty, place(points), 52)
    look = make_examination(hasty, None, item="ballast", found="good")
    assert "another quantity or place" in refusal(defect, technician, reading=reading)
    assert "another item or place" in refusal(defect, technician, examination=look)


def test_a_thing_defective_again_undoes_the_good_look_before_it(points, technician):
    cracked = seen(points, RAISED, "defective", item="gooseneck_crack")
    defect = worked(make_defect(examination=cracked), technician)
    good = seen(points, LATER, item="gooseneck_crack")
    seen(points, LATER + timedelta(days=1), "defective", item="gooseneck_crack")
    assert "since been found defective again" in refusal(defect, technician, examination=good)


def test_a_closed_defect_is_not_closed_again(points, technician, engineer):
    defect = worked(low_clearance(points), technician)
    reading = measured(points, LATER, 52)
    closed = moves.close(defect, user=technician, at=LATER, reading=reading)
    assert refusal(closed, engineer, reason="Again.") == (
        f"Defect {closed.number} is closed already."
    )
