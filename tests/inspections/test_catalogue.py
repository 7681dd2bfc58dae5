"""What is measured and looked at where: only what applies, and all that is not known."""

from datetime import date

import pytest

from inspections import checks
from inspections.catalogue.looks import ITEMS, items_at, items_of_points
from inspections.catalogue.quantities import QUANTITIES
from inspections.catalogue.rod_places import rod_places_of
from inspections.catalogue.spots import spots_of
from inspections.catalogue.trials import Trial
from inspections.words import ItemCode, QuantityCode, Verdict
from tests import builders

DAY = date(2026, 5, 4)
pytestmark = pytest.mark.django_db


def points_with(rod: dict | None, position: dict | None = None, **fields):
    points = builders.make_points(**fields)
    place = builders.make_position(points, 1, **(position or {}))
    if rod is not None:
        builders.make_fitting(builders.make_stretcher(**rod), place)
    return points


def asked(points, order: int = 1) -> set[str]:
    """Codes of the quantities asked at a place."""
    spots = spots_of(points, rod_places_of(points, DAY), {})
    return {s.quantity.code.value for s in spots if s.position and s.position.order == order}


def looked_at(points) -> set[str]:
    return {
        item.code.value for rod_place in rod_places_of(points, DAY) for item in items_at(rod_place)
    }


def test_the_catalogue_describes_every_quantity_and_every_item():
    assert checks.faults_of_quantities() == []
    assert checks.faults_of_items() == []


def test_the_check_names_a_quantity_and_an_item_that_are_missing():
    fewer = {c: q for c, q in QUANTITIES.items() if c != QuantityCode.TORQUE}
    assert checks.faults_of_quantities(fewer) == ["torque is not in the catalogue"]
    fewer = {c: i for c, i in ITEMS.items() if c != ItemCode.WELD}
    assert checks.faults_of_items(fewer) == ["weld is not in the catalogue"]


def test_both_lies_are_read_at_each_stretcher_and_clearance_not_at_the_lock():
    points = builders.make_rigged_points()
    spots = spots_of(points, rod_places_of(points, DAY), {})
    fwc = [(s.position.order, s.lie) for s in spots if s.quantity.code == "fwc" and s.position]
    rso = [(s.position.order, s.lie) for s in spots if s.quantity.code == "residual_opening"]
    gaps = [(s.position.order, s.lie) for s in spots if s.quantity.code == "closed_gap"]
    lies = ("left_closed", "right_closed")
    assert fwc == [(order, lie) for order in (1, 2) for lie in lies]
    # The B switch is planed over 7 ft 4 in (2234 mm), and its second stretcher is at 2600 mm.
    assert rso == [(order, lie) for order in (0, 1) for lie in lies]
    assert gaps == [(2, lie) for lie in lies]


def test_where_the_shape_is_not_known_residual_opening_is_asked_at_every_stretcher():
    points = builders.make_points(design=None)
    for order in (0, 1, 2):
        builders.make_position(points, order)
    for order in (0, 1, 2):
        assert "residual_opening" in asked(points, order)
        assert "closed_gap" not in asked(points, order)


def test_the_gap_expected_behind_the_planing_is_said_with_the_question():
    points = builders.make_rigged_points()
    spots = spots_of(points, rod_places_of(points, DAY), {})
    told = {s.expected_words for s in spots if s.quantity.code == "closed_gap"}
    assert told == {"expected 11.8 mm"}
    assert {s.expected_words for s in spots if s.quantity.code != "closed_gap"} == {""}


IRSE = {  # IRSE News, February 2022, "Back to basics: Points, part one"; read as an excerpt (E)
    QuantityCode.LOCK_GO: Trial(1.5, "at the toe"),
    QuantityCode.LOCK_NO_GO: Trial(3.5, "in line with the first slide-chair bolt"),
    QuantityCode.DETECT_GO: Trial(3.5, "at the toe"),
    QuantityCode.DETECT_NO_GO: Trial(5, "at the toe"),
}


def trials_asked(points, trials) -> set[tuple]:
    spots = spots_of(points, rod_places_of(points, DAY), trials)
    return {(s.quantity.code.value, s.trial) for s in spots if s.quantity.answers}


