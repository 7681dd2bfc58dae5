"""What is owed at a set of points, from register, defects and visits; readings from before are
grey."""

from datetime import date, timedelta

import pytest

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.words import Lie
from assets.fitting import fit, take_out
from config.points import owed_kept as owed
from config.points import plan_notes
from config.points.changes import owing_of
from config.points.pieces import owed as piece
from config.points.reader import known
from defects.moves import moves
from inspections.models import Outlook
from tests import pages
from tests.builders import (
    make_defect,
    make_fitting,
    make_inspection,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_reading,
    make_stretcher,
    noon,
    set_limit,
    with_places,
)

pytestmark = pytest.mark.django_db
DAY = date(2026, 3, 5)
BEFORE, AFTER = noon(2026, 3, 4), noon(2026, 3, 6)
SWITCH = {
    ("switch_opening", None, "both"),
    ("fwc", 1, "both"),
    ("fwc", 2, "both"),
    ("lock_go", 0, "both"),
    ("lock_no_go", 0, "both"),
}


@pytest.fixture
def points():
    """SKB 12, track-circuited: a lock stretcher and two more, all found fitted."""
    set_limit("fwc", 50)
    points = make_points("12")
    for order in range(3):
        rod = make_stretcher(f"ST-{order}")
        make_fitting(rod, make_position(points, order), found_fitted=True)
    return points


def place(points, order: int = 1):
    return points.positions.get(order=order)


def owing(points):
    return owing_of([with_places(points)], NOTHING_CONFIRMED)[points.pk]


def asked(points) -> set[tuple]:
    """Quantity, place and side or "both" lies of what is owed."""
    orders = dict(points.positions.values_list("pk", "order"))
    return {
        (
            one.asked.quantity,
            orders.get(one.asked.place),
            "both" if one.asked.lie else one.asked.side,
        )
        for one in owing(points).owed
    }


def test_parts_found_fitted_change_nothing(points):
    assert owing(points).changes == ()
    assert owing(points).owed == ()


def test_a_rod_exchanged_owes_the_switch_and_its_own_torque_and_insulation(points):
    fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
    assert asked(points) == SWITCH | {
        ("torque", 1, "left"),
        ("torque", 1, "right"),
        ("insulation_resistance", 1, "left"),
    }
    assert [change.words for change in owing(points).changes] == [
        "ST-1 taken out at the first stretcher",
        "ST-9 fitted at the first stretcher",
    ]


def test_points_without_track_circuit_owe_no_insulation_and_unknown_ones_say_so(points):
    fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
    type(points).objects.update(track_circuited=False)
    assert not any(quantity == "insulation_resistance" for quantity, *_ in asked(points))
    type(points).objects.update(track_circuited=None)
    [first] = [one for one in owing(points).places if one.name == "first stretcher"]
    assert "insulation resistance, left (if track-circuited: not recorded)" in first.owed


@pytest.mark.parametrize("make", [make_machine, make_lost_motion_fitting])
def test_a_machine_or_lost_motion_fitting_owes_the_switch_alone(points, make):
    make_fitting(make(), place(points), fitted_on=DAY)
    assert asked(points) == SWITCH


def test_a_rod_taken_out_owes_no_torque_where_none_is(points):
    take_out(place(points, 2).fittings.get(), on=DAY, by="Lineman A", reason="Bent.")
    assert asked(points) == SWITCH


def test_points_without_a_lock_stretcher_owe_no_lock_test_and_say_why(as_technician):
    points = make_points("13")
    make_fitting(make_stretcher("ST-X"), make_position(points, 1), fitted_on=DAY)
    assert not any(quantity.startswith("lock") for quantity, *_ in asked(points))
    page = pages.shown(as_technician.get(points.get_absolute_url()))
    assert "No place for a lock stretcher is recorded here, so no lock test is listed." in page


def worked_on(points, technician, at=AFTER, **fields):
    defect = make_defect(points, **fields)
    defect = moves.accept(defect, user=technician, at=noon(2025, 6, 2))
    return moves.work_done(defect, user=technician, at=at, note="A nut turned.", done_at=at)


def test_work_on_a_defect_is_a_change_at_its_own_time(points, technician):
    worked_on(points, technician, position=place(points), found="item.lock_nuts", title="Nut loose")
    [change] = owing(points).changes
    assert (change.at, change.places) == (AFTER, {place(points).pk})
    assert change.words.endswith(": Nut loose")
    early = make_inspection(points, AFTER - timedelta(minutes=1), reason="after_work")
    make_reading(early, place(points), 56)
    assert ("fwc", 1, "both") in asked(points)


@pytest.mark.parametrize("found", ["item.ballast", "item.greasing", "check.inspection_overdue"])
def test_work_that_moves_no_rail_changes_nothing(points, technician, found):
    worked_on(points, technician, found=found, mends="signalling")
    assert owing(points).changes == ()


def test_what_permanent_way_repairs_undoes_no_stretcher(points, ganger):
    worked_on(
        points,
        ganger,
        position=place(points),
        found="kicker_clearance.below",
        mends="permanent_way",
    )
    assert asked(points) == SWITCH


def test_a_visit_after_work_that_is_recorded_nowhere_is_a_change(points):
    make_reading(make_inspection(points, AFTER, reason="after_work"), place(points), 56)
    found = owing(points)
    assert [change.words for change in found.changes] == [
        "work that the visit of 6 Mar 2026 was made after"
    ]
    assert len([one for one in found.owed if one.asked.quantity == "fwc"]) == 3


