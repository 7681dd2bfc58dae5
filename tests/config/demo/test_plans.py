"""Golden facts of the demo railway, read back from the drawing of each set of points."""

import pytest

from assets.engineering.words import Lie
from assets.models import Points
from assets.plan.page import plan_context
from config.points.reader import facts_of
from tests.assets.drawings import distances_drawn, picture, with_class, words_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("demo_railway")]
LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)


def test_the_plans_of_the_demo_railway_are_true_to_its_register_and_legible():
    all_points = list(Points.objects.with_places())
    assert len(all_points) >= 14
    for points, facts in zip(all_points, facts_of(all_points), strict=True):
        for lie in LIES:
            context = plan_context(points, lie, facts)
            drawn = picture(context)
            assert drawn.get("data-lie") == lie
            assert_rods_are_where_and_as_recorded(drawn, facts)
            assert_letters_are_legible_and_on_the_sheet(context["drawing"], points.key)


def assert_rods_are_where_and_as_recorded(drawn, facts):
    places = {int(g.get("data-order")): g for g in with_class(drawn, "place")}
    distances = distances_drawn(drawn)
    labels = [words_of(label) for label in with_class(drawn, "rod-label")]
    assert set(places) == {place.order for place in facts.places}
    for place in facts.places:
        drawn_place, rod = places[place.order], place.stretcher
        if place.distance_mm is not None:
            assert distances[place.order] == pytest.approx(place.distance_mm, abs=0.5)
        if rod is None:
            assert f"{place.order} · no stretcher recorded" in labels
            continue
        colour = "colour ?" if rod.generation == "unknown" else rod.generation
        assert f"{place.order} · {rod.tag} {colour}" in labels
        both_or_none = {"both": {"left", "right"}, "none": set()}
        sides = both_or_none.get(rod.insulation_side, {rod.insulation_side})
        assert insulation_drawn(drawn_place) == sides
        profiles = {
            s.get("data-side"): s.get("data-profile") for s in with_class(drawn_place, "shoe")
        }
        assert profiles == {"left": rod.left_shoe.profile, "right": rod.right_shoe.profile}


def insulation_drawn(place) -> set[str]:
    """The sides with an insulation mark, each found on its own side of the sheet's middle."""
    sides = set()
    for mark in with_class(place, "insulation"):
        side = mark.get("data-side")
        if side != "unknown":
            assert (float(mark.get("data-u")) < 180) == (side == "left")
        sides.add(side)
    return sides


def assert_letters_are_legible_and_on_the_sheet(drawing, key):
    """Eleven pixels high on a phone 360 wide, of which the page leaves 334 for the drawing."""
    assert 12 * 334 / drawing.width >= 11
    for label in drawing.labels:
        widest = max(len(line) for line in label.lines) * 6.6
        start = {"start": 0, "middle": widest / 2, "end": widest}[label.anchor]
        assert label.u - start >= -1, (key, label)
        assert label.u - start + widest <= drawing.width + 1, (key, label)
        assert 0 < label.v <= drawing.height, (key, label)