def test_each_test_of_the_regime_is_asked_on_each_lie_with_its_gauge():
    points = builders.make_rigged_points(detection_rods="bare")
    assert trials_asked(points, IRSE) == {(code.value, trial) for code, trial in IRSE.items()}
    lies = [s.lie for s in spots_of(points, rod_places_of(points, DAY), IRSE) if s.quantity.answers]
    assert (lies.count("left_closed"), lies.count("right_closed")) == (4, 4)


def test_only_the_tests_of_the_regime_are_asked_and_without_one_the_lock_as_before():
    points = builders.make_rigged_points(detection_rods="bare")
    # GWSR S&T diary, 17 September 2021 (T): detection must not make with a 3 mm gauge.
    diary = {QuantityCode.DETECT_NO_GO: Trial(3, "at the toe")}
    assert {code for code, _ in trials_asked(points, diary)} == {"detect_no_go"}
    assert trials_asked(points, {}) == {("lock_go", None), ("lock_no_go", None)}


def test_points_without_a_lock_or_without_facing_movements_are_not_asked_for_its_tests():
    trailing = builders.make_rigged_points(use="trailing", detection_rods="bare")
    assert {code for code, _ in trials_asked(trailing, IRSE)} == {"lock_go", "lock_no_go"}
    unlocked = builders.make_points(detection_rods="unknown")
    assert {code for code, _ in trials_asked(unlocked, IRSE)} == {"detect_go", "detect_no_go"}
    undetected = builders.make_rigged_points(detection_rods="none")
    assert {code for code, _ in trials_asked(undetected, IRSE)} == {"lock_go", "lock_no_go"}


def test_holding_force_is_asked_only_where_there_is_no_lock():
    def has(points):
        spots = spots_of(points, rod_places_of(points, DAY), {})
        return "holding_force" in {s.quantity.code.value for s in spots}

    assert has(builders.make_points())
    assert not has(builders.make_rigged_points())


def test_engagement_and_notch_are_measured_at_the_lock_alone_and_its_casting_looked_at():
    points = builders.make_rigged_points()
    assert {"lock_engagement", "lock_slot"} <= asked(points, order=0)
    assert not {"lock_engagement", "lock_slot"} & asked(points, order=1)
    [at] = [
        rod_place.position.order
        for rod_place in rod_places_of(points, DAY)
        if "lock_casting" in {item.code.value for item in items_at(rod_place)}
    ]
    assert at == 0


def test_track_gauge_is_read_on_each_lie():
    points = builders.make_rigged_points()
    spots = spots_of(points, rod_places_of(points, DAY), {})
    at_toe = [s.lie for s in spots if s.quantity.code == "track_gauge" and not s.between]
    assert at_toe == ["left_closed", "right_closed"]


def test_clearance_is_read_once_more_on_each_lie_at_the_narrowest_place_between_the_rods():
    points = builders.make_rigged_points()
    free = [s for s in spots_of(points, rod_places_of(points, DAY), {}) if s.between]
    assert {(s.quantity.code.value, s.lie) for s in free} == {
        (quantity, lie)
        for quantity in ("track_gauge", "fwc", "fwp")
        for lie in ("left_closed", "right_closed")
    }
    assert {s.quantity.code.value for s in free if s.is_cross_check} == {"track_gauge", "fwp"}


def test_the_lock_is_tried_only_where_a_lock_stretcher_is_fitted():
    points = builders.make_rigged_points()
    assert {"lock_go", "lock_no_go"} <= asked(points, order=0)
    assert not {"lock_go", "lock_no_go"} & asked(points, order=1)
    without = builders.make_points()
    builders.make_position(without, 0)
    assert not {"lock_go", "lock_no_go"} & asked(without, order=0)


@pytest.mark.parametrize(
    ("kicker", "required", "wanted"),
    [
        (True, None, True),
        (False, None, False),
        (False, True, True),
        (None, None, True),
        (None, False, True),
        (False, False, False),
    ],
)
def test_kicker_clearance_is_asked_where_a_kicker_is_fitted_required_or_not_known(
    kicker, required, wanted
):
    points = points_with({"kicker": kicker}, {"kicker_required": required})
    assert ("kicker_clearance" in asked(points)) is wanted