def test_a_visit_that_read_only_torque_is_no_work(points):
    visit = make_inspection(points, AFTER, reason="after_work")
    make_reading(visit, place(points), 220, quantity="torque", side="left")
    assert owing(points).changes == ()


def test_a_reading_not_possible_settles_nothing(points):
    fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
    visit = make_inspection(points, AFTER, reason="after_fitting")
    make_reading(visit, place(points), None, not_taken_reason="dark")
    assert len([one for one in owing(points).owed if one.asked.quantity == "fwc"]) == 4


def test_a_reading_corrected_to_not_taken_settles_nothing(points):
    fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
    reading = make_reading(make_inspection(points, AFTER), place(points), 56)
    assert len([one for one in owing(points).owed if one.asked.quantity == "fwc"]) == 3
    make_reading(
        reading.inspection,
        place(points),
        None,
        not_taken_reason="dark",
        corrects=reading,
        correction_reason="Never taken.",
    )
    assert len([one for one in owing(points).owed if one.asked.quantity == "fwc"]) == 4


def test_five_queries_however_many_points(points, django_assert_num_queries):
    def changed(rigged):
        fit(make_stretcher(), place(rigged), on=DAY, by="Lineman A", replacing="Bent.")
        make_reading(make_inspection(rigged, AFTER, reason="after_work"), place(rigged), 56)
        return with_places(rigged)

    others = [make_points() for _ in range(4)]
    for other in others:
        make_fitting(make_stretcher(), make_position(other, 1))
    read = [changed(each) for each in (points, *others)]
    with django_assert_num_queries(5):
        assert all(found.owed for found in owing_of(read, NOTHING_CONFIRMED).values())


class TestGrey:
    @pytest.fixture
    def read(self, points):
        """Clearance of two stretchers within limits, then the first is exchanged."""
        visit = make_inspection(points, BEFORE)
        for order in (1, 2):
            make_reading(visit, place(points, order), 56)
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        return points

    def test_the_reading_of_another_rod_is_grey_on_the_plan(self, read):
        here = known(with_places(read), date(2026, 6, 1))
        [note] = plan_notes.notes(here, Lie.LEFT_CLOSED)
        assert (note.words, note.kind) == ("FWC 56 mm, before the work of 5 Mar 2026", "before")
        assert note.sign == "○"

    def test_the_page_says_so_beside_it_and_lists_what_is_owed_first(self, read, as_technician):
        page = pages.shown(as_technician.get(read.get_absolute_url()))
        assert '<span class="verdict within">' not in page
        assert "within limits, before the work of 5 Mar 2026" in page
        assert (
            "These readings were taken before the work of 5 Mar 2026: measure again." in page
            or ("was changed after these readings: measure again." in page)
        )
        assert page.index("Measure again") < page.index('id="plan"')

    def test_a_reading_since_is_judged_as_ever(self, read):
        make_reading(make_inspection(read, AFTER), place(read, 2), 57)
        here = known(with_places(read), date(2026, 6, 1))
        [note] = plan_notes.notes(here, Lie.LEFT_CLOSED)
        assert (note.words, note.kind) == ("FWC 57 mm", "within")


class TestKept:
    """For the home page and lists what is owed is worked out when something has changed."""

    def test_each_change_is_noticed_whichever_way_it_comes(self, points, technician):
        owed.keep_up()
        assert not Outlook.objects.owing().exists()
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        owed.keep_up()
        [row] = Outlook.objects.owing()
        assert (row.points, row.owed, row.changed_on) == (points, 13, DAY)
        make_reading(make_inspection(points, AFTER), place(points), 56)
        owed.keep_up()
        assert Outlook.objects.get().owed == 12
        worked_on(points, technician, at=noon(2026, 4, 1))
        owed.keep_up()
        assert Outlook.objects.get().owed == 13
        type(points).objects.update(track_circuited=False)
        owed.keep_up()
        assert Outlook.objects.get().owed == 12

    def test_nothing_changed_costs_one_query(self, points, django_assert_num_queries):
        owed.keep_up()
        with django_assert_num_queries(1):
            assert owed.keep_up() == 0

    def test_a_new_limit_leaves_what_is_owed_as_it_is(self, points, django_assert_num_queries):
        owed.keep_up()
        set_limit("torque", 200)
        with django_assert_num_queries(1):
            assert owed.keep_up() == 0
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        set_limit("torque", 210, level="alert")
        owed.keep_up()
        assert Outlook.objects.get().owed == 13

    def test_the_list_of_points_shows_it_though_nobody_opened_the_home_page(self, points):
        """Was what had been worked out before: nothing, until somebody came by home."""
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        [mark] = piece.marks(owed.kept_for([points.pk]))[points.pk]
        assert mark.words == "13 readings owed after work"

    def test_a_list_shows_it_in_short(self, points, as_technician):
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        page = pages.shown(as_technician.get("/"))
        assert "13 readings owed" in page
        assert "work of 5 Mar 2026" in page
        [mark] = piece.marks(owed.kept_for([points.pk]))[points.pk]
        assert mark.words == "13 readings owed after work"

    def test_the_second_torque_is_shown_with_its_last_day(self, points, as_technician):
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        visit = make_inspection(points, AFTER)
        make_reading(visit, place(points), 220, quantity="torque", side="left")
        page = pages.shown(as_technician.get("/"))
        assert "second torque was due 19 Mar 2026" in page

    def test_points_out_of_use_are_not_listed(self, points, as_technician):
        fit(make_stretcher("ST-9"), place(points), on=DAY, by="Lineman A", replacing="Bent.")
        type(points).objects.update(service_state="out_of_use")
        assert "13 readings owed" not in pages.shown(as_technician.get("/"))
