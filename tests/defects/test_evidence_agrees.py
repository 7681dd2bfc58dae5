"""The program and the database close on the same evidence: one table of cases asked of both.

The database is asked with a closing event written past the program. The whole suite is run on both
databases, so the same cases are.
"""

from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from defects.closing import evidence
from defects.models import Defect, Event
from defects.moves import moves
from defects.words import Check
from inspections.models import Examination, Reading
from inspections.words import ItemCode, QuantityCode
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

RAISED, DONE, AFTER = noon(2025, 6, 1), noon(2025, 6, 3), noon(2025, 6, 4)
BETWEEN = {"position": None, "at_mm": 2000.0}
GAUGE = {"quantity": "track_gauge", "position": None}
MEASURED, SEEN = "measured", "seen"

# What a defect was raised from (a reading, a look, or a code by hand), what else happened in order
# of time, and whether the last thing that happened proves it. Days are counted from the work.
CASES = {
    "within limits": (MEASURED, [(1, MEASURED, {"value": 52})], True),
    "past the alert limit": (MEASURED, [(1, MEASURED, {"value": 50.5})], True),
    "still out": (MEASURED, [(1, MEASURED, {"value": 49})], False),
    "at the minute of the work": (MEASURED, [(0, MEASURED, {"value": 52})], True),
    "before the work": (MEASURED, [(-1, MEASURED, {"value": 52})], False),
    "on the other lie": (MEASURED, [(1, MEASURED, {"value": 52, "lie": "right_closed"})], False),
    "of a gauge read without its lie, on one of them": (
        {**GAUGE, "value": 1480, "lie": ""},
        [(1, MEASURED, {**GAUGE, "value": 1435, "lie": "left_closed"})],
        True,
    ),
    "of a gauge read without its lie, the other lie out": (
        {**GAUGE, "value": 1480, "lie": ""},
        [
            (2, MEASURED, {**GAUGE, "value": 1475, "lie": "right_closed"}),
            (1, MEASURED, {**GAUGE, "value": 1435, "lie": "left_closed"}),
        ],
        False,
    ),
    "of a gauge on one lie, on the other": (
        {**GAUGE, "value": 1480, "lie": "left_closed"},
        [(1, MEASURED, {**GAUGE, "value": 1435, "lie": "right_closed"})],
        False,
    ),
    "at another stretcher": (MEASURED, [(1, MEASURED, {"value": 52, "order": 2})], False),
    "of another quantity": (
        MEASURED,
        [(1, MEASURED, {"quantity": "fwp", "value": 1380, "lie": "left_closed"})],
        False,
    ),
    "at other points": (MEASURED, [(1, MEASURED, {"value": 52, "elsewhere": True})], False),
    "corrected since": (MEASURED, [(1, MEASURED, {"value": 52, "corrected": 47})], False),
    "a look at the same place": (MEASURED, [(1, SEEN, {"found": "good"})], False),
    "out again the same day": (
        MEASURED,
        [(1, MEASURED, {"value": 47}), (1, MEASURED, {"value": 52})],
        False,
    ),
    "out before it, good now": (
        MEASURED,
        [(1, MEASURED, {"value": 47}), (2, MEASURED, {"value": 52})],
        True,
    ),
    "out again since": (
        MEASURED,
        [(2, MEASURED, {"value": 47}), (1, MEASURED, {"value": 52})],
        False,
    ),
    "out again since, on the other lie": (
        MEASURED,
        [
            (2, MEASURED, {"value": 47, "lie": "right_closed"}),
            (1, MEASURED, {"value": 52}),
        ],
        True,
    ),
    "out again since, which was a slip": (
        MEASURED,
        [(2, MEASURED, {"value": 47, "corrected": 51}), (1, MEASURED, {"value": 52})],
        True,
    ),
    "between the stretchers, near enough": (
        {**BETWEEN, "kind": MEASURED},
        [(1, MEASURED, {"value": 52, **BETWEEN, "at_mm": 2300.0})],
        True,
    ),
    "between the stretchers, too far off": (
        {**BETWEEN, "kind": MEASURED},
        [(1, MEASURED, {"value": 52, **BETWEEN, "at_mm": 2301.0})],
        False,
    ),
    "by hand, on either lie": (
        "fwc.below",
        [(1, MEASURED, {"value": 52, "lie": "right_closed"})],
        True,
    ),
    "by hand, the other lie out": (
        "fwc.below",
        [
            (1, MEASURED, {"value": 47, "lie": "right_closed"}),
            (1, MEASURED, {"value": 52}),
        ],
        False,
    ),
    "found good": (SEEN, [(1, SEEN, {"found": "good"})], True),
    "not seen": (SEEN, [(1, SEEN, {"found": "not_seen"})], False),
    "found defective": (SEEN, [(1, SEEN, {"found": "defective"})], False),
    "another thing found good": (SEEN, [(1, SEEN, {"item": "weld", "found": "good"})], False),
    "found good at another stretcher": (SEEN, [(1, SEEN, {"found": "good", "order": 2})], False),
    "defective again since": (
        SEEN,
        [(2, SEEN, {"found": "defective"}), (1, SEEN, {"found": "good"})],
        False,
    ),
    "insulation anywhere": (
        "check.mixed_insulation",
        [(1, MEASURED, {"quantity": "insulation_resistance", "value": 5000, "order": 2})],
        True,
    ),
    "a clearance for mixed insulation": (
        "check.mixed_insulation",
        [(1, MEASURED, {"value": 52})],
        False,
    ),
    "a weld found good": ("check.cracked_part", [(1, SEEN, {"item": "weld"})], True),
    "a nut for a crack": ("check.cracked_part", [(1, SEEN, {"item": "lock_nuts"})], False),
    "any visit": ("check.inspection_overdue", [(1, SEEN, {"item": "weld", "order": 2})], True),
    "any visit with something out since": (
        "check.inspection_overdue",
        [(2, MEASURED, {"value": 47}), (1, MEASURED, {"value": 52})],
        True,
    ),
    "a visit after work": (
        "check.inspection_overdue",
        [(1, MEASURED, {"value": 52, "reason": "after_work"})],
        False,
    ),
    "a hasty visit": (
        "check.inspection_overdue",
        [(1, MEASURED, {"value": 52, "partial": True})],
        False,
    ),
    "too few stretchers": ("check.too_few_rods", [(1, MEASURED, {"value": 52})], False),
    "something else": ("", [(1, MEASURED, {"value": 52})], False),
    "a code that nobody knows": ("pump.broken", [(1, SEEN, {"found": "good"})], False),
}


