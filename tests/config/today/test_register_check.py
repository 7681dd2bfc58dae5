"""What the register alone shows to be wrong; what it cannot show is said, and never raised."""

import json
from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from assets.models import Points, Stretcher
from config.today import register_check
from defects.models import Defect
from defects.routing.routing import code_of
from defects.words import Check
from tests import builders
from tests.builders import (
    make_defect,
    make_design,
    make_examination,
    make_fitting,
    make_inspection,
    make_position,
    make_rail,
    make_stretcher,
    noon,
)

pytestmark = pytest.mark.django_db

NOW = noon(2025, 6, 10)


def make_points(number: str | None = None, **facts) -> Points:
    """Points used trailing, which want no lock stretcher."""
    return builders.make_points(number, **{"use": "trailing", **facts})


def fitted(points, order: int, **rod):
    """A rod fitted at a new place of the points; the place must carry a kicker where order is 1."""
    place = make_position(points, order, kicker_required=order == 1)
    rod = make_stretcher(**{"kicker": order == 1, **rod})
    make_fitting(rod, place)
    return rod


@pytest.fixture
def sound(db):
    """Points of a B switch with its two rods, inspected last week: nothing is wrong."""
    points = make_points("12")
    fitted(points, 1)
    fitted(points, 2)
    make_inspection(points, NOW - timedelta(days=7))
    return points


def found_at(points=None) -> list[register_check.Checked]:
    found = register_check.check_register(NOW)
    return [one for one in found if points is None or one.points == points]


def only(points) -> register_check.Checked:
    [one] = found_at(points)
    return one


def test_sound_points_have_nothing_found(sound):
    assert found_at() == []


def test_insulation_on_both_sides(sound):
    fitted(sound, 3, insulation_side="right")
    one = only(sound)
    assert (one.check, one.certain) == (Check.MIXED_INSULATION, True)
    assert one.reason == (
        "Insulated on the left: first stretcher, second stretcher; on the right: third stretcher."
    )


def test_mixed_insulation_does_not_matter_without_a_track_circuit(sound):
    Points.objects.update(track_circuited=False)
    fitted(sound, 3, insulation_side="right")
    assert found_at() == []


def test_mixed_insulation_cannot_be_judged_where_the_track_circuit_is_not_known(sound):
    Points.objects.update(track_circuited=None)
    fitted(sound, 3, insulation_side="right")
    one = only(sound)
    assert not one.certain
    assert "Go and check" in one.reason


def test_an_insulation_side_nobody_knows_is_told_and_not_raised(sound):
    fitted(sound, 3, insulation_side="unknown", insulation_kind="unknown")
    one = only(sound)
    assert (one.check, one.certain) == (Check.MIXED_INSULATION, False)
    assert "third stretcher" in one.reason
    assert register_check.raise_found([one], at=NOW) == []


def test_no_kicker_where_one_is_required(sound):
    Stretcher.objects.update(kicker=False)
    one = only(sound)
    assert (one.check, one.certain, one.position.order) == (Check.KICKER_MISSING, True, 1)


def test_a_kicker_nobody_has_looked_for_cannot_be_said(sound):
    rod = sound.positions.get(order=1).fittings.get().stretcher
    rod.kicker = None
    rod.save()
    assert (only(sound).check, only(sound).certain) == (Check.KICKER_MISSING, False)


def test_a_stretcher_that_does_not_suit_as_it_is_fitted(sound):
    rod = fitted(sound, 3, condition="scrap", quarantined=True)
    one = only(sound)
    assert (one.check, one.certain, one.stretcher) == (Check.ROD_DOES_NOT_SUIT, True, rod)
    assert one.reason == "Scrap. In quarantine."
    [defect] = register_check.raise_found([one], at=NOW)
    assert (defect.title, defect.stretcher) == (
        "Unsuitable stretcher fitted at the third stretcher",
        rod,
    )
    assert only(sound).open_defect == defect


def test_a_stretcher_that_needs_work_only_is_no_fault(sound):
    fitted(sound, 3, generation="red")
    assert found_at() == []


def test_points_used_facing_without_a_lock_stretcher_are_told_and_never_raised(sound):
    Points.objects.update(use="facing")
    make_fitting(builders.make_machine(kind="rodding"), sound.positions.get(order=1))
    one = only(sound)
    assert (one.check, one.certain) == (Check.NO_LOCK_RECORDED, False)
    assert one.reason == (
        "Used facing, and no lock stretcher is recorded here. Find out how the points are locked "
        "or secured for trains running over them facing, and record it."
    )
    assert register_check.raise_found([one], at=NOW) == []


def test_fewer_stretchers_than_the_switch_needs(sound):
    sound.design = make_design("Long", least_stretchers=3)
    sound.save()
    one = only(sound)
    assert (one.check, one.certain) == (Check.TOO_FEW_RODS, True)
    assert one.reason == "2 recorded, the lock stretcher not counted; at least 3 are needed."


def test_the_lock_stretcher_does_not_count(db):
    points = make_points("13")
    make_fitting(make_stretcher(for_lock=True, notches="uncut"), make_position(points, 0))
    fitted(points, 1)
    make_inspection(points, NOW)
    assert only(points).reason.startswith("1 recorded")


def test_points_with_nothing_recorded_are_not_called_short_of_rods(db):
    points = make_points("13")
    make_inspection(points, NOW)
    one = only(points)
    assert (one.check, one.certain) == (Check.TOO_FEW_RODS, False)


