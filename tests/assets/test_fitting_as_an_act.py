"""Fitting as one act: the work is recorded as facts, the verdict is of the part after it, a part
that does not suit stays marked, and what happens on one day has an order."""

import random
from dataclasses import replace
from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from assets import fitting
from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.suitability import Outcome
from assets.engineering.words import Condition, Profile, ShoeColour
from assets.fitting import Judged, PutAway
from assets.models import Fitting, LostMotionFitting, Stretcher
from assets.register_facts import part_facts, points_facts, railway_facts
from assets.work import Shoe, Work
from inspections.latest.track_circuit import circuit_findings
from tests.builders import (
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

MARCH, MAY, JULY = date(2025, 3, 1), date(2025, 5, 1), date(2025, 7, 1)
MISFIT = Judged(Outcome.DOES_NOT_SUIT, "Condition: Scrap.")


def says(judged: Judged):
    return lambda fittings: [judged for _ in fittings]


@pytest.fixture
def place(db):
    return make_position(make_points("12"), 2)


# Turning end for end


def some_value(field, chance: random.Random):
    if field.choices:
        return chance.choice([word for word, _ in field.choices])
    kinds = {"BooleanField": (None, True, False), "FloatField": (None, 1.0, 20.0, 112.0)}
    return chance.choice(kinds[field.get_internal_type()])


def some_rod(chance: random.Random) -> Stretcher:
    """A rod of which anything may be recorded, and anything not."""
    told = [f for f in Stretcher._meta.concrete_fields if f.choices or f.name in FIGURES]
    return Stretcher(tag="ST-1", **{field.name: some_value(field, chance) for field in told})


FIGURES = {
    field.name
    for field in Stretcher._meta.concrete_fields
    if field.null and field.get_internal_type() in ("BooleanField", "FloatField")
}


def test_a_rod_turned_in_the_register_is_the_rod_that_the_rules_turn():
    """All but the notches, whose distance has to be measured from the other end."""
    chance = random.Random(13)
    for _ in range(500):
        rod = some_rod(chance)
        expected = replace(part_facts(rod).turned, notch_distance_mm=None)
        rod.turn()
        assert part_facts(rod) == expected


def test_turning_loses_the_distance_of_notches_that_are_cut():
    rod = Stretcher(tag="ST-1", notches="cut", notch_distance_mm=112, shim_left_mm=2)
    rod.turn()
    assert (rod.notches, rod.notch_distance_mm) == ("cut", None)
    assert (rod.shim_left_mm, rod.shim_right_mm) == (None, 2)


# Work


def test_each_thing_done_is_a_fact_of_the_part_and_in_its_story(place):
    rod = make_stretcher("ST-014", insulation_side="left", kept_at="Shed B", notches="uncut")
    work = Work(
        turned=True,
        left_shoe=Shoe(Profile.FLAT_BOTTOM, ShoeColour.YELLOW, 140),
        right_shims_mm=3,
        notches_cut_mm=112,
    )
    fitted = fitting.fit(rod, place, on=MAY, by="Lineman A", work=work)
    rod.refresh_from_db()
    assert rod.insulation_side == "right"
    assert (rod.left_shoe, rod.left_shoe_colour, rod.left_shoe_foot_mm) == (
        "flat_bottom", "yellow", 140,
    )  # fmt: skip
    assert (rod.shim_right_mm, rod.notches, rod.notch_distance_mm) == (3, "cut", 112)
    assert rod.kept_at == ""
    assert fitted.work_done == (
        "turned end for end; left shoe changed to one for flat-bottom rail, foot 140 mm, yellow "
        "(flat-bottom); shims at the right shoe set to 3 mm; lock notches cut 112 mm apart"
    )
    assert rod.history.first().history_change_reason == "fitted at SKB 12, second stretcher"
    assert rod.history.count() == 2


def test_the_verdict_is_of_the_part_as_it_is_after_the_work(place):
    rod, seen = make_stretcher("ST-014", insulation_side="left"), []

    def judge(fittings):
        seen.append(Stretcher.objects.get(pk=fittings[0].part.pk).insulation_side)
        return [Judged(Outcome.SUITS)]

    fitted = fitting.fit(rod, place, on=MAY, by="Lineman A", work=Work(turned=True), judge=judge)
    assert seen == ["right"]
    assert (fitted.outcome, fitted.against) == ("suits", "")


def test_a_lost_motion_fitting_is_judged_as_it_is_set_where_it_is_fitted(place):
    sleeve = make_lost_motion_fitting("LM-1", lost_motion_min_mm=20, lost_motion_max_mm=60)
    fitting.fit(sleeve, place, on=MAY, by="Lineman A", work=Work(lost_motion_mm=35))
    sleeve = LostMotionFitting.objects.get()
    points = type(place.points).objects.with_places().get()
    circuit = circuit_findings([points])[points.pk]
    there = (
        points_facts(points, {}, {}, circuit, railway_facts(), NOTHING_CONFIRMED)
        .place(2)
        .lost_motion_fitting
    )
    assert (there.lost_motion_min_mm, there.lost_motion_max_mm) == (35, 35)
    assert part_facts(sleeve).lost_motion_max_mm == 60
    with pytest.raises(IntegrityError, match="lost_motion_set_mm"), transaction.atomic():
        LostMotionFitting.objects.update(lost_motion_set_mm=70)


def test_a_part_found_fitted_was_not_worked_on(place):
    rod = make_stretcher("ST-014", insulation_side="left")
    with pytest.raises(ValidationError, match="leave the work out"):
        fitting.fit(rod, place, on=MAY, by="Lineman A", found=True, work=Work(turned=True))
    assert Stretcher.objects.get().insulation_side == "left"


# Against the verdict


def test_what_does_not_suit_is_refused_with_the_rule_and_the_way_out_and_nothing_is_done(place):
    old, rod = make_stretcher("ST-001"), make_stretcher("ST-014", insulation_side="left")
    make_fitting(old, place)
    with pytest.raises(ValidationError) as refused:
        fitting.fit(
            rod, place, on=MAY, by="Lineman A", replacing="worn", work=Work(turned=True),
            judge=says(MISFIT),
        )  # fmt: skip
    assert refused.value.message_dict["fitted_reason"] == [
        (
            "ST-014 does not suit SKB 12, second stretcher. Condition: Scrap. If it is fitted all "
            'the same, give the reason in "Why it was fitted"; if it was only found there, mark '
            '"Found fitted".'
        )
    ]
    assert Stretcher.objects.get(tag="ST-014").insulation_side == "left"
    assert [f.part.tag for f in Fitting.objects.current()] == ["ST-001"]


@pytest.mark.parametrize("given", [{"reason": "a trial"}, {"found": True}])
def test_with_a_reason_or_found_it_stays_marked_until_agreed_or_out(place, given):
    rod = make_stretcher("ST-014")
    fitted = fitting.fit(rod, place, on=MAY, by="Lineman A", judge=says(MISFIT), **given)
    assert list(Fitting.objects.against_the_verdict()) == [fitted]
    fitting.agree(fitted, by="Engineer C", words="until the next spare comes")
    assert not Fitting.objects.against_the_verdict().exists()
    assert Fitting.objects.get().is_against_the_verdict
    assert fitted.history.count() == 2
    with pytest.raises(ValidationError, match="not waiting for agreement"):
        fitting.agree(fitted, by="Engineer C", words="again")


def test_a_later_rod_ends_it_without_agreement(place):
    make_stretcher("ST-015")
    rod, other = make_stretcher("ST-014"), Stretcher.objects.get(tag="ST-015")
    fitting.fit(rod, place, on=MARCH, by="Lineman A", reason="a trial", judge=says(MISFIT))
    fitting.fit(other, place, on=MAY, by="Lineman A", replacing="trial over")
    assert not Fitting.objects.against_the_verdict().exists()


def test_a_part_moved_is_judged_where_it_goes(place):
    there = make_position(place.points, 3)
    fitted = fitting.fit(make_stretcher("ST-014"), place, on=MARCH, by="Lineman A")
    moved = fitting.move(fitted, there, on=MAY, by="Lineman A", reason="better", judge=says(MISFIT))
    assert (moved.outcome, moved.against) == ("does_not_suit", "Condition: Scrap.")
    assert list(Fitting.objects.against_the_verdict()) == [moved]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"outcome": "excellent"}, "fitting_outcome_word"),
        ({"outcome": "does_not_suit", "fitted_reason": "x"}, "fitting_misfit_says_against"),
        ({"outcome": "suits", "against": "x"}, "fitting_misfit_says_against"),
        ({"outcome": "does_not_suit", "against": "x"}, "fitting_misfit_has_a_reason"),
        ({"agreed_on": JULY, "agreed_by": "C", "agreement": "x"}, "fitting_agreement_is_whole"),
        (
            {"outcome": "does_not_suit", "against": "x", "found_fitted": True, "agreed_on": JULY},
            "fitting_agreement_is_whole",
        ),
        ({"order_on_day": 0}, "order_on_day"),
    ],
)
def test_the_database_itself_refuses_half_a_judgement(place, fields, sentence):
    with pytest.raises(IntegrityError, match=sentence), transaction.atomic():
        make_fitting(make_stretcher(), place, fitted_on=MAY, **fields)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"outcome": "suits", "against": ""}, "did not suit when it was fitted stays recorded"),
        ({"against": "another"}, "did not suit when it was fitted stays recorded"),
        ({"agreement": "another"}, "the responsible engineer agreed stays recorded"),
        ({"agreed_on": None, "agreed_by": "", "agreement": ""}, "engineer agreed stays recorded"),
    ],
)
def test_the_database_itself_keeps_the_mark_and_the_agreement(place, change, sentence):
    fitted = fitting.fit(
        make_stretcher(), place, on=MAY, by="Lineman A", reason="a trial", judge=says(MISFIT)
    )
    if "agree" in sentence:
        fitting.agree(fitted, by="Engineer C", words="until winter")
    with pytest.raises(IntegrityError, match=sentence), transaction.atomic():
        Fitting.objects.filter(pk=fitted.pk).update(**change)


