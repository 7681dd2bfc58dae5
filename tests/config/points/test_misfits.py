"""What is fitted and does not suit stays in sight: judged again when anything changed, and kept."""

from datetime import date, timedelta

import pytest
from django.db import OperationalError
from django.urls import reverse

from assets.engineering.suitability import Outcome
from assets.models import Points, RailSection, Stretcher, SwitchOffset
from config.points import misfits
from config.points.plan_page import plan_shown
from config.points.reader import facts_of, known
from defects.models import Judged, Misfit
from defects.models.misfits import judge_again
from inspections.models import Limit
from tests import builders
from tests.pages import shown as text_of

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 1)
NO_LUG = "Driven here, and this stretcher has no drive lug."


@pytest.fixture
def points():
    """SKB 12, used trailing, whose first stretcher has no drive lug."""
    return misfitted("12")


def misfitted(number: str) -> Points:
    points = builders.make_points(number, use="trailing")
    for order, lug in ((1, "none"), (2, "plain")):
        rod = builders.make_stretcher(f"ST-{number}-{order}", drive_lug=lug)
        builders.make_fitting(rod, builders.make_position(points, order))
    return points


def rod_of(points) -> Stretcher:
    return Stretcher.objects.get(tag=f"ST-{points.number}-1")


def said(found) -> list[tuple[str, str, str]]:
    return [(one.words, one.rule, one.reason) for one in found]


def is_stale(points, on: date = TODAY) -> bool:
    return Judged.stale(on).filter(pk=points.pk).exists()


def test_the_worst_of_each_stretcher_is_kept_with_its_first_reason(points):
    assert misfits.keep_up(TODAY) == 0
    [one] = Misfit.objects.worst()
    assert (one.points, one.stretcher, one.position.order) == (points, rod_of(points), 1)
    assert (one.words, one.rule, one.reason) == ("does not suit", "drive lug", NO_LUG)
    assert one.remedy == "use a stretcher with a drive lug"
    assert one.more == ""


def test_what_is_kept_is_what_the_rules_say(points):
    builders.make_fitting(
        builders.make_stretcher(condition="scrap", quarantined=True),
        builders.make_position(points, 3),
    )
    [read] = Points.objects.with_places()
    [facts] = facts_of([read], TODAY)
    live = misfits.misfits_of(read, facts)
    before = misfits.misfits_at([points.pk], TODAY)
    misfits.keep_up(TODAY)
    kept = misfits.misfits_at([points.pk], TODAY)
    assert said(live) == said(before) == said(kept)
    assert [one.others for one in kept if one.rule == "condition"] == [1]
    assert [one.more for one in kept if one.rule == "condition"] == ["(and 1 other reason)"]


def test_a_few_queries_while_nothing_changes(points, django_assert_num_queries):
    misfits.keep_up(TODAY)
    with django_assert_num_queries(2):
        assert misfits.keep_up(TODAY) == 0
    with django_assert_num_queries(3):
        assert len(misfits.misfits_at([points.pk], TODAY)) == 1
    with django_assert_num_queries(0):
        assert misfits.misfits_at([], TODAY) == []


def test_judging_takes_the_same_queries_however_many(django_assert_max_num_queries):
    for number in range(20, 32):
        misfitted(str(number))
    with django_assert_max_num_queries(27):
        misfits.keep_up(TODAY)
    assert Misfit.objects.worst().count() == 12


def test_what_is_left_for_the_next_time_is_counted(points):
    for number in ("13", "14"):
        misfitted(number)
    assert misfits.keep_up(TODAY, most=1) == 2
    assert misfits.keep_up(TODAY, most=1) == 1
    assert misfits.keep_up(TODAY, most=1) == 0
    assert Misfit.objects.worst().count() == 3


def test_a_busy_database_leaves_all_for_the_next_time(points, monkeypatch):
    def busy(*args):
        raise OperationalError("database is locked")

    monkeypatch.setattr(misfits, "_judge", busy)
    assert misfits.keep_up(TODAY) == 1
    assert said(misfits.misfits_at([points.pk], TODAY))  # not kept, so judged for this page