@pytest.mark.parametrize(
    ("side", "kind", "sides"),
    [
        ("left", "bush_and_plates", ["left"]),
        ("right", "rubber_bush", ["right"]),
        ("both", "bush_and_plates", ["left", "right"]),
        ("unknown", "unknown", [""]),
        ("none", "none", []),
    ],
)
def test_insulation_is_measured_on_the_side_that_has_it(side, kind, sides):
    points = points_with({"insulation_side": side, "insulation_kind": kind})
    spots = spots_of(points, rod_places_of(points, DAY), {})
    assert [s.side for s in spots if s.quantity.code == "insulation_resistance"] == sides


@pytest.mark.parametrize(("driven", "wanted"), [(True, True), (None, True), (False, False)])
def test_lost_motion_is_measured_where_the_drive_takes_hold_or_may_do(driven, wanted):
    assert ("lost_motion" in asked(points_with({}, {"driven": driven}))) is wanted


def test_an_empty_place_asks_for_the_switch_but_not_for_a_rod():
    empty = points_with(None)
    assert asked(empty) == {"fwc", "fwp", "residual_opening", "lost_motion"}
    assert looked_at(empty) == set()


@pytest.mark.parametrize(
    ("rod", "item", "wanted"),
    [
        ({"form": "gooseneck"}, "gooseneck_crack", True),
        ({"form": "unknown"}, "gooseneck_crack", True),
        ({"form": "straight"}, "gooseneck_crack", False),
        ({"welded": True}, "weld", True),
        ({"welded": None}, "weld", True),
        ({"welded": False}, "weld", False),
        ({"insulation_kind": "rubber_bush"}, "rubber_bush", True),
        ({"insulation_kind": "rubber_bush", "adjustability": "fixed"}, "rubber_bush", False),
        ({"insulation_kind": "unknown"}, "rubber_bush", True),
        ({"insulation_kind": "bush_and_plates"}, "rubber_bush", False),
        ({"insulation_kind": "bush_and_plates"}, "insulation_plates", True),
        ({"insulation_kind": "unknown"}, "insulation_plates", True),
        ({"insulation_kind": "rubber_bush"}, "insulation_plates", False),
        ({"insulation_side": "none", "insulation_kind": "none"}, "insulation_plates", False),
        ({"insulation_side": "none", "insulation_kind": "unknown"}, "rubber_bush", False),
        ({"left_fixings": "captive_nut", "right_fixings": "captive_nut"}, "captive_nut", True),
        ({"left_fixings": "unknown", "right_fixings": "unknown"}, "captive_nut", True),
        (
            {"left_fixings": "full_and_half_nut", "right_fixings": "full_and_half_nut"},
            "captive_nut",
            False,
        ),
        (
            {
                "adjustability": "fixed",
                "left_fixings": "full_and_half_nut",
                "right_fixings": "full_and_half_nut",
            },
            "lock_nuts",
            True,
        ),
        (
            {
                "adjustability": "fixed",
                "left_fixings": "square_head",
                "right_fixings": "square_head",
            },
            "lock_nuts",
            False,
        ),
        ({"adjustability": "fixed"}, "greasing", False),
        ({}, "shoe_crack", True),
        ({}, "fixings", True),
        ({}, "ballast", True),
    ],
)
def test_a_thing_is_looked_at_where_it_is_fitted_or_may_be(rod, item, wanted):
    assert (item in looked_at(points_with(rod))) is wanted


def test_metal_touching_is_not_asked_where_there_is_no_track_circuit():
    assert "metal_touching" in looked_at(points_with({}))
    assert "metal_touching" in looked_at(points_with({}, track_circuited=None))
    assert "metal_touching" not in looked_at(points_with({}, track_circuited=False))


def test_switch_creep_and_its_like_are_looked_at_once_for_the_points():
    assert {item.code.value for item in items_of_points()} == {
        "wear_marks",
        "switch_creep",
        "slide_chairs",
        "rail_damage",
    }


