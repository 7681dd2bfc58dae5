"""Defects in the workbook: raised by a new row, their story for reading, nothing closed by it."""

from datetime import datetime

import pytest
from openpyxl import load_workbook

from assets.workbook.refusals import WorkbookRefused
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
RAISED, VISITED, PROVED = (builders.noon(2026, 5, day) for day in (5, 4, 11))


@pytest.fixture
def points():
    builders.set_limit("fwc", minimum=50)
    points = builders.make_rigged_points("12")
    builders.make_fwc_visit(points, VISITED, 46)
    builders.make_fwc_visit(points, PROVED, 57)
    return points


OUT = "04 May 2026 13:00, free wheel clearance, place 1, left closed"


def defect(state: str = "raised", **changes) -> list:
    values = {
        "Number": 1, "Points": "SKB 12", "Title": "Clearance lost", "Urgency": "urgent",
        "State": state, "Held by": "signalling", "Mends": "signalling", "Checks": "signalling",
        "Raised at": "5 May 2026 13:00", "Raised by": "Lineman A", "Raised for": "signalling",
        "Found by": OUT, "Temporary measure": "none", **changes,
    }  # fmt: skip
    return [values[heading] for heading in DEFECT]


def sheets(*rows: list) -> dict:
    return {"Defects": [DEFECT, *rows]}


# Raising


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


def test_a_row_of_a_closed_defect_is_left_out_and_says_why(points, engineer):
    done = [defect(state, Number=n) for n, state in ((2, "closed"), (3, "raised in error"))]
    plan = load(sheets(defect(), *done), engineer)
    assert totals(plan) == (1, 0, 0, 0, 0)
    assert [row.left_out for row in plan.rows if row.left_out] == [
        f"It is {word}. A workbook raises defects and closes none: a whole register, with all that "
        "was done, is moved as a copy."
        for word in ("closed", "raised in error")
    ]
    assert Defect.objects.get().number == 1


def test_a_measure_that_outlasts_its_defect_is_not_left_out(points, engineer):
    plan = load(sheets(defect("closed", **{"Temporary measure": "speed restriction"})), engineer)
    assert reason(plan).startswith("This defect is closed, but its temporary measure is still")
    assert not Defect.objects.exists()


@pytest.mark.parametrize("state", ["accepted", "work done"])
def test_a_new_row_is_raised_whatever_was_done_elsewhere_and_says_so(points, technician, state):
    row = defect(state, **{"Held by": "permanent way", "Temporary measure": "speed restriction"})
    assert refusals(load(sheets(row), technician)) == []
    raised = Defect.objects.get()
    assert (raised.state, raised.owner, raised.work_done_at) == (State.RAISED, "signalling", None)
    assert raised.temporary_measure == "speed"
    first, measure = raised.events.order_by("pk")
    assert first.note == f"In the workbook it was loaded from: {state}."
    assert (measure.move, measure.measure, measure.user) == ("measure", "speed", technician)


def test_what_caused_it_elsewhere_is_told_and_not_linked(points, technician):
    headings, row = [*DEFECT, "Comes of", "Repeat of"], [*defect(), 3, 2]
    assert refusals(load({"Defects": [headings, row]}, technician)) == []
    raised = Defect.objects.get()
    assert (raised.caused_by, raised.repeat_of) == (None, None)
    assert raised.events.get().note == (
        "In the workbook it was loaded from: caused by defect 3, repeat of defect 2."
    )


def test_evidence_that_there_is_not_is_refused(points):
    plan = load(sheets(defect(**{"Found by": "measured it"})))
    assert reason(plan) == 'SKB 12 has no reading or examination "measured it".'


# Who may


def test_nobody_raises_for_another_department(points, technician):
    plan = load(
        sheets(defect(**{"Raised by": "Ganger B", "Raised for": "permanent way"})), technician
    )
    assert reason(plan) == "This was done for permanent way, for which you may not act."


def test_without_a_department_only_the_engineer_raises(points, technician, engineer):
    row = defect(**{"Raised by": "Engineer C", "Raised for": None})
    assert "which your post is not" in reason(load(sheets(row), technician))
    assert refusals(load(sheets(row), engineer)) == []
    event = Event.objects.get()
    assert (event.by, event.department, event.user) == ("Engineer C", "", engineer)


def test_the_shell_raises_for_whom_the_row_names(points):
    assert refusals(load(sheets(defect()))) == []
    assert Event.objects.get().user is None


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


@pytest.mark.parametrize(
    ("heading", "value", "held"),
    [
        ("State", "accepted", "raised"),
        ("State", "closed", "raised"),
        ("Held by", "permanent way", "signalling"),
        ("Mends", "permanent way", "signalling"),
        ("Temporary measure", "speed restriction", "none"),
        ("Comes of", 7, "unknown"),
    ],
)
def test_what_acts_alone_change_is_not_changed_by_a_row(standing, heading, value, held):
    file = workbooks.edited(workbooks.saved(), {("Defects", "1", heading): value})
    plan = load(file)
    assert reason(plan) == (
        f"In the register: {held}. It changes by an act alone: on its page, or in the list of a "
        "department."
    )
    assert refusals(plan)[0][2] == heading
    assert Event.objects.count() == 1


