"""Defects in the workbook: raised by a row, moved by events, closed only on evidence."""

from datetime import timedelta

import pytest
from django.utils import timezone

from assets.sheets.columns import clock_time
from defects.models import Defect, Dismissal, Event
from defects.moves import moves
from defects.routing.routing import code_of
from defects.words import State
from inspections.models import Reading
from tests import builders, workbooks
from tests.workbooks import load, reason, refusals, totals

pytestmark = pytest.mark.django_db

DEFECT = [
    "Number", "Points", "Title", "Urgency", "State", "Held by", "Mends", "Checks", "Raised at",
    "Raised by", "Raised for", "Found by", "Temporary measure",
]  # fmt: skip
EVENT = ["Defect", "When", "What", "By", "For", "Note", "Evidence", "Agreed by the engineer"]
RAISED, VISITED, DONE, PROVED = (builders.noon(2026, 5, day) for day in (5, 4, 10, 11))


@pytest.fixture
def points():
    builders.set_limit("fwc", minimum=50)
    points = builders.make_rigged_points("12")
    builders.make_fwc_visit(points, VISITED, 46)
    builders.make_fwc_visit(points, PROVED, 57)
    return points


OUT = "04 May 2026 13:00, free wheel clearance, place 1, left closed"
WITHIN = "11 May 2026 13:00, free wheel clearance, place 1, left closed"


def defect(state: str = "raised", **changes) -> list:
    values = {
        "Number": 1, "Points": "SKB 12", "Title": "Clearance lost", "Urgency": "urgent",
        "State": state, "Held by": "signalling", "Mends": "signalling", "Checks": "signalling",
        "Raised at": "5 May 2026 13:00", "Raised by": "Lineman A", "Raised for": "signalling",
        "Found by": OUT, "Temporary measure": "none", **changes,
    }  # fmt: skip
    return [values[heading] for heading in DEFECT]


def event(day: str, what: str, **changes) -> list:
    values = {
        "Defect": 1, "When": f"{day} May 2026 13:00", "What": what, "By": "Lineman A",
        "For": "signalling", "Note": "as said", **changes,
    }  # fmt: skip
    return [values.get(heading) for heading in EVENT]


WORK = [event("6", "accepted"), event("10", "work done")]


def sheets(row: list, *events: list) -> dict:
    return {"Defects": [DEFECT, row], "Events": [EVENT, *events]}


# Raising and moving


def test_a_defect_is_raised_by_its_row_with_the_times_and_names_in_it(points, technician):
    plan = load(sheets(defect()), technician)
    assert refusals(plan) == []
    raised = Defect.objects.get()
    assert (raised.number, raised.title, raised.state) == (1, "Clearance lost", State.RAISED)
    assert (raised.raised_at, raised.raised_by) == (RAISED, "Lineman A")
    assert raised.reading == Reading.objects.get(value=46)
    assert (code_of(raised.found), raised.position.order) == ("fwc.below", 1)
    event = raised.events.get()
    assert (event.by, event.department, event.user) == ("Lineman A", "signalling", technician)


def test_the_line_of_events_is_entered_as_it_happened(points):
    close = event("11", "closed", Evidence=WITHIN)
    plan = load(sheets(defect("closed"), close, *reversed(WORK)))
    assert refusals(plan) == []
    closed = Defect.objects.get()
    assert (closed.state, closed.closed_at) == (State.CLOSED, PROVED)
    assert closed.work_done_at == DONE
    assert [e.move for e in closed.events.in_time()] == ["raise", "accept", "work_done", "close"]
    assert totals(load(sheets(defect("closed"), close, *WORK))) == (0, 0, 4, 0, 0)
    assert totals(load(workbooks.saved()))[:2] == (0, 0)


def test_one_marked_closed_without_its_event_is_refused(points):
    plan = load(sheets(defect("closed"), *WORK))
    assert refusals(plan) == [
        ("Defects", 2, "State",
         ("It is work done. It becomes closed only by an event in the sheet Events that names its "
         "evidence."))
    ]  # fmt: skip
    assert not Defect.objects.exists()


def test_closing_without_evidence_is_refused_with_what_is_needed(points):
    plan = load(sheets(defect("closed"), *WORK, event("11", "closed")))
    sheet, row, column, sentence = refusals(plan)[-1]
    assert (sheet, row, column) == ("Events", 4, "Evidence")
    assert sentence.startswith(
        "Closing needs a reading of free wheel clearance within limits, taken at the same place "
        "after the work: name it as evidence."
    )


def test_closing_on_a_reading_that_proves_nothing_is_refused(points):
    """The reading that raised it, taken before the work."""
    plan = load(sheets(defect("closed"), *WORK, event("11", "closed", Evidence=OUT)))
    assert "That reading was taken before the work was done." in [r[3] for r in refusals(plan)]


