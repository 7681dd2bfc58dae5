"""A stretcher that was replaced closes its defect: the new one looked at, what is owed there within
limits. Each case is asked of the program and of the database."""

from datetime import date, timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.fitting import fit, take_out
from config.points.changes import owing_of
from defects.closing import evidence
from defects.closing.proofs import OWED_AT_A_PLACE
from defects.models import Defect
from defects.moves import moves
from defects.words import OldPart, State
from inspections.models import Examination, Reading
from tests.builders import (
    make_defect,
    make_examination,
    make_fitting,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    make_stretcher,
    make_user,
    noon,
    set_limit,
    with_places,
)
from tests.defects.test_evidence_agrees import database_takes, program_takes

pytestmark = pytest.mark.django_db
RAISED, DONE, AFTER = noon(2025, 6, 1), noon(2025, 6, 3), noon(2025, 6, 4)
LIES, SIDES = ("left_closed", "right_closed"), ("left", "right")
LOW = {"switch_opening": 80, "fwc": 40, "insulation_resistance": 10, "torque": 100}
GOOD = {"switch_opening": 108, "fwc": 56, "insulation_resistance": 5e6, "torque": 220}
LOCK = {"lock_go": (1, 0), "lock_no_go": (0, 1)}  # good, wrong
AT_A_ROD = [
    *(("switch_opening", "", lie) for lie in LIES),
    *(("fwc", "", lie) for lie in LIES),
    ("insulation_resistance", "left", ""),
    *(("torque", side, "") for side in SIDES),
]
AT_THE_LOCK = [
    *(("switch_opening", "", lie) for lie in LIES),
    *((test, "", lie) for test in LOCK for lie in LIES),
    ("insulation_resistance", "left", ""),
    *(("torque", side, "") for side in SIDES),
]


@pytest.fixture
def points(db):
    """SKB 12, track-circuited: a lock stretcher and one more, every limit set."""
    set_limit("switch_opening", 95, 120)
    set_limit("fwc", 50)
    set_limit("insulation_resistance", 1000)
    set_limit("torque", 200)
    set_limit("lock_go", 1)
    set_limit("lock_no_go", maximum=0)
    points = make_points("12")
    for order in (0, 1):
        make_fitting(make_stretcher(f"OLD-{order}"), make_position(points, order))
        make_stretcher(f"NEW-{order}")
    return points


def value_of(quantity: str, good: bool) -> float:
    if quantity in LOCK:
        return LOCK[quantity][not good]
    return (GOOD if good else LOW)[quantity]


def cracked(points, order: int = 1) -> Defect:
    """A crack found in the shoe of the stretcher there."""
    place = points.positions.get(order=order)
    old = place.fittings.get().stretcher
    look = make_examination(make_inspection(points, RAISED), place, item="shoe_crack")
    return make_defect(examination=look, part=old)


def worked(defect: Defect) -> Defect:
    technician = make_user("technician", "signalling", "Lineman A")
    defect = moves.accept(defect, user=technician, at=DONE)
    return moves.work_done(defect, user=technician, at=DONE, note="Replaced.")


def replace(points, order: int = 1) -> None:
    place = points.positions.get(order=order)
    new = type(place.fittings.get().stretcher).objects.get(tag=f"NEW-{order}")
    fit(new, place, on=DONE.date(), by="Lineman A", replacing="Cracked.")


def read(points, spots, order: int = 1, at=AFTER, good: bool = True) -> list[Reading]:
    """These readings at one visit, of the stretcher that is there."""
    visit, place = (
        make_inspection(points, at, reason="after_fitting"),
        points.positions.get(order=order),
    )
    return [
        make_reading(
            visit,
            None if quantity == "switch_opening" else place,
            value_of(quantity, good),
            quantity=quantity,
            side=side,
            lie=lie,
        )
        for quantity, side, lie in spots
    ]


def looked(points, order: int = 1, at=AFTER, found: str = "good", **fields) -> Examination:
    """The fixings of the stretcher that is there now, seen."""
    place = points.positions.get(order=order)
    fitted = place.fittings.filter(taken_out_on=None).first()
    fields = {"stretcher": fitted and fitted.stretcher, "item": "fixings", **fields}
    return make_examination(make_inspection(points, at), place, found=found, **fields)


def insulate(rod, side: str) -> None:
    rod.insulation_side = side
    rod.insulation_kind = "none" if side == "none" else "bush_and_plates"
    rod.save()


def both(defect: Defect, entry) -> bool:
    """What program and database say; they must agree."""
    says = program_takes(defect, entry)
    assert database_takes(defect, entry) is says
    return says


@pytest.mark.parametrize(("order", "spots"), [(1, AT_A_ROD), (0, AT_THE_LOCK)], ids=["rod", "lock"])
def test_closes_on_the_new_one_looked_at_with_what_is_owed_within_limits(points, order, spots):
    defect = cracked(points, order)
    replace(points, order)
    defect = worked(defect)
    read(points, spots, order)
    assert both(defect, looked(points, order))


