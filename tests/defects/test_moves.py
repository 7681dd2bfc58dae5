"""Each move: what it leaves behind, who may make it, and what it refuses."""

import threading
from datetime import date, timedelta

import pytest
from django.db import connection, connections

from assets.departments import Department
from defects.models import Defect, Route
from defects.moves import moves, raising
from defects.moves.raising import found_by_hand
from defects.moves.transitions import STEPS, Who, allowed, refusal
from defects.routing.routing import found_of
from defects.words import Move, State
from inspections.verdicts.finding import Found
from tests.builders import (
    make_defect,
    make_examination,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    make_user,
    noon,
    set_limit,
)

pytestmark = pytest.mark.django_db

RAISED = noon(2025, 6, 1)
NEXT = noon(2025, 6, 2)
LATER = noon(2025, 6, 4)


@pytest.fixture
def points(db):
    points = make_points("12")
    make_position(points, 1)
    return points


@pytest.fixture
def low_kicker(points):
    """Kicker clearance 2 mm, 3 to 6 mm wanted: P-way mends, signalling checks."""
    set_limit("kicker_clearance", 3, 6)
    reading = make_reading(
        make_inspection(points), points.positions.get(), 2,
        quantity="kicker_clearance", side="left",
    )  # fmt: skip
    return make_defect(reading=reading)


def bring_to(defect: Defect, state: State, ganger, technician, engineer) -> Defect:
    """A defect that the ganger mends, brought to a state by allowed moves."""
    if state == State.RAISED:
        return defect
    if state == State.IN_ERROR:
        return moves.raise_in_error(defect, user=technician, at=NEXT, reason="Wrong points.")
    if state == State.CLOSED:
        return moves.close(defect, user=engineer, at=NEXT, reason="Agreed on site.")
    defect = moves.accept(defect, user=ganger, at=NEXT)
    if state == State.ACCEPTED:
        return defect
    return moves.work_done(defect, user=ganger, at=NEXT, note="Timbers packed.")


def test_raising_takes_mender_checker_remedy_and_urgency_from_the_routing_table(low_kicker):
    assert low_kicker.owner == low_kicker.mends == Department.PERMANENT_WAY
    assert low_kicker.checks == Department.SIGNALLING
    assert low_kicker.remedy == "Lift and pack the timbers. Do not bend the kicker."
    assert low_kicker.urgency == "urgent"
    assert low_kicker.due_on == date(2025, 6, 8)
    event = low_kicker.events.get()
    assert (event.move, event.by, event.department) == ("raise", "Lineman A", "signalling")


def test_a_defect_raised_by_hand_without_a_code_stays_with_the_department_that_raised_it(
    points, ganger
):
    defect = make_defect(points, title="Crossing nose worn", user=ganger)
    assert (defect.owner, defect.checks) == ("permanent_way", "permanent_way")
    assert (defect.description, defect.events.get().note) == ("", "")


def test_a_finding_that_the_table_does_not_know_goes_to_signalling_and_says_so(points):
    Route.objects.filter(**found_of("fwc.below").columns).delete()
    reading = make_reading(make_inspection(points), points.positions.get(), 46)
    defect = make_defect(reading=reading, title="Clearance low", user=None, by="Workbook")
    assert defect.owner == "signalling"
    assert 'No routing row was found for "fwc.below"' in defect.events.get().note
    assert defect.description == ""


def test_where_a_person_says_who_mends_it_nothing_is_said_of_the_table(points):
    Route.objects.filter(**found_of("fwc.below").columns).delete()
    reading = make_reading(make_inspection(points), points.positions.get(), 46)
    defect = make_defect(reading=reading, title="Clearance low", mends="permanent_way")
    assert (defect.owner, defect.description) == ("permanent_way", "")
    assert defect.events.get().note == ""


def test_the_whole_way_over_the_interface_and_back(low_kicker, technician, ganger):
    defect = moves.accept(low_kicker, user=ganger, at=NEXT)
    assert defect.state == "accepted"
    defect = moves.work_done(defect, user=ganger, at=NEXT, note="Timbers packed.")
    assert (defect.state, defect.owner) == ("work_done", "signalling")
    reading = make_reading(
        make_inspection(low_kicker.points, LATER), low_kicker.position, 4,
        quantity="kicker_clearance", side="left",
    )  # fmt: skip
    defect = moves.close(defect, user=technician, at=LATER, reading=reading)
    assert [e.move for e in defect.events.in_time()] == ["raise", "accept", "work_done", "close"]
    assert defect.version == 4