@pytest.mark.parametrize(
    ("quantity", "value", "refused"),
    [
        ("switch_opening", 1080, True),
        ("switch_opening", 4.25, True),
        ("switch_opening", 108, False),
        ("fwc", -1, True),
        ("fwc", 0, False),
        ("fwc", float("nan"), True),
        ("track_gauge", 1435, False),
        ("track_gauge", 1495, False),
        ("track_gauge", 1495.1, True),
        ("fwp", 1380, False),
        ("fwp", 1436, True),
        ("residual_opening", 61, True),
        ("lock_go", 1, False),
        ("lock_go", 0.5, True),
    ],
)
def test_a_value_that_cannot_be_is_refused(quantity, value, refused):
    points = builders.make_points(gauge_mm=1435)
    assert bool(QUANTITIES[QuantityCode(quantity)].refuses(value, points)) is refused


@pytest.mark.parametrize(
    ("verdict", "way", "code", "value", "bounds", "words"),
    [
        ("within", "", "fwc", 52, (50, None), "within limits"),
        ("alert", "below", "fwc", 52, (53, None), "alert: too small by 1 mm"),
        ("intervention", "below", "fwc", 46, (52, None), "out of limits: too small by 6 mm"),
        ("immediate", "below", "fwc", 36, (52, None), "immediate action: too small by 16 mm"),
        ("intervention", "above", "kicker_clearance", 6.5, (3, 6),
         "out of limits: too large by 0.5 mm"),
        ("intervention", "below", "insulation_resistance", 5e5, (2e6, None),
         "out of limits: too small by 1.5 MΩ"),
        ("immediate", "above", "lock_no_go", 1, (0, 0), "immediate action: must not lock"),
        ("no_limit", "", "fwc", 46, (None, None), "no limit"),
        ("not_taken", "", "fwc", None, (50, None), "not taken"),
    ],
)  # fmt: skip
def test_a_result_says_by_how_much_and_immediate_action_is_told_apart(
    verdict, way, code, value, bounds, words
):
    quantity = QUANTITIES[QuantityCode(code)]
    assert quantity.result_words(Verdict(verdict), way, value, *bounds) == words


def test_the_refusal_of_an_opening_of_1080_says_what_it_can_be():
    points = builders.make_points()
    assert QUANTITIES[QuantityCode.SWITCH_OPENING].refuses(1080, points) == (
        "1080 mm cannot be right: switch opening is between 10 mm and 250 mm. Measure again, or "
        "check the figure."
    )


def test_narrow_gauge_is_read_by_its_own_gauge_and_any_gauge_where_it_is_not_known():
    gauge = QUANTITIES[QuantityCode.TRACK_GAUGE]
    assert gauge.refuses(600, builders.make_points(gauge_mm=597)) == ""
    assert gauge.refuses(1435, builders.make_points(gauge_mm=597))
    assert gauge.refuses(600, builders.make_points(gauge_mm=None)) == ""


@pytest.mark.parametrize(
    ("quantity", "value", "words"),
    [
        ("fwc", 52.5, "52.5 mm"),
        ("fwc", 107.95, "107.95 mm"),
        ("insulation_resistance", 2e6, "2 MΩ"),
        ("insulation_resistance", 1500, "1.5 kΩ"),
        ("lock_go", 1.0, "locked"),
        ("lock_no_go", 0.0, "not locked"),
        ("torque", None, "not taken"),
    ],
)
def test_a_value_is_written_with_its_unit(quantity, value, words):
    assert QUANTITIES[QuantityCode(quantity)].written(value) == words


@pytest.mark.parametrize(
    ("quantity", "low", "high", "words"),
    [
        ("fwc", 50, None, "at least 50 mm"),
        ("fwp", None, 1380, "at most 1380 mm"),
        ("kicker_clearance", 3, 6, "3 to 6 mm"),
        ("lock_go", 1, None, "must lock"),
        ("lock_no_go", None, 0, "must not lock"),
        ("fwc", None, None, "no limit"),
    ],
)
def test_a_limit_is_written_in_words(quantity, low, high, words):
    assert QUANTITIES[QuantityCode(quantity)].limit_words(low, high) == words


def test_reading_what_points_need_asks_three_times_however_many_rods(django_assert_num_queries):
    points = builders.make_rigged_points()
    builders.make_position(points, 3)
    with django_assert_num_queries(3):
        spots_of(points, rod_places_of(points, DAY), {})