@pytest.fixture
def points(db):
    points = make_points("12")
    make_position(points, 1)
    make_position(points, 2)
    set_limit("fwc", 50)
    set_limit("fwc", 51, level="alert")
    set_limit("fwp", maximum=1390)
    set_limit("insulation_resistance", 1000)
    set_limit("track_gauge", 1426, 1470)
    return points


def happen(points, at, what, said):
    """One thing measured or looked at, by a visit of its own."""
    said = dict(said)
    visit = {name: said.pop(name) for name in ("reason", "partial") if name in said}
    if said.pop("elsewhere", False):
        points = make_points("13")
        make_position(points, 1)
    place = points.positions.get(order=said.pop("order", 1))
    place = said.pop("position", place)
    corrected = said.pop("corrected", None)
    inspection = make_inspection(points, at, **visit)
    if what == SEEN:
        look = {"item": "gooseneck_crack", "found": "good", **said}
        return make_examination(inspection, place, **look)
    entry = make_reading(inspection, place, said.pop("value"), **said)
    if corrected is not None:
        make_reading(inspection, place, corrected, corrects=entry, correction_reason="Misread.")
    return entry


def raised(points, origin, technician) -> Defect:
    if origin == SEEN:
        look = happen(points, RAISED, SEEN, {"found": "defective"})
        return make_defect(examination=look, user=technician)
    if origin == MEASURED or isinstance(origin, dict):
        more = (
            {name: value for name, value in dict(origin).items() if name != "kind"}
            if (isinstance(origin, dict))
            else {}
        )
        return make_defect(
            reading=happen(points, RAISED, MEASURED, {"value": 46, **more}), user=technician
        )
    return make_defect(points, found=origin, position=points.positions.get(order=1))


def worked(defect: Defect, technician, at=DONE) -> Defect:
    if defect.owner == "permanent_way":
        technician = make_user("ganger", "permanent way")
    if defect.state == "raised":
        defect = moves.accept(defect, user=technician, at=at)
    return moves.work_done(defect, user=technician, at=at, note="Done.")


def program_takes(defect: Defect, entry) -> bool:
    return evidence.proving(defect, type(entry)).filter(pk=entry.pk).exists()


def database_takes(defect: Defect, entry) -> bool:
    """A closing event written past the program, and taken back."""
    closing = {"defect": defect, "at": AFTER, "by": "x", "move": "close", "state": "closed"}
    try:
        with transaction.atomic():
            Event.objects.create(**closing, **{entry._meta.model_name: entry})
            raise _Taken
    except IntegrityError:
        return False
    except _Taken:
        return True