def test_returning_gives_it_to_the_department_it_came_from(low_kicker, ganger, technician):
    defect = moves.give_back(
        low_kicker, user=ganger, at=NEXT, kind="need_more", reason="Which timbers?"
    )
    assert (defect.owner, defect.mends, defect.state) == ("signalling", "permanent_way", "raised")
    defect = moves.hand_over(defect, user=technician, at=NEXT, reason="The two at the toe.")
    assert defect.owner == "permanent_way"
    defect = moves.give_back(defect, user=ganger, at=NEXT, kind="not_ours", reason="Bent kicker.")
    assert (defect.owner, defect.mends) == ("signalling", "signalling")
    assert defect.events.order_by("pk").last().sentence == "Not ours: Bent kicker."


def test_what_came_from_nobody_is_handed_over_and_not_returned(points, technician):
    defect = make_defect(points, found="switch_opening.below", title="")
    with pytest.raises(moves.Refused, match="hand it over instead"):
        moves.give_back(defect, user=technician, at=NEXT, kind="not_ours", reason="No.")


def test_work_that_mended_nothing_goes_back_to_whoever_mends(low_kicker, ganger, technician):
    defect = moves.accept(low_kicker, user=ganger, at=NEXT)
    defect = moves.work_done(defect, user=ganger, at=NEXT, note="Packed.")
    defect = moves.give_back(
        defect, user=technician, at=LATER, kind="not_mended", reason="Still 2 mm."
    )
    assert (defect.state, defect.owner) == ("raised", "permanent_way")
    assert defect.work_done_at is None


def test_measured_again_out_after_the_work_sends_it_back(low_kicker, ganger, technician):
    defect = moves.accept(low_kicker, user=ganger, at=NEXT)
    defect = moves.work_done(defect, user=ganger, at=NEXT, note="Packed.")
    reading = make_reading(
        make_inspection(low_kicker.points, LATER), low_kicker.position, 1,
        quantity="kicker_clearance", side="left",
    )  # fmt: skip
    defect = moves.measured_again(defect, user=technician, at=LATER, reading=reading)
    assert (defect.state, defect.owner) == ("raised", "permanent_way")
    assert defect.events.order_by("pk").last().reading == reading


def test_work_is_not_done_before_it_was_raised_or_later_than_now(low_kicker, ganger):
    defect = moves.accept(low_kicker, user=ganger, at=NEXT)
    for done_at, sentence in ((RAISED - timedelta(days=1), "before"), (LATER, "later than now")):
        with pytest.raises(moves.Refused, match=sentence):
            moves.work_done(defect, user=ganger, at=NEXT, note="Packed.", done_at=done_at)


def test_a_temporary_measure_stands_until_the_checker_lifts_it(
    low_kicker, ganger, technician, engineer
):
    defect = moves.set_temporary_measure(
        low_kicker, user=ganger, at=NEXT, measure="speed", note="10 miles an hour."
    )
    defect = moves.close(defect, user=engineer, at=LATER, reason="Rail renewed.")
    assert list(Defect.objects.with_measure()) == [defect]
    with pytest.raises(moves.Refused, match="signalling"):
        moves.lift_temporary_measure(defect, user=ganger, at=LATER, note="Done.")
    defect = moves.lift_temporary_measure(defect, user=technician, at=LATER, note="Done.")
    assert not Defect.objects.with_measure().exists()
    assert defect.events.filter(move="measure").count() == 2


def test_editing_says_what_each_detail_was_and_is(low_kicker, ganger):
    defect = moves.edit(low_kicker, user=ganger, at=NEXT, urgency="planned", title="Kicker low")
    note = defect.events.order_by("pk").last().note
    assert 'urgency: "urgent" became "planned"' in note
    assert 'became "Kicker low"' in note
    assert defect.due_on == date(2025, 6, 29)


@pytest.mark.parametrize(
    "details", [{}, {"title": " "}, {"title": "x" * 161}, {"urgency": "soon"}, {"state": "closed"}]
)
def test_editing_nothing_or_nonsense_is_refused(low_kicker, ganger, details):
    with pytest.raises(moves.Refused):
        moves.edit(low_kicker, user=ganger, at=NEXT, **details)


def test_a_cause_is_linked_once_round_and_never_in_a_ring(points, technician):
    low = make_defect(points, title="Clearance low")
    cracked = make_defect(points, title="Gooseneck cracked")
    cracked = moves.link_cause(cracked, user=technician, at=NEXT, cause=low)
    assert list(low.consequences.all()) == [cracked]
    with pytest.raises(moves.Refused, match="is already caused by this one"):
        moves.link_cause(low, user=technician, at=NEXT, cause=cracked)
    with pytest.raises(moves.Refused):
        moves.link_cause(low, user=technician, at=NEXT, cause=low)