@pytest.mark.parametrize("order", [0, 1])
def test_what_closes_it_is_what_is_owed_there(points, order):
    """The list of the proof is the list that the points page shows, for the place that changed."""
    replace(points, order)
    spots = {
        one.asked.spot for one in owing_of([with_places(points)], NOTHING_CONFIRMED)[points.pk].owed
    }
    place = points.positions.get(order=order).pk
    here = {(quantity, side, lie) for quantity, at, side, lie in spots if at in (None, place)}
    rod = points.positions.get(order=order).fittings.get(taken_out_on=None).stretcher
    asked = {
        (needed.quantity, needed.side, needed.lie)
        for needed in OWED_AT_A_PLACE
        if needed.is_needed_at(order, points.track_circuited)
        and (not needed.insulated or rod.insulation_side in needed.insulated)
    }
    assert asked == here


@pytest.mark.parametrize("missing", AT_A_ROD)
def test_each_reading_owed_is_needed(points, missing):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, [spot for spot in AT_A_ROD if spot != missing])
    look = looked(points)
    assert not both(defect, look)
    sentence = refusal(defect, look)
    assert sentence.startswith("Not yet read within limits since the work: ")
    assert ";" not in sentence
    assert evidence.why_not_yet(defect) == sentence


@pytest.mark.parametrize("wrong", [*AT_A_ROD])
def test_a_reading_out_of_limits_proves_nothing_and_undoes_a_good_one(points, wrong):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, AT_A_ROD)
    look = looked(points)
    assert both(defect, look)
    read(points, [wrong], at=AFTER + timedelta(hours=1), good=False)
    assert not both(defect, look)
    read(points, [wrong], at=AFTER + timedelta(hours=2))
    assert both(defect, look)


def refusal(defect, look) -> str:
    technician = make_user("technician", "signalling", "Lineman A")
    return evidence.refusal_to_close(defect, user=technician, examination=look)


def test_a_replacement_that_nobody_recorded_is_none(points):
    defect = worked(cracked(points))
    read(points, AT_A_ROD)
    other = make_stretcher("ST-X")
    look = looked(points, stretcher=other)
    assert not both(defect, look)
    assert "shows no replacement" in refusal(defect, look)


def test_the_cracked_one_fitted_elsewhere_keeps_its_defect_open(points):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, AT_A_ROD)
    look = looked(points)
    elsewhere = make_fitting(
        defect.stretcher, make_position(make_points("13"), 1), fitted_on=date(2025, 6, 4)
    )
    assert not both(defect, look)
    take_out(elsewhere, on=date(2025, 6, 5), by="Lineman A", reason="Cracked.")
    assert both(defect, look)


def test_a_good_look_at_another_stretcher_says_nothing_of_the_cracked_one(points):
    """The place may ask for the same thing of the new stretcher: that alone proves nothing."""
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    assert not both(defect, looked(points, item="shoe_crack"))


def test_the_same_one_repaired_and_found_good_closes_as_before(points):
    defect = worked(cracked(points))
    assert both(defect, looked(points, item="shoe_crack"))


def test_a_torque_of_the_new_one_does_not_show_that_the_old_one_holds(points):
    place = points.positions.get(order=1)
    look = make_examination(make_inspection(points, RAISED), place, item="fixings")
    defect = make_defect(examination=look, part=place.fittings.get().stretcher)
    replace(points)
    defect = worked(defect)
    [torque] = read(points, [("torque", "left", "")])
    assert not both(defect, torque)
    technician = make_user("technician", "signalling", "Lineman A")
    Defect.objects.update(cause="Thread stripped.")
    defect = Defect.objects.get(pk=defect.pk)
    sentence = evidence.refusal_to_close(defect, user=technician, reading=torque)
    assert sentence == "That is of NEW-1, and the defect is about OLD-1."


def test_nothing_is_said_of_what_lacks_where_nothing_was_looked_at_since(points):
    defect = cracked(points)
    assert evidence.why_not_yet(defect) == ""
    assert evidence.why_not_yet(worked(defect)) == ""


def test_the_new_one_found_defective_proves_nothing(points):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, AT_A_ROD)
    look = looked(points)
    looked(points, item="lock_nuts", found="defective")
    assert not both(defect, look)
    assert "found defective again" in refusal(defect, look)


def test_readings_of_the_old_one_do_not_count(points):
    defect = worked(cracked(points))
    read(points, AT_A_ROD, at=DONE)  # after the work was called done, and before it was fitted
    replace(points)
    assert not both(defect, looked(points))


def test_an_opening_read_before_the_new_one_was_does_not_count(points):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    opening, rest = AT_A_ROD[:2], AT_A_ROD[2:]
    read(points, opening, at=AFTER - timedelta(hours=2))
    read(points, rest)
    look = looked(points)
    assert not both(defect, look)
    read(points, opening, at=AFTER + timedelta(hours=2))
    assert both(defect, look)