def test_evidence_that_there_is_not_is_refused(points):
    plan = load(sheets(defect("closed"), *WORK, event("11", "closed", Evidence="measured it")))
    assert 'SKB 12 has no reading or examination "measured it".' in [r[3] for r in refusals(plan)]


def test_a_later_reading_that_is_out_again_does_not_undo_a_closing(points):
    """It is a repeat: when the first was closed nobody could know of it."""
    builders.make_fwc_visit(points, builders.noon(2026, 6, 1), 45)
    found = {"Raised at": "1 Jun 2026 14:00", "Found by": OUT.replace("04 May", "01 Jun")}
    again = defect("raised", Number=2, **found)
    given = sheets(defect("closed"), *WORK, event("11", "closed", Evidence=WITHIN))
    given["Defects"].append(again)
    file = builders_file_with_visits(given)
    workbooks.empty_the_register()
    assert refusals(load(file)) == []
    assert Defect.objects.get(number=2).repeat_of.number == 1


def builders_file_with_visits(given: dict):
    """The register as it is, with the given defects: all to be loaded at once."""
    file = workbooks.saved()
    for name, (headings, *rows) in given.items():
        dicts = [dict(zip(headings, row, strict=True)) for row in rows]
        file = workbooks.extended(file, name, *dicts)
    return file


# Who may


def test_the_engineers_agreement_loads_for_the_engineer_alone(points, technician, engineer):
    agreed = event("11", "closed", **{"Agreed by the engineer": "yes", "For": None})
    agreed[EVENT.index("By")] = "Engineer C"
    given = sheets(defect("closed"), *WORK, agreed)
    plan = load(given, technician)
    assert ("Events", 4, "For") in [r[:3] for r in refusals(plan)]
    agreed[EVENT.index("For")] = "signalling"
    plan = load(given, technician)
    assert any("only the responsible engineer may close" in r[3] for r in refusals(plan))
    assert not Defect.objects.exists()
    agreed[EVENT.index("For")] = None
    assert refusals(load(given, engineer)) == []
    close = Event.objects.get(move="close")
    assert (close.agreed_by_engineer, close.by, close.user) == (True, "Engineer C", engineer)


def test_the_shell_may_load_an_agreement_too(points):
    agreed = event("11", "closed", **{"Agreed by the engineer": "yes", "For": None})
    assert refusals(load(sheets(defect("closed"), *WORK, agreed))) == []
    assert Event.objects.get(move="close").user is None


def test_nobody_enters_what_another_department_did(points, technician):
    accepted = event("6", "accepted", By="Ganger B", For="permanent way")
    row = defect("accepted", **{"Held by": "permanent way", "Mends": "permanent way"})
    plan = load(sheets(row, accepted), technician)
    assert (
        "This was done for permanent way, for which you may not act."
        in [r[3] for r in refusals(plan)]
    )  # fmt: skip


def test_a_move_that_does_not_come_next_is_refused(points):
    plan = load(sheets(defect("work done"), event("10", "work done")))
    assert any('"work done" does not come next' in r[3] for r in refusals(plan))


# A defect that stands already


@pytest.fixture
def standing(points, technician):
    reading = Reading.objects.get(value=46)
    return builders.make_defect(reading=reading, at=RAISED, user=technician, title="Clearance lost")


def test_details_are_changed_as_an_edit_that_stays(standing, technician):
    file = workbooks.edited(workbooks.saved(), {("Defects", "1", "Title"): "Clearance lost again"})
    assert totals(load(file, technician))[1] == 1
    standing.refresh_from_db()
    assert standing.title == "Clearance lost again"
    edit = standing.events.get(move="edit")
    assert edit.by == "Lineman A"
    assert edit.note == 'title: "Clearance lost" became "Clearance lost again"'
    assert load(file).can_be_applied


def test_what_was_found_and_where_stays(standing):
    file = workbooks.edited(workbooks.saved(), {("Defects", "1", "Raised by"): "Lineman Z"})
    assert reason(load(file)) == "What was found, where and by whom, stays as it was raised."


def test_a_state_is_not_changed_without_an_event(standing):
    file = workbooks.edited(workbooks.saved(), {("Defects", "1", "State"): "accepted"})
    assert reason(load(file)) == (
        "Its events make it: raised. It changes only by an event in the sheet Events."
    )
    assert Defect.objects.get().state == "raised"


def test_an_event_added_to_the_workbook_moves_it(standing, technician):
    file = workbooks.extended(
        workbooks.edited(workbooks.saved(), {("Defects", "1", "State"): "accepted"}),
        "Events",
        dict(zip(EVENT, event("6", "accepted"), strict=True)),
    )
    assert refusals(load(file, technician)) == []
    standing.refresh_from_db()
    assert standing.state == "accepted"
    assert standing.events.get(move="accept").at == builders.noon(2026, 5, 6)
    again = load(file, technician)
    assert (again.rows, again.can_be_applied) == ([], True)