def test_points_without_a_place_have_nothing_to_judge():
    builders.make_points("9")
    assert not Judged.stale(TODAY).exists()


def test_lifted_points_are_left_out(points):
    misfits.keep_up(TODAY)
    Points.objects.update(service_state="lifted")
    assert not Misfit.objects.worst().exists()
    assert not Judged.stale(TODAY).exists()


def _take_out(points):
    fitting = points.positions.get(order=1).fittings.get()
    fitting.taken_out_on, fitting.taken_out_reason = TODAY, "Does not suit."
    fitting.save()


def _another_place(points):
    builders.make_position(points, 3)


def _machine(points):
    builders.make_fitting(builders.make_machine("MC-1"), points.positions.get(order=1))


def _part(points):
    Stretcher.objects.filter(pk=rod_of(points).pk).update(condition="scrap")


def _reading(points):
    builders.make_reading(builders.make_inspection(points), points.positions.get(order=1), 46)


def _look(points):
    visit = builders.make_inspection(points)
    builders.make_examination(visit, points.positions.get(order=1), item="weld")


CHANGES = {
    "taken out": _take_out,
    "fitted": _machine,
    "fitting struck out": lambda points: points.positions.get(order=2).fittings.all().delete(),
    "place added": _another_place,
    "place changed": lambda points: points.positions.filter(order=1).update(driven=False),
    "place removed": lambda points: points.positions.filter(order=3).delete(),
    "points changed": lambda points: Points.objects.filter(pk=points.pk).update(use="facing"),
    "offset measured": lambda points: SwitchOffset.objects.create(
        points=points, distance_mm=500, offset_mm=12
    ),
    "stretcher changed": _part,
    "defect raised": lambda points: builders.make_defect(points, part=rod_of(points)),
    "measured": _reading,
    "examined": _look,
    "limit set": lambda points: builders.set_limit("fwc", 50),
    "design changed": lambda points: type(points.design).objects.update(least_stretchers=3),
    "rail changed": lambda points: RailSection.objects.update(head_mm=71),
}


@pytest.mark.parametrize("change", CHANGES)
def test_whatever_the_rules_look_at_makes_the_verdict_stale(points, change):
    if change == "place removed":
        _another_place(points)
    misfits.keep_up(TODAY)
    assert not is_stale(points)
    CHANGES[change](points)
    assert is_stale(points)
    misfits.keep_up(TODAY)
    assert not is_stale(points)


@pytest.mark.parametrize("kind", ["machine", "lost_motion_fitting"])
def test_a_change_of_the_drive_makes_the_verdict_stale(points, kind):
    part = getattr(builders, f"make_{kind}")()
    builders.make_fitting(part, points.positions.get(order=1))
    misfits.keep_up(TODAY)
    type(part).objects.filter(pk=part.pk).update(condition="scrap")
    assert is_stale(points)


def test_only_the_points_concerned_are_judged_again(points):
    other = misfitted("13")
    misfits.keep_up(TODAY)
    _part(points)
    assert (is_stale(points), is_stale(other)) == (True, False)


def test_another_family_of_rails_on_the_railway_makes_every_verdict_stale(points):
    misfits.keep_up(TODAY)
    for code, foot in (("113A", 140), ("60E1", 150)):
        rail = builders.make_rail(code, profile="flat_bottom", foot_mm=foot)
        builders.make_points(rail_section=rail)
    assert is_stale(points)


def test_a_limit_that_comes_into_force_later_makes_it_stale_that_day(points):
    builders.set_limit("switch_opening", 95, 110, effective_from=TODAY + timedelta(days=5))
    misfits.keep_up(TODAY)
    assert not is_stale(points, TODAY + timedelta(days=4))
    assert is_stale(points, TODAY + timedelta(days=5))
    assert Limit.objects.count() == 1


def test_another_release_judges_again(points):
    misfits.keep_up(TODAY)
    judge_again()
    assert is_stale(points)


def test_put_right_it_is_gone(points):
    misfits.keep_up(TODAY)
    Stretcher.objects.update(drive_lug="plain")
    misfits.keep_up(TODAY)
    assert not Misfit.objects.worst().exists()