def test_a_workbook_keeps_what_was_done_since_it_was_saved(standing, technician):
    file = workbooks.edited(workbooks.saved(), {("Defects", "1", "Title"): "Clearance lost again"})
    moves.accept(standing, user=technician, at=builders.noon(2026, 5, 6))
    assert refusals(load(file, technician)) == []
    standing.refresh_from_db()
    assert (standing.title, standing.state) == ("Clearance lost again", State.ACCEPTED)


# The story, for reading


def long_story(points, technician, ganger) -> Defect:
    """Handed over, returned, protected, mended, found again, linked; open at its end."""
    at = (builders.noon(2026, 5, day) for day in range(5, 30))
    builders.make_fwc_visit(points, builders.noon(2026, 5, 14), 47)
    first = builders.make_defect(
        points, title="Gauge tight", user=ganger, at=next(at), found="track_gauge.below"
    )
    d = builders.make_defect(reading=Reading.objects.get(value=46), at=next(at), user=technician)
    d = moves.link_cause(d, user=technician, at=next(at), cause=first)
    d = moves.set_temporary_measure(d, user=technician, at=next(at), measure="speed", note="5 mph")
    d = moves.hand_over(d, user=technician, at=next(at), reason="Gauge first.")
    d = moves.give_back(d, user=ganger, at=next(at), kind="not_ours", reason="Gauge is right.")
    d = moves.accept(d, user=technician, at=builders.noon(2026, 5, 12))
    d = moves.work_done(
        d, user=technician, at=builders.noon(2026, 5, 15), done_at=builders.noon(2026, 5, 13),
        note="Back stretcher turned.",
    )  # fmt: skip
    d = moves.lift_temporary_measure(d, user=technician, at=builders.noon(2026, 5, 15), note="Done")
    again = Reading.objects.get(value=47)
    return moves.measured_again(d, user=technician, at=builders.noon(2026, 5, 16), reading=again)


def test_the_events_sheet_has_the_story_in_columns(points, technician, ganger):
    told = long_story(points, technician, ganger)
    page = load_workbook(workbooks.saved())["Events"]
    headings, *rows = page.iter_rows(values_only=True)
    events = [dict(zip(headings, row, strict=True)) for row in rows]
    own = {event["What"]: event for event in events if event["Defect"] == told.number}
    assert len(events) == Event.objects.count()
    assert own["raised"]["Evidence"] == OUT
    assert own["linked"]["Other defect"] == 1
    assert own["returned"]["Kind of return"] == "not ours"
    assert own["returned"]["Note"] == "Gauge is right."
    assert own["work done"]["Work done at"] == datetime(2026, 5, 13, 13)
    lifted = own["temporary measure"]
    assert (lifted["Temporary measure"], lifted["Measure lifted"]) == ("speed restriction", "yes")
    assert own["measured again"]["State after it"] == "raised"


READING_ONLY = (
    "Sheet Events is for reading only and was not read. Enter what was done in the list of your "
    "department: download it under Defects, fill in the column Act, and load it. A whole register, "
    "with all that was done, is moved to another machine as a copy (keep_copy, restore_copy)."
)


def test_an_event_written_into_the_workbook_is_not_read_and_the_plan_says_so(standing, technician):
    file = workbooks.extended(
        workbooks.saved(),
        "Events",
        {"Defect": 1, "When": datetime(2026, 5, 6, 13), "What": "accepted", "By": "Lineman A"},
    )
    plan = load(file, technician)
    assert plan.rows == []
    assert plan.notes == [READING_ONLY]
    standing.refresh_from_db()
    assert (standing.state, standing.events.count()) == (State.RAISED, 1)


def test_a_workbook_of_nothing_but_events_is_turned_away(standing):
    with pytest.raises(WorkbookRefused) as refused:
        load({"Events": [["Defect", "What"], [1, "closed"]]})
    assert str(refused.value) == READING_ONLY


def test_a_whole_workbook_in_an_empty_register_raises_what_is_open_and_closes_nothing(
    points, technician, ganger, engineer
):
    told = long_story(points, technician, ganger)
    closed = builders.make_defect(points, title="Lamp out", user=technician, at=RAISED)
    moves.close(closed, user=engineer, at=PROVED, reason="A new lamp.")
    file, before = workbooks.saved(), workbooks.everything()
    workbooks.empty_the_register()
    plan = load(file)
    assert refusals(plan) == []
    assert [row.key for row in plan.rows if row.left_out] == [str(closed.number)]
    assert [(d.number, d.state) for d in Defect.objects.order_by("number")] == [
        (1, "raised"), (told.number, "raised"),
    ]  # fmt: skip
    assert {e.move for e in Event.objects.all()} == {"raise"}
    after = workbooks.everything()
    for name in before.keys() - {"Defect", "Event"}:
        assert after[name] == before[name], name


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
