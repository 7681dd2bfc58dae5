"""The plan of the points: true to the register, legible, and open about what is not known."""

import itertools
from datetime import date
from xml.etree import ElementTree

import pytest
from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from assets.engineering.blade import Blade
from assets.engineering.facts import PlaceFacts, PointsFacts, StretcherFacts
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import SemiCurved
from assets.engineering.words import Heel, Lie, Role, Side
from assets.models import Points
from assets.plan.geometry import draw
from assets.plan.layout import lay_out
from assets.plan.notes import Note
from assets.plan.page import plan_context
from assets.plan.spread import spread
from config import demo
from config.points.plan_page import plan_shown
from config.points.reader import facts_of, known
from tests.builders import (
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_rail,
    make_stretcher,
)

SVG = "{http://www.w3.org/2000/svg}"
LIES = (Lie.LEFT_CLOSED, Lie.RIGHT_CLOSED)
A_SWITCH = SemiCurved(24, 1676.4, 146_913.6, 69.85, 6096)


def picture(plan_or_context) -> ElementTree.Element:
    """The drawing as a page shows it."""
    context = plan_or_context
    if not isinstance(context, dict):
        context = {"drawing": lay_out(plan_or_context)}
    text = render_to_string("assets/_plan.svg", context)
    return ElementTree.fromstring(text.replace("<svg ", f'<svg xmlns="{SVG[1:-1]}" ', 1))


def words_of(element) -> str:
    return " ".join("".join(element.itertext()).split())


def with_class(picture, word: str) -> list:
    return [e for e in picture.iter() if word in e.get("class", "").split()]


def distances_drawn(picture) -> dict[int, float]:
    """mm from the toe of every rod, measured off the drawing with its own scale."""
    toe, along = float(picture.get("data-toe")), float(picture.get("data-along"))
    return {
        int(place.get("data-order")): (toe - float(place.get("data-v"))) / along
        for place in with_class(picture, "place")
    }


# --- golden facts, read back from the drawing ---------------------------------------------------


@pytest.mark.django_db
def test_the_plans_of_the_demo_railway_are_true_to_its_register_and_legible():
    demo.load()
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


# --- the rails ----------------------------------------------------------------------------------


def at(outline, x_mm: float) -> list[float]:
    """Both edges of a rail head at x, in mm across."""
    half = len(outline) // 2
    one, other = outline[:half], outline[half:][::-1]
    return [interpolate(edge, x_mm) for edge in (one, other)]


def interpolate(edge, x_mm):
    for (u1, x1), (u2, x2) in itertools.pairwise(edge):
        if x1 <= x_mm <= x2:
            return u1 + (u2 - u1) * (x_mm - x1) / (x2 - x1)
    raise AssertionError(f"{x_mm} is not on this rail")


def rail(plan, side, stock):
    return next(r for r in plan.rails if r.side == side and r.stock is stock).outline


def test_the_closed_switch_rail_has_the_shape_of_its_design():
    """A switch, offsets at 2, 5.5, 10 and 20 ft: worked out from 482 ft and 1 in 24
    (prototype data of a model engineering society, s-scale.org.uk/turnout.htm)."""
    points = PointsFacts(gauge_mm=1435)
    for hand in (Side.LEFT, Side.RIGHT, Side.UNKNOWN):
        plan = draw(points, lie=Lie.LEFT_CLOSED, hand=hand, shape=A_SWITCH, heel=Heel.HELD)
        for feet, offset in ((2, 25.40), (5.5, 69.85), (10, 133.44), (20, 320.79)):
            x = feet * 304.8
            stock = at(rail(plan, Side.LEFT, True), x)[1]
            assert at(rail(plan, Side.LEFT, False), x)[1] - stock == pytest.approx(offset, abs=0.5)


def test_the_stock_rails_spread_to_the_hand_of_the_points():
    points = PointsFacts(gauge_mm=1435)
    left = draw(points, lie=Lie.LEFT_CLOSED, hand=Side.LEFT, shape=A_SWITCH)
    right = draw(points, lie=Lie.LEFT_CLOSED, hand=Side.RIGHT, shape=A_SWITCH)
    heel = 6096
    assert at(rail(left, Side.RIGHT, True), heel)[1] == pytest.approx(717.5)
    assert at(rail(left, Side.LEFT, True), heel)[1] == pytest.approx(-717.5 - 320.79, abs=0.1)
    assert at(rail(right, Side.LEFT, True), heel)[1] == pytest.approx(-717.5)


def test_the_open_switch_rail_lies_where_the_readings_put_it():
    blade = Blade.through([200, 2400], [104, 45], 6096)
    opening = OpenSwitch(A_SWITCH, blade)
    plan = draw(PointsFacts(gauge_mm=1435), lie=Lie.LEFT_CLOSED, shape=A_SWITCH, opening=opening)
    assert plan.opening_read
    assert plan.opening_mm == pytest.approx(blade.toe_mm)
    for x in (0, 508, 2032, 4064):  # places at which the outline has a point
        stock = at(rail(plan, Side.RIGHT, True), x)[1]
        back = at(rail(plan, Side.RIGHT, False), x)[0]
        assert stock - back == pytest.approx(float(opening.fwc(x)), abs=0.2)