# One day


def test_out_and_in_again_the_same_day_and_twice(place):
    rod, other = make_stretcher("ST-014"), make_stretcher("ST-015")
    fitting.fit(rod, place, on=MAY, by="Lineman A")
    for one, why in ((other, "tried"), (rod, "did not go in"), (other, "after all"), (rod, "no")):
        fitting.fit(one, place, on=MAY, by="Lineman A", replacing=why)
    story = place.fittings.in_order()
    assert [(f.part.tag, f.order_on_day) for f in story] == [
        ("ST-014", 5), ("ST-015", 4), ("ST-014", 3), ("ST-015", 2), ("ST-014", 1),
    ]  # fmt: skip
    assert [f.taken_out_on for f in story] == [None, MAY, MAY, MAY, MAY]
    assert [f.part.tag for f in Fitting.objects.on(MAY)] == ["ST-014"]


def test_a_part_goes_about_and_comes_back_in_one_day(place):
    there = make_position(place.points, 3)
    first = fitting.fit(make_stretcher("ST-014"), place, on=MARCH, by="Lineman A")
    second = fitting.move(first, there, on=MAY, by="Lineman A", reason="try")
    third = fitting.move(second, place, on=MAY, by="Lineman A", reason="back")
    assert [f.pk for f in third.part.fittings.in_order()] == [third.pk, second.pk, first.pk]
    assert (second.order_on_day, third.order_on_day) == (1, 2)