class _Taken(Exception):
    """Ends the transaction of an event that the database took."""


@pytest.mark.parametrize("name", CASES)
def test_program_and_database_say_the_same_of_every_case(points, technician, name):
    origin, happened, proves = CASES[name]
    defect = worked(raised(points, origin, technician), technician)
    for days, what, said in happened:
        entry = happen(points, DONE + timedelta(days=days), what, said)
    assert program_takes(defect, entry) is proves
    assert database_takes(defect, entry) is proves


def test_neither_takes_evidence_while_the_work_is_not_done(points, technician):
    defect = raised(points, MEASURED, technician)
    good = happen(points, AFTER, MEASURED, {"value": 52})
    assert not program_takes(defect, good)
    assert not database_takes(defect, good)
    done = worked(defect, technician)
    assert program_takes(done, good)
    back = moves.give_back(done, user=technician, at=DONE, kind="not_mended", reason="Loose.")
    assert not program_takes(back, good)
    assert not database_takes(back, good)


def test_everything_that_can_be_found_is_proven_by_its_own_or_by_nothing():
    """The table of proofs has no subject that is not one, and no proof that is not taken."""
    kinds = {"measured": QuantityCode, "item": ItemCode, "check": Check}
    for subject, proofs in evidence.PROOFS.items():
        assert subject.code in set(kinds[subject.kind])
        for proof in proofs:
            assert proof.quantity or proof.items or proof.any_visit
            assert not proof.quantity or proof.quantity in set(QuantityCode)
            assert set(proof.items) <= set(ItemCode)


ORIGINS = [MEASURED, SEEN, {**BETWEEN, "kind": MEASURED}, "fwc.below", "item.gooseneck_crack",
           "check.mixed_insulation", "check.cracked_part", "check.inspection_overdue",
           "check.kicker_missing", "", "pump.broken"]  # fmt: skip
READINGS = st.fixed_dictionaries(
    {"value": st.sampled_from([46, 49, 50, 50.5, 52])},
    optional={
        "lie": st.sampled_from(["left_closed", "right_closed"]),
        "order": st.sampled_from([1, 2]),
        "corrected": st.sampled_from([47, 52]),
        "reason": st.sampled_from(["routine", "after_work"]),
        "partial": st.booleans(),
    },
)
BETWEEN_RODS = st.fixed_dictionaries(
    {
        "value": st.sampled_from([46, 52]),
        "position": st.none(),
        "at_mm": st.sampled_from([1699.0, 1700.0, 2000.0, 2300.0, 2301.0]),
    }
)
LOOKS = st.fixed_dictionaries(
    {"found": st.sampled_from(["good", "defective", "not_seen"])},
    optional={
        "item": st.sampled_from(["gooseneck_crack", "weld", "ballast"]),
        "order": st.sampled_from([1, 2]),
        "reason": st.sampled_from(["routine", "after_fitting"]),
        "partial": st.booleans(),
    },
)
HAPPENED = st.tuples(
    st.integers(-1, 3),
    st.one_of(
        st.tuples(st.just(MEASURED), st.one_of(READINGS, BETWEEN_RODS)),
        st.tuples(st.just(SEEN), LOOKS),
    ),
)


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(origin=st.sampled_from(ORIGINS), happened=st.lists(HAPPENED, min_size=1, max_size=6))
def test_program_and_database_say_the_same_whatever_happened(points, origin, happened):
    technician = make_user("technician", "signalling", "Lineman A")
    with transaction.atomic():
        defect = worked(raised(points, origin, technician), technician)
        entries = [
            happen(points, DONE + timedelta(days=days), what, said)
            for days, (what, said) in happened
        ]
        for entry in entries:
            assert database_takes(defect, entry) is program_takes(defect, entry)
        transaction.set_rollback(True)


def test_of_what_was_found_the_program_offers_exactly_what_the_database_takes(points, technician):
    defect = worked(raised(points, MEASURED, technician), technician)
    for days, value in ((1, 52), (2, 53), (3, 49), (4, 52)):
        happen(points, DONE + timedelta(days=days), MEASURED, {"value": value})
    offered = set(evidence.proving(defect, Reading))
    assert offered == {one for one in Reading.objects.all() if database_takes(defect, one)}
    assert [one.value for one in offered] == [52]
    assert not evidence.proving(defect, Examination).exists()