# --- what is said once of the points ---------------------------------------------------------


def test_what_points_lack_is_said_of_them_and_not_of_each_stretcher():
    points = builders.make_points("15", use="facing")
    place = builders.make_position(points, 1)
    builders.make_fitting(builders.make_stretcher(), place)
    builders.make_fitting(builders.make_machine(kind="rodding"), place)
    found = misfits.misfits_at([points.pk], TODAY)
    lacks = [(one.words, one.outcome) for one in found if one.stretcher is None]
    work = Outcome.SUITS_AFTER_WORK
    assert lacks == [("too few stretchers", work), ("no lock stretcher recorded", work)]
    assert {one.rule for one in found if one.stretcher}.isdisjoint(
        {"number of stretchers", "facing point lock"}
    )


def test_what_points_out_of_use_lack_waits_but_what_does_not_suit_stays(points):
    builders.make_points("15", use="facing", service_state="out_of_use")
    machine = builders.make_machine(kind="rodding")
    builders.make_fitting(machine, builders.make_position(Points.objects.get(number="15"), 1))
    Points.objects.update(service_state="out_of_use")
    misfits.keep_up(TODAY)
    assert Misfit.objects.filter(stretcher=None).exists()
    assert said(Misfit.objects.worst()) == [("does not suit", "drive lug", NO_LUG)]


def test_points_where_nobody_has_looked_are_not_called_short_of_stretchers():
    points = builders.make_points("15", use="trailing")
    builders.make_position(points, 1)
    assert misfits.misfits_at([points.pk], TODAY) == []


# --- wherever it appears ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "address",
    ["/", "/points/SKB/12/", "/parts/stretcher/ST-12-1/", "/parts/stretcher/", "/register-check/"],
)
def test_every_page_names_it_with_its_reason(points, as_technician, address):
    page = text_of(as_technician.get(address))
    assert "ST-12-1" in page or address == "/register-check/"
    assert "does not suit" in page
    assert NO_LUG in page


def test_the_handover_note_says_it_remains(points, as_technician):
    page = text_of(as_technician.get(reverse("defects:handover", args=["SKB", "12"])))
    remains = page.partition("As fitted today, by what is recorded:")[2]
    assert "First stretcher" in remains
    assert NO_LUG in remains


def test_lists_of_points_and_the_head_of_their_page_count_it(points, as_technician):
    for address in ("/points/", "/points/SKB/12/"):
        assert "1 stretcher does not suit" in text_of(as_technician.get(address))


def test_home_says_what_is_not_judged_yet(points, as_technician, monkeypatch):
    monkeypatch.setattr(misfits, "keep_up", lambda at: 3)
    page = text_of(as_technician.get("/"))
    assert "What is fitted at 3 more sets of points will be judged the next time" in page
    assert "Nothing that is fitted is recorded as not suiting" not in page


def test_a_part_in_the_store_is_judged_nowhere(as_technician):
    rod = builders.make_stretcher("ST-1", condition="scrap")
    assert "does not suit" not in text_of(as_technician.get(rod.get_absolute_url()))


def test_the_plan_marks_the_stretcher_in_words(points):
    [read] = Points.objects.with_places()
    shown = plan_shown(known(read, TODAY), None)
    labels = {" ".join(label.lines): label.kind for label in shown["drawing"].labels}
    assert labels["1 · ST-12-1 yellow ✕ does not suit"] == "rod-label does_not_suit"
    assert labels["2 · ST-12-2 yellow"] == "rod-label"
    assert "does not suit" in shown["drawing"].description
    assert [note.words for note in shown["rows"][0]["notes"]] == ["does not suit"]
    assert shown["rows"][1]["notes"] == []
    assert any("no readings that hold" in doubt for doubt in shown["plan"].doubts)


def test_the_plan_marks_a_stretcher_at_an_unknown_distance(points):
    points.positions.filter(order=1).update(distance_mm=None)
    [read] = Points.objects.with_places()
    shown = plan_shown(known(read, TODAY), None)
    assert [note.words for note in shown["rows"][0]["notes"]] == ["does not suit"]
    assert shown["unplaced"] == []
