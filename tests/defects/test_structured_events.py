"""What an event says stands in fields; the sentence that people read is made of them."""

import pytest
from django.db import IntegrityError, transaction

from defects.models import Event
from defects.moves import moves
from inspections.models import Reading
from tests.builders import make_defect, make_fwc_visit, make_rigged_points, noon, set_limit

AT = noon(2026, 5, 5)


@pytest.fixture
def defect(technician):
    return make_defect(make_rigged_points("12"), title="Clearance lost", user=technician, at=AT)


def last_of(defect) -> Event:
    return defect.events.select_related("other").order_by("-pk").first()


def test_a_return_has_its_kind_and_the_reason_alone_in_the_note(defect, technician, ganger):
    moved = moves.hand_over(defect, user=technician, at=AT, reason="Gauge first.")
    moves.give_back(moved, user=ganger, at=AT, kind="not_ours", reason="Gauge is right.")
    event = last_of(defect)
    assert (event.return_kind, event.note) == ("not_ours", "Gauge is right.")
    assert event.sentence == "Not ours: Gauge is right."


def test_a_measure_is_named_when_set_and_when_lifted(defect, technician):
    moved = moves.set_temporary_measure(
        defect, user=technician, at=AT, measure="speed", note="5 mph over the toe."
    )
    event = last_of(defect)
    assert (event.measure, event.lifted, event.note) == ("speed", False, "5 mph over the toe.")
    assert event.sentence == "Speed restriction: 5 mph over the toe."
    moves.lift_temporary_measure(moved, user=technician, at=AT, note="Given back.")
    event = last_of(defect)
    assert (event.measure, event.lifted, event.note) == ("speed", True, "Given back.")
    assert event.sentence == "Lifted (speed restriction): Given back."


def test_a_link_names_the_other_defect_by_its_own_field(defect, technician):
    cause = make_defect(defect.points, title="Ballast gone.", user=technician, at=AT)
    moves.link_cause(defect, user=technician, at=AT, cause=cause)
    event = last_of(defect)
    assert (event.other, event.note) == (cause, "")
    assert event.sentence == f"Caused by defect {cause.number}: Ballast gone."


def test_work_done_keeps_when_it_was_done(defect, technician):
    moved = moves.accept(defect, user=technician, at=noon(2026, 5, 6))
    moves.work_done(
        moved, user=technician, at=noon(2026, 5, 9), done_at=noon(2026, 5, 8), note="Turned."
    )
    assert last_of(defect).done_at == noon(2026, 5, 8)


def test_found_again_says_so_and_how_urgent_it_became(technician):
    set_limit("fwc", minimum=50)
    points = make_rigged_points("12")
    make_fwc_visit(points, AT, 46)
    defect = make_defect(
        reading=Reading.objects.get(value=46), user=technician, at=AT, urgency="planned"
    )
    make_fwc_visit(points, noon(2026, 5, 7), 45)
    moves.measured_again(
        defect,
        user=technician,
        at=noon(2026, 5, 7),
        reading=Reading.objects.get(value=45),
        urgency=moves.Urgency.URGENT,
    )
    event = last_of(defect)
    assert (event.urgency, event.note) == ("urgent", "")
    assert event.sentence == "Measured again, still out of limits. Urgency now: urgent."


def fields(move: str, **given) -> dict:
    return {"move": move, "note": "why", "state": "raised", "owner": "signalling", **given}


@pytest.mark.parametrize(
    "given",
    [
        fields("return"),
        fields("return", return_kind="because"),
        fields("comment", return_kind="not_ours"),
        fields("measure"),
        fields("measure", measure="none"),
        fields("comment", measure="speed"),
        fields("comment", lifted=True),
        fields("link"),
        fields("work_done"),
        fields("comment", done_at=AT),
        fields("comment", urgency="urgent"),
        fields("measured_again", urgency="now"),
    ],
)
def test_the_database_refuses_an_event_whose_fields_do_not_fit_its_move(defect, given):
    with pytest.raises(IntegrityError), transaction.atomic():
        Event.objects.create(defect=defect, at=AT, by="Lineman A", **given)


def test_the_database_refuses_a_link_to_another_from_other_moves_and_to_itself(defect):
    other = make_defect(defect.points, title="Other", at=AT)
    for given in (fields("comment", other=other), fields("link", other=defect)):
        with pytest.raises(IntegrityError), transaction.atomic():
            Event.objects.create(defect=defect, at=AT, by="Lineman A", **given)
