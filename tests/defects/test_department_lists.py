"""A department's list, filled in and loaded: acts of the account, for the person named."""

from datetime import timedelta
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given
from hypothesis import settings as tried
from hypothesis import strategies as st
from openpyxl import load_workbook

from assets.departments import Department
from assets.sheets.columns import clock_time
from defects.models import Defect, Event
from defects.moves import moves
from defects.sheets import department_lists
from defects.sheets.acts import KINDS, Act
from defects.words import State
from tests.builders import make_defect, make_rigged_points, noon
from tests.pages import shown
from tests.workbooks import load, reason, refusals, totals

pytestmark = pytest.mark.django_db

PWAY = "permanent way list"
RAISED = noon(2026, 5, 4)
DONE = {"By": "Ganger B", "When": "9 May 2026 14:30"}


@pytest.fixture
def points():
    return make_rigged_points("12")


@pytest.fixture
def defects(points, technician):
    """Three that the permanent way holds, one of them accepted, raised by signalling."""
    about = {"mends": "permanent_way", "checks": "signalling", "user": technician, "at": RAISED}
    return [make_defect(points, title=title, **about) for title in ("One", "Two", "Three")]


def list_of(department: Department = Department.PERMANENT_WAY) -> BytesIO:
    target = BytesIO()
    department_lists.write(target, department, timezone.now())
    target.seek(0)
    return target


def filled_in(rows: dict[int, dict], source: BytesIO | None = None, sheet: str = PWAY) -> BytesIO:
    """The list with cells of some defects filled in: heading to value, by number."""
    book = load_workbook(source or list_of())
    page = book[sheet]
    headings = [cell.value for cell in page[1]]
    by_number = {row[headings.index("Defect")].value: row for row in page.iter_rows(min_row=2)}
    for number, cells in rows.items():
        for heading, value in cells.items():
            by_number[number][headings.index(heading)].value = value
    target = BytesIO()
    book.save(target)
    target.seek(0)
    return target


def test_a_list_with_nothing_filled_in_does_nothing(defects, ganger):
    moves.comment(defects[0], user=ganger, at=noon(2026, 5, 6), note="Seen.")
    file = list_of()
    moves.comment(defects[1], user=ganger, at=noon(2026, 5, 6), note="Seen too.")
    assert totals(load(file, ganger)) == (0, 0, 3, 0, 0)


def test_acts_are_those_of_the_account_for_the_person_named(defects, ganger):
    one, two, three = (defect.number for defect in defects)
    moves.accept(defects[1], user=ganger, at=noon(2026, 5, 5))
    plan = load(
        filled_in(
            {
                one: {"Act": "accepted", "By": "Volunteer F", "When": "9 May 2026 14:30"},
                two: {"Act": "work done", "Note": "Packed.", **DONE},
                three: {
                    "Act": "returned",
                    "Of what kind": "not found there",
                    "Note": "No",
                    **DONE,
                },
            }
        ),
        ganger,
    )
    assert refusals(plan) == []
    assert totals(plan)[:3] == (0, 3, 0)
    states = [(d.state, d.owner) for d in Defect.objects.order_by("number")]
    assert states == [
        (State.ACCEPTED, "permanent_way"),
        (State.WORK_DONE, "signalling"),
        (State.RAISED, "signalling"),
    ]
    accepted = Event.objects.get(defect=defects[0], move="accept")
    assert (accepted.by, accepted.user, accepted.department) == (
        "Volunteer F", ganger, "permanent_way",
    )  # fmt: skip
    at = noon(2026, 5, 9) + timedelta(hours=1, minutes=30)
    assert accepted.at == at
    assert Event.objects.get(move="work_done").done_at == at
    returned = Event.objects.get(move="return")
    assert returned.sentence == "Not found there: No"
    assert Defect.history.first().history_change_reason.startswith("workbook of ")


def test_what_was_accepted_and_done_on_one_day_is_two_events(defects, ganger):
    row = {"Act": "accepted and work done", "Note": "Packed.", **DONE}
    assert refusals(load(filled_in({defects[0].number: row}), ganger)) == []
    assert [e.move for e in defects[0].events.order_by("pk")] == ["raise", "accept", "work_done"]