def test_a_second_within_a_year_is_a_repeat_and_a_step_more_urgent(points, engineer):
    position = points.positions.get()
    first = make_defect(points, position=position, found="item.lock_nuts", title="")
    assert first.urgency == "urgent"
    moves.edit(first, user=engineer, at=NEXT, cause="Half nut left off.")
    first.refresh_from_db()
    moves.close(first, user=engineer, at=NEXT, reason="Agreed.")
    again = make_defect(points, position=position, found="item.lock_nuts", title="",
                        at=NEXT + timedelta(days=365))  # fmt: skip
    assert (again.repeat_of, again.urgency) == (first, "at_once")
    assert again.due_on == date(2026, 6, 2)
    event = again.events.get()
    assert (event.other, event.note) == (first, "")
    assert event.sentence == f"Repeat of defect {first.number}."


def test_after_more_than_a_year_it_is_no_repeat(points, engineer):
    first = make_defect(points, found="item.switch_creep", title="")
    moves.close(first, user=engineer, at=NEXT, reason="Agreed.")
    again = make_defect(points, found="item.switch_creep", title="",
                        at=NEXT + timedelta(days=366))  # fmt: skip
    assert (again.repeat_of, again.urgency) == (None, "planned")


def test_at_another_place_it_is_no_repeat(points):
    make_defect(points, found="item.lock_nuts", title="", position=points.positions.get())
    make_position(points, 2)
    other = make_defect(
        points, found="item.lock_nuts", title="", position=points.positions.get(order=2)
    )
    assert other.repeat_of is None


def test_a_closed_defect_whose_reading_is_out_again_is_raised_anew_and_linked(points, engineer):
    position = points.positions.get()
    first = make_defect(reading=make_reading(make_inspection(points), position, 46))
    moves.close(first, user=engineer, at=NEXT, reason="Agreed.")
    after = NEXT + timedelta(days=500)
    again = make_defect(
        reading=make_reading(make_inspection(points, after), position, 45), at=after
    )
    assert again.pk != first.pk
    assert (again.repeat_of, again.urgency) == (first, "urgent")


def test_what_was_raised_in_error_is_no_repeat(points, technician):
    first = make_defect(points, found="item.ballast", title="")
    moves.raise_in_error(first, user=technician, at=NEXT, reason="Wrong points.")
    assert make_defect(points, found="item.ballast", title="").repeat_of is None


def test_a_finding_of_other_points_is_refused(points):
    look = make_examination(make_inspection(make_points("13")))
    with pytest.raises(moves.Refused, match="not at SKB 12"):
        make_defect(points, examination=look)


# --- two at once -----------------------------------------------------------------------------


def test_the_second_of_two_is_told_what_the_first_did(low_kicker, ganger, engineer):
    moves.give_back(low_kicker, user=engineer, at=NEXT, kind="need_more", reason="Which timbers?")
    with pytest.raises(moves.Changed, match="returned by Engineer C") as told:
        moves.accept(low_kicker, user=ganger, at=NEXT)
    assert [event.move for event in told.value.events] == ["return"]
    assert low_kicker.events.count() == 2


def test_a_comment_never_comes_too_late(low_kicker, ganger, technician):
    moves.comment(low_kicker, user=technician, at=NEXT, note="By the gate.")
    moves.comment(low_kicker, user=ganger, at=NEXT, note="Seen.")
    assert low_kicker.events.count() == 3


def test_a_number_taken_between_looking_and_saving_is_passed_over(points, monkeypatch):
    first = make_defect(points)
    looked = iter([first.number, first.number, first.number + 1])
    monkeypatch.setattr(raising, "next_number", lambda: next(looked))
    assert make_defect(points).number == first.number + 1


@pytest.mark.django_db(transaction=True)
def test_numbers_are_allotted_once_however_many_raise_at_once():
    if connection.vendor != "postgresql":
        pytest.skip("needs PostgreSQL: the tests' SQLite lives in the memory of one thread")
    points = make_points("12")
    user = make_user("technician", "signalling", "Lineman A")
    refused = []

    def raise_some():
        try:
            for _ in range(3):
                moves.raise_defect(
                    found_by_hand(points, Found()),
                    points=points, user=user, at=RAISED, title="Loose fixing",
                )  # fmt: skip
        except Exception as problem:  # noqa: BLE001 - shown by the test whatever it is
            refused.append(problem)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=raise_some) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert refused == []
    numbers = Defect.objects.order_by("number").values_list("number", flat=True)
    assert list(numbers) == list(range(1, 13))