def test_an_event_is_never_changed(standing, technician):
    moves.comment(standing, user=technician, at=builders.noon(2026, 5, 6), note="seen")
    file = workbooks.edited(workbooks.saved(), {("Events", "1", "Note"): "not seen"})
    assert reason(load(file)) == "An event is never changed: add one that corrects it."


def test_an_event_before_what_has_been_done_since_is_refused(standing, technician):
    moves.accept(standing, user=technician, at=builders.noon(2026, 5, 8))
    given = {"Events": [EVENT, event("6", "comment")]}
    assert reason(load(given)) == "Defect 1 has changed since: check it in the program."


def test_an_event_to_come_is_refused(standing):
    day = timezone.localtime() + timedelta(days=1)
    row = event("6", "comment")
    row[1] = clock_time(day)
    assert reason(load({"Events": [EVENT, row]})) == "That time is in the future."


def test_an_event_of_no_defect_is_refused():
    assert reason(load({"Events": [EVENT, event("6", "comment", Defect=9)]})) == (
        "There was no defect 9 then."
    )


# Every kind of event comes back as it was


def test_a_long_story_survives_the_way_out_and_back(points, technician, ganger, engineer):
    """Handed over, returned, protected, mended twice, linked, edited, found again."""
    at = (builders.noon(2026, 5, day) for day in range(5, 30))
    builders.make_fwc_visit(points, builders.noon(2026, 5, 14), 47)
    builders.make_fwc_visit(points, builders.noon(2026, 5, 20), 58)
    first = builders.make_defect(
        points, title="Gauge tight", user=ganger, at=next(at), found="track_gauge.below"
    )
    reading = Reading.objects.get(value=46)
    d = builders.make_defect(reading=reading, at=next(at), user=technician)
    d = moves.link_cause(d, user=technician, at=next(at), cause=first)
    d = moves.set_temporary_measure(d, user=technician, at=next(at), measure="speed", note="5 mph")
    d = moves.hand_over(d, user=technician, at=next(at), reason="Gauge first.")
    d = moves.give_back(d, user=ganger, at=next(at), kind="not_ours", reason="Gauge is right.")
    d = moves.edit(d, user=technician, at=next(at), title="Clearance short", urgency="at_once")
    d = moves.accept(d, user=technician, at=builders.noon(2026, 5, 12))
    d = moves.work_done(
        d, user=technician, at=builders.noon(2026, 5, 15), done_at=builders.noon(2026, 5, 13),
        note="Back stretcher turned.",
    )  # fmt: skip
    again = Reading.objects.get(value=47)
    d = moves.measured_again(d, user=technician, at=builders.noon(2026, 5, 16), reading=again)
    assert d.state == State.RAISED
    d = moves.accept(d, user=technician, at=builders.noon(2026, 5, 17))
    d = moves.work_done(d, user=technician, at=builders.noon(2026, 5, 18), note="Rod changed.")
    d = moves.lift_temporary_measure(
        d, user=technician, at=builders.noon(2026, 5, 19), note="Not needed."
    )
    d = moves.close(
        d, user=technician, at=builders.noon(2026, 5, 21), reading=Reading.objects.get(value=58)
    )
    moves.raise_in_error(first, user=ganger, at=builders.noon(2026, 5, 22), reason="Misread.")

    file, before = workbooks.saved(), workbooks.everything()
    workbooks.empty_the_register()
    assert refusals(load(file)) == []
    after = workbooks.everything()
    for name in before:
        assert after[name] == before[name], name
    assert load(file).rows == []


def test_a_finding_that_was_not_raised_comes_back_with_its_reason(points, technician):
    from defects import proposals

    reading = Reading.objects.get(value=46)
    proposals.dismiss(reading, user=technician, at=RAISED, reason="Known, and in hand.")
    file, before = workbooks.saved(), workbooks.everything()
    workbooks.empty_the_register()
    assert refusals(load(file)) == []
    assert workbooks.everything()["Dismissal"] == before["Dismissal"]
    assert Dismissal.objects.get().by == "Lineman A"
    assert load(file).rows == []


def test_a_correction_made_after_a_closing_does_not_undo_it(points, technician):
    """The reading that proved it was found mistaken months later."""
    from inspections.recording.corrections import correct_reading

    reading = Reading.objects.get(value=46)
    d = builders.make_defect(reading=reading, at=RAISED, user=technician)
    d = moves.accept(d, user=technician, at=builders.noon(2026, 5, 6))
    d = moves.work_done(d, user=technician, at=DONE, note="Turned.")
    proof = Reading.objects.get(value=57)
    moves.close(d, user=technician, at=PROVED, reading=proof)
    correct_reading(proof, by="Lineman A", reason="misread", value=49)
    file, before = workbooks.saved(), workbooks.everything()
    workbooks.empty_the_register()
    assert refusals(load(file)) == []
    assert workbooks.everything() == before