def test_a_measure_is_set_and_lifted_handed_over_and_remarked_on(defects, ganger, technician):
    one, two, three = (defect.number for defect in defects)
    measure = {"Act": "temporary measure", "Of what kind": "speed restriction", "Note": "5 mph."}
    rows = {
        one: {**measure, **DONE},
        two: {"Act": "handed over", "Note": "Drive first.", **DONE},
        three: {"Act": "remark", "Note": "By the gate.", **DONE},
    }
    assert refusals(load(filled_in(rows), ganger)) == []
    assert [d.temporary_measure for d in Defect.objects.order_by("number")] == [
        "speed", "none", "none",
    ]  # fmt: skip
    assert Defect.objects.get(number=two).owner == "signalling"
    assert Event.objects.get(move="comment").note == "By the gate."
    lift = {"Act": "measure lifted", "Note": "Repaired.", **DONE}
    assert reason(load(filled_in({one: lift}), ganger)) == (
        "Only the department that checks it may lift it: signalling."
    )


def test_the_same_list_loaded_twice_acts_once_and_says_what_happened(defects, ganger):
    number = defects[0].number
    file = filled_in({number: {"Act": "remark", "Note": "By the gate.", **DONE}})
    assert refusals(load(file, ganger)) == []
    plan = load(file, ganger)
    [(sheet, row, column, sentence)] = refusals(plan)
    assert (sheet, row, column) == (PWAY, 2, "Version")
    assert sentence == (
        "Since this list was written: comment by Ganger B, 9 May 2026 14:30 (By the gate.). If "
        "that is what this row says, clear what you filled in; if not, check the defect and "
        "download the list again."
    )
    assert Event.objects.filter(move="comment").count() == 1


def test_one_bad_row_keeps_the_good_ones_out(defects, ganger):
    one, two, _ = (defect.number for defect in defects)
    rows = {one: {"Act": "accepted", **DONE}, two: {"Act": "work done", "Note": "Packed.", **DONE}}
    assert reason(load(filled_in(rows), ganger)) == (
        f'Defect {two} is raised, so "work done" does not come next.'
    )
    assert set(Defect.objects.values_list("state", flat=True)) == {"raised"}


ACCEPT = {"Act": "accepted", **DONE}


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        ({**ACCEPT, "By": None}, "By", "Say who did it."),
        ({**ACCEPT, "When": None}, "When", "Say when it was done: 3 May 2026 14:30."),
        ({**ACCEPT, "When": "yesterday"}, "When", "date"),
        ({**ACCEPT, "When": "9 May 2050 14:30"}, "When", "That time is in the future."),
        (
            {**ACCEPT, "When": "3 May 2026 14:30"},
            "When",
            "The defect was last raised by Lineman A, 4 May 2026 13:00: this came after it.",
        ),
        ({**ACCEPT, "Act": "mended"}, "Act", "accepted and work done"),
        ({**ACCEPT, "Act": None}, "Act", "Say what was done, or clear the other cells"),
        ({"Note": "Packed."}, "Act", "Say what was done, or clear the other cells"),
        ({**ACCEPT, "Version": None}, "Version", "download the list again"),
        ({**ACCEPT, "Version": 7}, "Version", "Since this list was written: raised by Lineman A"),
        ({**ACCEPT, "Version": "x"}, "Version", "is not a number"),
        ({**ACCEPT, "Points": "SKB 13"}, "Points", "This defect is at SKB 12."),
        ({**ACCEPT, "Defect": 99}, "Defect", "There is no such defect in this register."),
        ({**ACCEPT, "Of what kind": "not ours"}, "Of what kind", "have a kind"),
        ({**ACCEPT, "Act": "returned", "Note": "no"}, "Of what kind", "Say of what kind: returned"),
        (
            {**ACCEPT, "Act": "returned", "Of what kind": "speed restriction", "Note": "no"},
            "Of what kind",
            "Say of what kind: returned",
        ),
        (
            {**ACCEPT, "Act": "returned", "Of what kind": "not ours"},
            "Note",
            "Write it down, so that others understand it later.",
        ),
        ({**ACCEPT, "Act": "handed over"}, "Note", "Write it down"),
        ({**ACCEPT, "Act": "temporary measure", "Note": "5 mph"}, "Of what kind", "Say of what"),
        ({**ACCEPT, "Act": "measure lifted", "Note": "x"}, "Note", "no temporary measure to lift"),
    ],
)
def test_a_row_that_cannot_be_an_act_is_refused_with_its_cell(
    defects, ganger, cells, column, sentence
):
    plan = load(filled_in({defects[0].number: cells}), ganger)
    assert (plan.refusals[0].sheet, plan.refusals[0].row) == (PWAY, 2)
    assert plan.refusals[0].column == column
    assert sentence in plan.refusals[0].reason
    assert plan.refusals[0].cell.endswith("2")
    assert set(Event.objects.values_list("move", flat=True)) == {"raise"}