def test_without_readings_the_usual_opening_is_drawn_and_said_so():
    plan = draw(PointsFacts(gauge_mm=1435), lie=Lie.RIGHT_CLOSED, shape=A_SWITCH, heel=Heel.HELD)
    assert (plan.opening_mm, plan.opening_read) == (108, False)
    assert any("usual 108 mm" in doubt for doubt in plan.doubts)
    assert "left: open 108 mm (drawn)" in [words_of(t) for t in with_class(picture(plan), "lie")]


# --- what is not known --------------------------------------------------------------------------


def test_points_of_which_nothing_is_known_are_drawn_as_questions():
    rod = StretcherFacts("ST-900")
    points = PointsFacts("QRY 9", places=(PlaceFacts(1, Role.DRIVE, driven=True, stretcher=rod),))
    plan = draw(points, lie=Lie.UNKNOWN)
    told = " ".join(plan.doubts)
    for about in ("lie", "shape", "gauge", "hand", "head", "heel", "distance", "insulated"):
        assert about in told, about
    drawn = picture(plan)
    assert "1 · ST-900 colour ?" in [words_of(t) for t in with_class(drawn, "rod-label")]
    assert "? mm" in [words_of(t) for t in with_class(drawn, "distance")]
    assert "drive ? side ?" in [words_of(t) for t in with_class(drawn, "machine")]
    assert [words_of(m) for m in with_class(drawn, "insulation")] == ["?"]
    assert with_class(drawn, "switch")[0].get("class").endswith("guess")


def test_a_known_insulation_and_known_shoes_leave_no_question():
    points = PointsFacts(gauge_mm=1435, machine_side=Side.LEFT, normal_lie=Lie.LEFT_CLOSED)
    plan = draw(points, lie=Lie.LEFT_CLOSED, hand=Side.LEFT, shape=A_SWITCH, heel=Heel.HELD)
    assert plan.doubts == (
        (
            "The opening is drawn at the usual 108 mm: no readings that hold for these stretchers "
            "give it."
        ),
        "No places for stretchers are recorded.",
    )


def test_readings_that_are_too_few_are_not_called_none():
    points = PointsFacts(gauge_mm=1435, normal_lie=Lie.LEFT_CLOSED)
    read = Note(600, Side.RIGHT, "FWC 58 mm", "within")
    defect = Note(600, Side.RIGHT, "a defect", "planned", number=7)
    some = ((read, defect), "too few readings together")
    for notes, lacking in (some, ((defect,), "no readings")):
        plan = draw(points, lie=Lie.LEFT_CLOSED, shape=A_SWITCH, heel=Heel.HELD, notes=notes)
        assert (
            f"The opening is drawn at the usual 108 mm: {lacking} that hold for these "
            f"stretchers give it."
        ) in plan.doubts


def test_rods_recorded_on_top_of_each_other_are_both_drawn_and_questioned():
    rods = tuple(
        PlaceFacts(n, Role.INTERMEDIATE, 900 + 5 * n, stretcher=StretcherFacts(f"ST-{n}"))
        for n in (1, 2, 3)
    )
    plan = draw(PointsFacts(gauge_mm=1435, places=rods), lie=Lie.LEFT_CLOSED, shape=A_SWITCH)
    assert "recorded 5 mm apart: measure both" in " ".join(plan.doubts)
    labels = [label for label in lay_out(plan).labels if label.kind == "rod-label"]
    heights = sorted(label.v for label in labels)
    assert all(b - a >= 12 for a, b in itertools.pairwise(heights))


def test_a_rod_beyond_the_heel_is_drawn_there_and_questioned():
    place = PlaceFacts(1, Role.BACK, 7000, stretcher=StretcherFacts("ST-1"))
    plan = draw(PointsFacts(gauge_mm=1435, places=(place,)), lie=Lie.LEFT_CLOSED, shape=A_SWITCH)
    assert distances_drawn(picture(plan))[1] == pytest.approx(7000, abs=0.5)
    assert any("beyond the heel" in doubt for doubt in plan.doubts)


def test_timbers_are_drawn_from_the_free_space_at_the_rods():
    places = (
        PlaceFacts(1, Role.DRIVE, 1000, space_ahead_mm=150, space_behind_mm=100),
        PlaceFacts(2, Role.BACK, 1500, space_ahead_mm=120),
    )
    plan = draw(PointsFacts(places=places), lie=Lie.LEFT_CLOSED, shape=A_SWITCH)
    edges = [(t.toe_edge_mm, t.heel_edge_mm) for t in plan.timbers]
    assert edges == [(600, 850), (1100, 1380)]
    assert [t.toe_edge_known for t in plan.timbers] == [False, True]