@pytest.mark.django_db(transaction=True)
def test_of_two_who_accept_and_return_in_the_same_moment_one_is_told():
    if connection.vendor != "postgresql":
        pytest.skip("needs PostgreSQL: the tests' SQLite lives in the memory of one thread")
    ganger = make_user("ganger", "permanent way", "Ganger B")
    defect = make_defect(make_points("12"), title="", found="item.ballast")
    start = threading.Barrier(2)
    outcomes = []

    def act(move, **values):
        try:
            start.wait()
            move(defect, user=ganger, at=NEXT, **values)
            outcomes.append("done")
        except moves.Changed:
            outcomes.append("told")
        finally:
            connections.close_all()

    threads = [
        threading.Thread(target=act, args=[moves.accept]),
        threading.Thread(target=act, args=[moves.hand_over], kwargs={"reason": "Not ours."}),
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["done", "told"]
    assert defect.events.count() == 2


# --- every move by everybody -----------------------------------------------------------------

POSTS = ("technician", "ganger", "engineer", "viewer", "outsider")

# Who is what to a defect that P-way mends, signalling raised and checks. The holder is P-way
# until the work is done, then signalling.
IS = {
    "technician": {Who.RAISER, Who.PARTY, Who.CHECKER, Who.ANY},
    "ganger": {Who.PARTY, Who.ANY},
    "engineer": set(Who),
    "viewer": set(),
    "outsider": set(),
}


def is_what(post: str, state: State) -> set[Who]:
    holder = "ganger" if state in (State.RAISED, State.ACCEPTED) else "technician"
    return IS[post] | ({Who.HOLDER} if post == holder else set())


@pytest.mark.parametrize("state", list(State))
@pytest.mark.parametrize("post", POSTS)
def test_who_may_make_which_move_in_which_state(
    low_kicker, request, ganger, technician, engineer, post, state
):
    user = request.getfixturevalue(post)
    defect = bring_to(low_kicker, state, ganger, technician, engineer)
    assert defect.state == state
    steps = {move: STEPS[state, move] for move in Move if (state, move) in STEPS}
    expected = {move for move, step in steps.items() if step.who in is_what(post, state)}
    assert set(allowed(defect, user)) == expected
    for move in set(Move) - expected:
        assert refusal(defect, move, user)


@pytest.mark.parametrize(
    ("move", "post", "states"),
    [
        (Move.ACCEPT, "ganger", "raised"),
        (Move.ACCEPT, "technician", ""),
        (Move.WORK_DONE, "ganger", "accepted"),
        (Move.CLOSE, "technician", "work_done"),
        (Move.CLOSE, "ganger", ""),
        (Move.CLOSE, "engineer", "raised accepted work_done"),
        (Move.IN_ERROR, "technician", "raised accepted"),
        (Move.IN_ERROR, "ganger", ""),
        (Move.HAND_OVER, "ganger", "raised accepted"),
        (Move.HAND_OVER, "technician", "work_done"),
        (Move.COMMENT, "ganger", "raised accepted work_done closed in_error"),
        (Move.COMMENT, "viewer", ""),
        (Move.MEASURE, "ganger", "raised accepted work_done"),
        (Move.MEASURE, "technician", "raised accepted work_done closed in_error"),
    ],
)
def test_the_table_says_in_plain_words(
    low_kicker, request, ganger, technician, engineer, move, post, states
):
    """The rules that matter most, spelt out apart from the table they are read from."""
    user = request.getfixturevalue(post)
    may = [
        state.value for state in State if move in allowed(Defect(**_as_in(low_kicker, state)), user)
    ]
    assert may == states.split()


def _as_in(defect: Defect, state: State) -> dict:
    held = "permanent_way" if state in (State.RAISED, State.ACCEPTED) else "signalling"
    return {
        "pk": defect.pk, "number": defect.number, "state": state.value, "owner": held,
        "mends": "permanent_way", "checks": "signalling",
    }  # fmt: skip


@pytest.mark.parametrize("post", ["viewer", "outsider"])
def test_nobody_without_a_department_raises_a_defect(points, request, post):
    with pytest.raises(moves.Refused):
        make_defect(points, user=request.getfixturevalue(post))


@pytest.mark.parametrize("move", ["accept", "hand_over", "work_done", "raise_in_error"])
def test_a_refused_move_leaves_no_event(low_kicker, viewer, move):
    text = {"accept": {}, "work_done": {"note": "x"}}.get(move, {"reason": "x"})
    with pytest.raises(moves.Refused):
        getattr(moves, move)(low_kicker, user=viewer, at=NEXT, **text)
    assert low_kicker.events.count() == 1


@pytest.mark.parametrize(
    ("move", "values"),
    [
        ("hand_over", {"reason": " "}),
        ("give_back", {"kind": "not_ours", "reason": ""}),
        ("raise_in_error", {"reason": "\n"}),
        ("comment", {"note": ""}),
        ("set_temporary_measure", {"measure": "speed", "note": ""}),
    ],
)
def test_a_reason_left_blank_is_asked_for(low_kicker, engineer, move, values):
    with pytest.raises(moves.Refused, match="Write it down"):
        getattr(moves, move)(low_kicker, user=engineer, at=NEXT, **values)