def test_nobody_loads_the_acts_of_the_other_department(defects, technician):
    assert reason(load(filled_in({defects[0].number: ACCEPT}), technician)) == (
        "This was done for permanent way, for which you may not act."
    )


def test_the_engineer_loads_them_for_the_department(defects, engineer):
    assert refusals(load(filled_in({defects[0].number: ACCEPT}), engineer)) == []
    event = Event.objects.get(move="accept")
    assert (event.by, event.user, event.department) == ("Ganger B", engineer, "permanent_way")


def test_two_rows_of_one_defect_are_refused(defects, ganger):
    file = filled_in({defects[0].number: {**ACCEPT, "Defect": defects[1].number}})
    assert "Keep one of the two rows." in reason(load(file, ganger))


def test_a_list_is_downloaded_filled_in_and_loaded_on_the_page(
    defects, as_ganger, ganger, settings, tmp_path
):
    settings.DATA_DIR = tmp_path
    page = shown(as_ganger.get(reverse("defects:queue", args=["permanent_way"])))
    assert "Download as a workbook" in page
    answer = as_ganger.get(reverse("defects:queue_workbook", args=["permanent_way"]))
    row = {"Act": "accepted", "Note": "On Saturday.", **DONE}
    file = filled_in({defects[0].number: row}, BytesIO(answer.content))
    upload = SimpleUploadedFile("list.xlsx", file.read())
    sent = as_ganger.post(reverse("workbook_load"), {"file": upload})
    plan = as_ganger.get(sent.url)
    said = b"".join(plan.streaming_content).decode()
    assert "Act" in said
    assert "On Saturday." in said
    assert not Event.objects.filter(move="accept").exists()
    mark = said.split('name="shown" value="')[1].split('"')[0]
    token = sent.url.strip("/").rpartition("/")[2]
    done = as_ganger.post(reverse("workbook_apply", args=[token]), {"shown": mark})
    assert "Loaded: 0 new, 1 changed, 2 the same." in b"".join(done.streaming_content).decode()
    event = Event.objects.get(move="accept")
    assert (event.defect, event.user, event.note) == (defects[0], ganger, "On Saturday.")


@tried(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    act=st.sampled_from([act.label for act in Act]),
    kind=st.sampled_from([None, *(label for _, label in KINDS)]),
    note=st.sampled_from([None, "Packed."]),
    by=st.sampled_from([None, "Ganger B"]),
    minutes=st.integers(-3, 3),
    behind=st.integers(0, 2),
)
def test_whatever_is_filled_in_either_one_event_is_written_as_it_says_or_nothing(
    defects, ganger, act, kind, note, by, minutes, behind
):
    """Undone after each try, so that every one begins with the same three defects."""
    defect = defects[0]
    at = clock_time(RAISED) + timedelta(minutes=minutes)
    before = Event.objects.count()
    cells = {"Act": act, "Of what kind": kind, "Note": note, "By": by, "When": at}
    cells["Version"] = defect.version - behind
    plan = load(filled_in({defect.number: cells}), ganger, keep=False)
    assert Event.objects.count() == before
    said = plan.totals
    assert said["same"] == 2
    assert said["changed"] + said["refused"] == 1
    if said["changed"]:
        assert behind == 0
        assert minutes >= 0
        assert by == "Ganger B"
        assert act not in ("nothing", "work done", "measure lifted")
        assert note or act == "accepted"