def test_what_is_still_in_cannot_be_followed_the_same_day(place):
    rod = make_stretcher("ST-014")
    make_fitting(rod, place, fitted_on=MAY)
    there = make_position(place.points, 3)
    ended = {"taken_out_on": MAY, "taken_out_reason": "x"}
    with pytest.raises(IntegrityError, match="one place at a time"), transaction.atomic():
        make_fitting(rod, there, fitted_on=MAY, order_on_day=2, **ended)
    with pytest.raises(IntegrityError, match="one part of a kind"), transaction.atomic():
        make_fitting(make_stretcher(), place, fitted_on=MAY, order_on_day=2, **ended)


@pytest.mark.parametrize("field", ["same part", "same place"])
def test_two_fittings_of_one_day_have_an_order(place, field):
    rod = make_stretcher("ST-014")
    ended = {"fitted_on": MAY, "taken_out_on": MAY, "taken_out_reason": "x"}
    make_fitting(rod, place, **ended)
    there = make_position(place.points, 3)
    part, at = (rod, there) if field == "same part" else (make_stretcher("ST-015"), place)
    with pytest.raises(IntegrityError), transaction.atomic():
        make_fitting(part, at, **ended)
    make_fitting(part, at, **ended, order_on_day=2)
    make_fitting(make_machine(), place, **ended)  # another kind is another story


# Taking out


def test_taken_out_it_is_put_away_in_the_same_act(place):
    rod = make_stretcher("ST-014", condition="good")
    fitted = fitting.fit(rod, place, on=MARCH, by="Lineman A")
    away = PutAway("Shed B, rack 2", Condition.REPAIR, set_aside=True)
    fitting.take_out(fitted, on=MAY, by="Lineman A", reason="cracked", put_away=away)
    rod = Stretcher.objects.get()
    assert (rod.kept_at, rod.condition, rod.quarantined) == ("Shed B, rack 2", "repair", True)
    assert rod.history.first().history_change_reason == "taken out of SKB 12, second stretcher"


def test_what_is_not_said_of_it_stays_as_it_was(place):
    rod = make_stretcher("ST-014", condition="worn", quarantined=True)
    fitted = fitting.fit(rod, place, on=MARCH, by="Lineman A")
    fitting.take_out(fitted, on=MAY, by="Lineman A", reason="worn", put_away=PutAway("Shed B"))
    rod = Stretcher.objects.get()
    assert (rod.kept_at, rod.condition, rod.quarantined) == ("Shed B", "worn", True)