def test_spaces_that_leave_no_room_for_a_timber_are_questioned():
    places = (
        PlaceFacts(1, Role.DRIVE, 1000, space_behind_mm=300),
        PlaceFacts(2, Role.BACK, 1500, space_ahead_mm=180),
    )
    plan = draw(PointsFacts(places=places), lie=Lie.LEFT_CLOSED, shape=A_SWITCH)
    assert plan.timbers == ()
    assert any("no room for a timber" in doubt for doubt in plan.doubts)


# --- drive, kicker, notes -----------------------------------------------------------------------


@pytest.fixture
def points(db):
    points = make_points("12")
    for order in (0, 1, 2):
        lock = {"for_lock": True, "notches": "cut"} if order == 0 else {}
        rod = make_stretcher(f"ST-{order}", kicker=order == 1, **lock)
        place = make_position(points, order, kicker_required=order == 1)
        make_fitting(rod, place)
        if order == 1:
            make_fitting(make_machine("MC-1"), place)
            make_fitting(make_lost_motion_fitting("LM-1"), place)
    return points


def drawn_of(points, lie=Lie.LEFT_CLOSED):
    read = Points.objects.with_places().get(pk=points.pk)
    return picture(plan_shown(known(read, date(2026, 6, 1)), lie))


def test_machine_lost_motion_and_kicker_are_drawn_with_their_tags(points):
    drawn = drawn_of(points)
    [box] = [e for e in with_class(drawn, "machine") if e.tag == f"{SVG}rect"]
    assert float(box.get("x")) + float(box.get("width")) < 180  # machine side: left
    assert "MC-1" in words_of(with_class(drawn, "machine")[1])
    assert "LM-1" in [words_of(t) for t in with_class(drawn, "lost-motion")]
    assert {k.get("data-side") for k in with_class(drawn, "kicker")} == {"left", "right"}
    assert len(with_class(drawn, "drive-rod")) == 2  # the drive rod and the lock rod


def test_readings_and_defects_stand_at_their_places_on_their_side(points):
    notes = (
        Note(1400, Side.RIGHT, "FWC 44 mm", "intervention"),
        Note(2600, Side.LEFT, "Loose bolt", "urgent", number=7, url="/defects/7/"),
        Note(None, Side.UNKNOWN, "Ballast", "planned", number=9),
    )
    read = Points.objects.with_places().get(pk=points.pk)
    [facts] = facts_of([read])
    context = plan_context(read, Lie.LEFT_CLOSED, facts, notes=notes)
    drawn = picture(context)
    [reading] = with_class(drawn, "note")
    assert words_of(reading) == "✕ FWC 44 mm"
    assert float(reading.get("x")) > 300
    [mark] = with_class(drawn, "number")
    assert words_of(mark) == "7"
    assert mark.get("data-side") == "left"
    rows = {row["place"].order: [note.words for note in row["notes"]] for row in context["rows"]}
    assert rows == {0: [], 1: ["FWC 44 mm"], 2: ["Loose bolt"]}
    assert [note.words for note in context["unplaced"]] == ["Ballast"]


def test_the_points_page_shows_the_plan_and_turns_it_over(points, as_technician):
    page = as_technician.get("/points/SKB/12/?lie=right_closed").content.decode()
    assert "Plan of SKB 12, right switch rail closed" in page
    assert 'href="?lie=left_closed#plan"' in page
    assert "style=" not in page[page.index("<svg class") : page.index("</svg>")]


def test_the_plan_has_a_page_of_its_own_in_the_normal_lie(points, as_technician):
    page = as_technician.get("/points/SKB/12/plan/?lie=sideways").content.decode()
    assert "Plan of SKB 12, left switch rail closed" in page
    assert "The stretchers do not short the track circuit" in page


def test_points_without_rail_or_design_or_places_still_have_a_plan(db, as_technician):
    make_points("13", design=None, rail_section=None, gauge_mm=None, machine_side="unknown")
    make_rail()
    answer = as_technician.get("/points/SKB/13/plan/")
    assert answer.status_code == 200
    assert "No places for stretchers are recorded" in answer.content.decode()


# --- labels moved apart -------------------------------------------------------------------------


@given(st.lists(st.tuples(st.floats(0, 500), st.floats(5, 40)), max_size=12))
def test_labels_never_overlap_and_free_ones_stay_where_they_are(labels):
    labels.sort()
    wanted, heights = [w for w, _ in labels], [h for _, h in labels]
    tops = spread(wanted, heights, [1.0] * len(labels))
    for i in range(len(tops) - 1):
        assert tops[i] + heights[i] <= tops[i + 1] + 1e-6
    if all(w + h <= v for w, h, v in zip(wanted, heights, wanted[1:], strict=False)):
        assert tops == pytest.approx(wanted)


def test_two_labels_that_want_the_same_place_share_the_move_and_a_firm_one_stays():
    assert spread([100, 100], [20, 20], [1, 1]) == pytest.approx([90, 110])
    assert spread([100, 100], [20, 20], [1000, 1])[0] == pytest.approx(100, abs=0.1)