def test_a_shoe_that_does_not_match_the_rail(sound):
    sound.rail_section = make_rail("113A", profile="flat_bottom")
    sound.save()
    found = found_at(sound)
    assert [one.check for one in found] == [Check.SHOE_NOT_RAIL] * 2
    assert all(one.certain for one in found)
    assert "left" in found[0].reason
    assert "right" in found[0].reason


def test_a_shoe_on_rail_nobody_has_named_cannot_be_said(sound):
    sound.rail_section = None
    sound.save()
    assert {(one.check, one.certain) for one in found_at(sound)} == {(Check.SHOE_NOT_RAIL, False)}


def test_an_overdue_inspection_by_the_points_own_interval(sound):
    Points.objects.update(inspection_interval_days=5)
    one = only(sound)
    assert one.check == Check.INSPECTION_OVERDUE
    assert one.reason == "Due on 8 Jun 2025, overdue by 2 days; last on 3 Jun 2025."


def test_points_never_inspected_cannot_be_called_overdue(db):
    points = make_points("13")
    fitted(points, 1)
    fitted(points, 2)
    one = only(points)
    assert (one.check, one.certain) == (Check.INSPECTION_OVERDUE, False)


def test_a_rod_with_an_open_crack_fitted_at_other_points(sound):
    elsewhere = make_points("13")
    rod = fitted(sound, 3)
    make_defect(elsewhere, found="item.gooseneck_crack", title="Gooseneck cracked", part=rod)
    found = found_at(sound)
    assert [(one.check, one.certain, one.stretcher) for one in found] == [
        (Check.CRACKED_PART, True, rod)
    ]
    assert f"{rod} is fitted at the third stretcher with an open crack" in found[0].reason


def test_a_crack_raised_where_the_rod_is_fitted_is_not_raised_again(sound):
    rod = fitted(sound, 3)
    crack = make_defect(sound, found="item.weld", title="Weld cracked", part=rod)
    one = only(sound)
    assert one.open_defect == crack
    assert register_check.raise_found([one], at=NOW) == []


def test_a_crack_seen_and_not_yet_raised_counts_too(sound):
    rod = fitted(sound, 3)
    place = sound.positions.get(order=3)
    visit = make_inspection(sound, NOW)
    make_examination(visit, place, item="shoe_crack", stretcher=rod)
    assert "shoe cracks found at SKB 12" in only(sound).reason


def test_lifted_points_are_left_out(sound):
    fitted(sound, 3, insulation_side="right")
    Points.objects.update(service_state="lifted")
    assert found_at() == []


def test_raising_twice_raises_once(sound):
    fitted(sound, 3, insulation_side="right")
    [defect] = register_check.raise_found(found_at(), at=NOW)
    assert (code_of(defect.found), defect.raised_by) == ("check.mixed_insulation", "Register check")
    assert defect.title == "Stretchers insulated on different sides"
    assert "third stretcher" in defect.description
    assert register_check.raise_found(found_at(), at=NOW) == []
    assert only(sound).open_defect == defect


def test_the_check_takes_the_same_queries_however_many_points(sound, django_assert_max_num_queries):
    for n in range(13, 23):
        points = make_points(str(n))
        fitted(points, 1, kicker=False)
        fitted(points, 2, insulation_side="right")
    with django_assert_max_num_queries(16):
        assert len(found_at()) >= 20


# --- the command and the page ----------------------------------------------------------------


def run(*options: str) -> str:
    out = StringIO()
    call_command("check_register", *options, stdout=out)
    return out.getvalue()


@pytest.fixture
def mixed(sound):
    fitted(sound, 3, insulation_side="right")
    make_inspection(sound, timezone.now())
    return sound


def test_the_command_lists_and_raises_only_when_asked(mixed):
    assert "1 found, 0 cannot tell, 0 raised." in run()
    assert not Defect.objects.exists()
    assert "1 found, 0 cannot tell, 1 raised." in run("--raise")
    assert "0 raised" in run("--raise")


def test_the_command_writes_json(mixed):
    said = json.loads(run("--json", "--points", "skb 12"))
    assert said["found"][0]["check"] == "mixed_insulation"
    assert said["found"][0]["points"] == "SKB 12"
    assert said["raised"] == []


def test_the_command_names_points_it_does_not_know(db):
    with pytest.raises(CommandError, match="no points 'SKB 99'"):
        run("--points", "SKB 99")


def test_the_page_raises_what_is_ticked_and_nothing_else(as_technician, mixed):
    Points.objects.filter(pk=mixed.pk).update(design=make_design("Long", least_stretchers=4))
    page = as_technician.get("/register-check/").content.decode()
    assert "Insulated on the left" in page
    assert "at least 4 are needed" in page
    as_technician.post("/register-check/", {"raise": [f"too_few_rods {mixed.pk}"]})
    assert [code_of(d.found) for d in Defect.objects.all()] == ["check.too_few_rods"]
    assert Defect.objects.get().raised_by == "Lineman A"


def test_nothing_is_ticked_beforehand_and_no_button_is_left_once_all_is_raised(
    as_technician, mixed
):
    page = as_technician.get("/register-check/").content.decode()
    assert f'value="mixed_insulation {mixed.pk}"' in page
    assert " checked" not in page
    assert "Raise the ticked ones" in page
    as_technician.post("/register-check/", {"raise": [f"mixed_insulation {mixed.pk}"]})
    page = as_technician.get("/register-check/").content.decode()
    assert "Raise the ticked ones" not in page
    assert "All of these already have an open defect." in page


def test_a_viewer_has_no_register_check(client, viewer):
    client.force_login(viewer)
    assert client.get("/register-check/").status_code == 403