@pytest.mark.parametrize(
    ("fields", "insulated"),
    [
        ({"track_circuited": False}, False),
        ({"track_circuited": None}, True),
    ],
)
def test_insulation_counts_unless_there_is_no_track_circuit(points, fields, insulated):
    type(points).objects.update(**fields)
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, [spot for spot in AT_A_ROD if spot[0] != "insulation_resistance"])
    defect = Defect.objects.get(pk=defect.pk)
    assert both(defect, looked(points)) is not insulated


@pytest.mark.parametrize(
    ("side", "sides", "proven"),
    [
        ("both", ("left", "right"), True),
        ("both", ("left",), False),
        ("right", ("right",), True),
        ("right", ("left",), False),
        ("none", (), True),
        ("unknown", ("",), True),
        ("unknown", (), False),
    ],
)
def test_insulation_is_read_where_the_new_one_has_it(points, side, sides, proven):
    defect = cracked(points)
    replace(points)
    insulate(points.positions.get(order=1).fittings.get(taken_out_on=None).stretcher, side)
    defect = worked(defect)
    rest = [spot for spot in AT_A_ROD if spot[0] != "insulation_resistance"]
    read(points, [*rest, *(("insulation_resistance", one, "") for one in sides)])
    assert both(defect, looked(points)) is proven


def test_a_defect_that_names_no_part_is_for_the_engineer(points):
    place = points.positions.get(order=1)
    defect = make_defect(points, found="check.cracked_part", position=place)
    replace(points)
    defect = worked(defect)
    read(points, AT_A_ROD)
    assert not both(defect, looked(points))


CHANGED = st.lists(
    st.tuples(
        st.sampled_from(AT_A_ROD),
        st.booleans(),  # within limits
        st.integers(-2, 3),  # hours from the rest
    ),
    max_size=4,
)


@pytest.mark.by_chance
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    missing=st.sets(st.sampled_from(AT_A_ROD), max_size=2),
    more=CHANGED,
    fitted=st.sampled_from(["before the work", "after the work", "never", "back again"]),
    item=st.sampled_from(["fixings", "shoe_crack", "ballast"]),
    found=st.sampled_from(["good", "good", "defective"]),
    insulation=st.sampled_from(["left", "both", "none", "unknown"]),
    circuited=st.sampled_from([True, False, None]),
)
def test_program_and_database_agree_whatever_was_replaced_and_read(
    points, missing, more, fitted, item, found, insulation, circuited
):
    with transaction.atomic():
        type(points).objects.update(track_circuited=circuited)
        defect = cracked(points)
        if fitted == "before the work":
            replace(points)
        defect = Defect.objects.get(pk=worked(defect).pk)
        if fitted in ("after the work", "back again"):
            replace(points)
        place = points.positions.get(order=1)
        present = place.fittings.get(taken_out_on=None)
        insulate(present.stretcher, insulation)
        read(points, [spot for spot in AT_A_ROD if spot not in missing])
        for spot, good, hours in more:
            read(points, [spot], at=AFTER + timedelta(hours=hours), good=good)
        look = looked(points, item=item, found=found)
        if fitted == "back again":
            fit(defect.stretcher, place, on=AFTER.date(), by="x", replacing="Wrong one.")
        both(defect, look)
        for reading in Reading.objects.filter(quantity="torque"):
            both(defect, reading)
        transaction.set_rollback(True)


def test_the_old_one_is_set_aside_in_the_same_act(points, technician):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, AT_A_ROD)
    look = looked(points)
    with pytest.raises(moves.Refused, match="Say what becomes of OLD-1"):
        moves.close(defect, user=technician, at=AFTER, examination=look)
    closed = moves.close(
        defect, user=technician, at=AFTER, examination=look, old_part=OldPart.SET_ASIDE
    )
    assert closed.state == State.CLOSED
    defect.stretcher.refresh_from_db()
    assert defect.stretcher.quarantined
    assert closed.events.get(move="close").note == "Replaced by NEW-1; OLD-1 set aside."


def test_one_set_aside_already_stays_so(points, technician):
    defect = cracked(points)
    replace(points)
    type(defect.stretcher).objects.filter(tag="OLD-1").update(quarantined=True)
    defect = worked(defect)
    read(points, AT_A_ROD)
    closed = moves.close(defect, user=technician, at=AFTER, examination=looked(points))
    assert closed.events.get(move="close").note == "Replaced by NEW-1."


def test_the_old_one_may_be_scrapped(points, technician):
    defect = cracked(points)
    replace(points)
    defect = worked(defect)
    read(points, AT_A_ROD)
    moves.close(
        defect, user=technician, at=AFTER, examination=looked(points), old_part=OldPart.SCRAPPED
    )
    defect.stretcher.refresh_from_db()
    assert defect.stretcher.condition == "scrap"
    assert not defect.stretcher.quarantined
