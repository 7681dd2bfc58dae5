"""The plan of the points: true to the register, legible, and open about what is not known."""

import itertools
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assets.engineering.blade import Blade
from assets.engineering.facts import PlaceFacts, PointsFacts, StretcherFacts
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import SemiCurved
from assets.engineering.words import (
    Depth,
    DriveLug,
    Ends,
    Heel,
    Lie,
    Role,
    Side,
    Soleplate,
)
from assets.models import Points
from assets.plan.geometry import draw
from assets.plan.layout import lay_out
from assets.plan.notes import Note
from assets.plan.page import plan_context
from assets.plan.spread import spread
from assets.plan.words import points_words, rod_words
from config.points.plan_page import plan_shown
from config.points.reader import facts_of, known
from tests.assets.drawings import SVG, distances_drawn, picture, with_class, words_of
from tests.builders import (
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_rail,
    make_stretcher,
)

A_SWITCH = SemiCurved(24, 1676.4, 146_913.6, 69.85, 6096)


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


def only_rod(**known):
    """The drawing of one driven place whose rod is known to be so."""
    rod = StretcherFacts("ST-1", **known)
    place = PlaceFacts(1, Role.DRIVE, 950, driven=True, stretcher=rod)
    points = PointsFacts(gauge_mm=1435, machine_side=Side.LEFT, places=(place,))
    return draw(points, lie=Lie.LEFT_CLOSED, shape=A_SWITCH, heel=Heel.HELD)


@pytest.mark.parametrize(
    ("end", "sides"),
    [
        (Ends.LEFT, {"left"}),
        (Ends.RIGHT, {"right"}),
        (Ends.BOTH, {"left", "right"}),
        (Ends.UNKNOWN, {"unknown"}),
    ],
)
def test_the_drive_lug_is_drawn_at_its_end_and_the_drive_takes_hold_of_it(end, sides):
    plan = only_rod(drive_lug=DriveLug.PLAIN, lug_end=end)
    drawn = picture(plan)
    assert {lug.get("data-side") for lug in with_class(drawn, "lug")} == sides
    asked = "At which end the first stretcher carries its drive lug is not known."
    assert (asked in plan.doubts) == (end is Ends.UNKNOWN)
    [drive] = with_class(drawn, "drive-rod")
    meets = float(drive.get("d").split("H")[1].split()[0])
    [rod] = lay_out(plan).rods
    assert meets == min(lug.u for lug in rod.lugs)  # from the left, the nearest
    third = (rod.right - rod.left) / 3
    near = {"left": rod.left + third, "right": rod.right - third}
    for lug in rod.lugs:
        if lug.side == "left":
            assert rod.left + 30 < lug.u < near["left"] + 1
        elif lug.side == "right":
            assert near["right"] - 1 < lug.u < rod.right - 30


@pytest.mark.parametrize(
    ("known", "drawn_at", "kind"),
    [
        ({"kicker": True, "kicker_end": Ends.LEFT}, {"left"}, "known"),
        ({"kicker": True, "kicker_end": Ends.BOTH}, {"left", "right"}, "known"),
        ({"kicker": True}, {"left", "right"}, "unknown"),
        ({"kicker": False, "kicker_end": Ends.NONE}, set(), None),
    ],
)
def test_a_kicker_is_drawn_at_its_end_and_asked_about_at_both(known, drawn_at, kind):
    plan = only_rod(**known)
    kickers = with_class(picture(plan), "kicker")
    assert {k.get("data-side") for k in kickers} == drawn_at
    assert all(k.get("class") == f"kicker {kind}" for k in kickers)
    asked = "At which end the first stretcher carries its kicker is not known."
    assert (asked in plan.doubts) == (kind == "unknown")


def test_studs_soleplate_and_a_timber_cut_away_are_drawn_and_said():
    places = (
        PlaceFacts(1, Role.DRIVE, 1000, space_behind_mm=100, chiselled=True),
        PlaceFacts(2, Role.BACK, 1500, space_ahead_mm=120, chiselled=False),
    )
    points = PointsFacts(
        gauge_mm=1435,
        places=places,
        studs_mm=(2600.0, 3400.0),
        soleplate=Soleplate.INSULATED,
        depth=Depth.FULL,
    )
    plan = draw(points, lie=Lie.LEFT_CLOSED, shape=A_SWITCH, heel=Heel.HELD)
    assert [(t.toe_edge_cut, t.heel_edge_cut) for t in plan.timbers] == [(True, False)]
    drawn = picture(plan)
    studs = with_class(drawn, "stud")
    assert [s.get("data-side") for s in studs] == ["left", "right"] * 2
    assert len(with_class(drawn, "cut")) == 1
    [plate] = with_class(drawn, "soleplate")
    assert plate.get("data-soleplate") == "insulated"
    assert float(plate.get("width")) > 150  # from stock rail to stock rail
    assert points_words(points) == (
        "Full depth, soleplate insulated, studs at 2600 and 3400 mm from the toe."
    )


def test_what_nobody_looked_at_is_neither_drawn_nor_called_none():
    points = PointsFacts(gauge_mm=1435, track_circuited=True)
    plan = draw(points, lie=Lie.LEFT_CLOSED, shape=A_SWITCH, heel=Heel.HELD)
    drawn = picture(plan)
    assert not with_class(drawn, "stud") + with_class(drawn, "soleplate") + with_class(drawn, "cut")
    assert points_words(points) == (
        "Switch depth not known, soleplate not known, studs behind the planing not known."
    )
    asked = "Whether there is a soleplate under the toe, and insulated, is not known."
    assert asked in plan.doubts
    none = PointsFacts(soleplate=Soleplate.NONE, studs_mm=(), depth=Depth.SHALLOW)
    assert points_words(none) == "Shallow depth, no soleplate, no studs behind the planing."


def test_what_a_rod_carries_is_said_with_its_end():
    rod = StretcherFacts(
        kicker=True,
        kicker_end=Ends.BOTH,
        drive_lug=DriveLug.THIN,
        lug_end=Ends.RIGHT,
        welded=True,
        depth=Depth.SHALLOW,
    )
    place = PlaceFacts(1, Role.DRIVE, 900, driven=True, chiselled=True, stretcher=rod)
    assert rod_words(place) == [
        "kicker at both ends",
        "thin drive lug at the right end",
        "welded",
        "for a shallow-depth switch",
        "timber cut away",
        "driven",
    ]
    asked = StretcherFacts(kicker=True, drive_lug=DriveLug.PLAIN)
    assert rod_words(PlaceFacts(2, Role.BACK, stretcher=asked)) == [
        "kicker, at which end not known",
        "plain drive lug, at which end not known",
    ]


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
    assert (
        "Stretchers, drive rods, detection rods and soleplate do not short the track circuit"
        in page
    )


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
