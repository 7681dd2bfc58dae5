"""Random users make random moves: whatever they do, nothing closes unproven and nothing is lost."""

import os
from datetime import timedelta

import pytest
from django.db import transaction
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    rule,
    run_state_machine_as_test,
)

from assets.departments import Department
from defects.models import Defect, Event
from defects.moves import moves
from defects.moves.raising import found_by_hand
from defects.words import Move, ReturnReason, State, TemporaryMeasure
from inspections.models import Examination, Reading
from inspections.verdicts.finding import Found
from inspections.verdicts.stored import finding_of
from tests.builders import (
    make_examination,
    make_inspection,
    make_points,
    make_position,
    make_reading,
    make_user,
    noon,
)

USERS = ("technician", "ganger", "engineer", "viewer")
FOUND = ("fwc", "fixings", "by hand")
users = st.sampled_from(USERS)
words = st.sampled_from(["", "  ", "Because."])
number = st.integers(0, 9)


class AnyOrder(RuleBasedStateMachine):
    """Half an hour passes before each step, so that every order of work and measuring occurs."""

    def __init__(self):
        super().__init__()
        self.sequence = transaction.atomic()
        self.sequence.__enter__()
        self.at = noon(2025, 6, 1)
        self.points = make_points()
        self.place = make_position(self.points, 1)
        self.users = {
            "technician": make_user("technician", "signalling", "Lineman A"),
            "ganger": make_user("ganger", "permanent way", "Ganger B"),
            "engineer": make_user("engineer", "responsible engineer", "Engineer C"),
            "viewer": make_user("viewer", "viewer", "Visitor D"),
        }
        self.defects: list[Defect] = []  # each as somebody last saw it, so some pages are old
        self.events: dict[int, list[int]] = {}

    def teardown(self):
        """Each sequence begins with an empty register."""
        transaction.set_rollback(True)
        self.sequence.__exit__(None, None, None)

    def now(self):
        self.at += timedelta(minutes=30)
        return self.at

    def try_it(self, move, **values):
        """A move that is refused must leave everything as it was; the invariants look."""
        try:
            moved = move(at=self.now(), **values)
        except moves.Refused:
            return
        if moved.pk in self.events:
            self.defects = [moved if d.pk == moved.pk else d for d in self.defects]
        else:
            self.defects.append(moved)
            self.events[moved.pk] = []

    def one(self, which: int, fresh: bool) -> Defect | None:
        if not self.defects:
            return None
        defect = self.defects[which % len(self.defects)]
        return Defect.objects.get(pk=defect.pk) if fresh else defect

    @rule(user=users, found=st.sampled_from(FOUND))
    def raise_one(self, user, found):
        if len(self.defects) >= 4:
            return
        visit = make_inspection(self.points, self.at)
        values = {"points": self.points, "user": self.users[user], "title": "Something"}
        if found == "fwc":
            finding = finding_of(make_reading(visit, self.place, 46))
        elif found == "fixings":
            finding = finding_of(make_examination(visit, self.place, item="fixings"))
        else:
            finding = found_by_hand(self.points, Found())
        self.try_it(moves.raise_defect, finding=finding, **values)

    @rule(value=st.sampled_from([46, 49, 50, 52]), lie=st.sampled_from(["left", "right"]))
    def measure(self, value, lie):
        make_reading(
            make_inspection(self.points, self.now()), self.place, value, lie=f"{lie}_closed"
        )

    @rule(found=st.sampled_from(["good", "defective", "not_seen"]))
    def look(self, found):
        visit = make_inspection(self.points, self.now())
        make_examination(visit, self.place, item="fixings", found=found)

    @rule(
        user=users, which=number, fresh=st.booleans(), text=words,
        name=st.sampled_from(["accept", "work_done", "hand_over", "raise_in_error", "comment"]),
    )  # fmt: skip
    def plain_move(self, user, which, fresh, text, name):
        defect = self.one(which, fresh)
        if defect is None:
            return
        key = "reason" if name in ("hand_over", "raise_in_error") else "note"
        self.try_it(
            lambda **values: getattr(moves, name)(defect, **values),
            user=self.users[user],
            **{key: text},
        )

    @rule(user=users, which=number, kind=st.sampled_from(list(ReturnReason)), text=words)
    def give_back(self, user, which, kind, text):
        defect = self.one(which, fresh=True)
        if defect is not None:
            self.try_it(
                lambda **v: moves.give_back(defect, **v),
                user=self.users[user], kind=kind, reason=text,
            )  # fmt: skip

    @rule(
        user=users, which=number, fresh=st.booleans(), text=words, cause=words,
        proof=st.sampled_from(["none", "reading", "examination"]), nth=number,
    )  # fmt: skip
    def close(self, user, which, fresh, text, cause, proof, nth):
        defect = self.one(which, fresh)
        if defect is None:
            return
        values = {"reason": text, "cause": cause}
        if proof != "none":
            model = Reading if proof == "reading" else Examination
            offered = list(model.objects.order_by("-pk")[:3])
            if not offered:
                return
            values[proof] = offered[nth % len(offered)]
        self.try_it(lambda **v: moves.close(defect, **v), user=self.users[user], **values)

    @rule(user=users, which=number, set_it=st.booleans(), text=words)
    def temporary_measure(self, user, which, set_it, text):
        defect = self.one(which, fresh=True)
        if defect is None:
            return
        values = {"user": self.users[user], "note": text}
        if set_it:
            move = moves.set_temporary_measure
            values["measure"] = TemporaryMeasure.SPEED
        else:
            move = moves.lift_temporary_measure
        self.try_it(lambda **v: move(defect, **v), **values)

    @rule(user=users, which=number, nth=number)
    def found_again(self, user, which, nth):
        defect = self.one(which, fresh=True)
        readings = list(Reading.objects.out().order_by("-pk")[:3])
        if defect is not None and readings:
            self.try_it(
                lambda **v: moves.measured_again(defect, **v),
                user=self.users[user], reading=readings[nth % len(readings)],
            )  # fmt: skip

    @invariant()
    def every_defect_has_an_owner(self):
        held = [department.value for department in Department]
        assert not Defect.objects.exclude(owner__in=held).exists()

    @invariant()
    def no_event_is_lost_and_the_last_one_says_how_the_defect_stands(self):
        for defect in Defect.objects.filter(pk__in=self.events):
            events = list(defect.events.order_by("pk"))
            seen = self.events[defect.pk]
            assert [event.pk for event in events[: len(seen)]] == seen
            assert len(events) == defect.version
            assert (events[-1].state, events[-1].owner) == (defect.state, defect.owner)
            self.events[defect.pk] = [event.pk for event in events]

    @invariant()
    def what_is_closed_was_proven_or_agreed(self):
        for event in Event.objects.filter(move=Move.CLOSE.value, defect__in=self.events):
            defect = event.defect
            assert not defect.needs_cause or defect.cause.strip()
            if event.agreed_by_engineer:
                assert event.by == "Engineer C"
                assert event.note.strip()
                continue
            proof = event.reading or event.examination
            assert proof.inspection.at >= defect.work_done_at
            assert proof.position == self.place
            if event.reading:
                assert event.reading.value >= 50
                assert event.reading.lie == defect.reading.lie
            else:
                assert (proof.item, proof.found) == ("fixings", "good")

    @invariant()
    def closed_and_only_closed_have_a_closing_event(self):
        closed = set(Defect.objects.filter(state=State.CLOSED.value).values_list("pk", flat=True))
        closing = Event.objects.filter(move=Move.CLOSE.value).values_list("defect", flat=True)
        assert closed == set(closing)
        assert len(closing) == len(closed)


@pytest.mark.django_db
def test_no_order_of_moves_closes_unproven_or_loses_anything():
    """SEQUENCES=10000 MOVES=15 runs thousands of shorter ones, as the long check does."""
    run_state_machine_as_test(
        AnyOrder,
        settings=settings(
            max_examples=int(os.environ.get("SEQUENCES", "80")),
            stateful_step_count=int(os.environ.get("MOVES", "40")),
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


@pytest.mark.django_db
def test_the_machine_can_close_both_ways(technician, engineer):
    """The machine above would prove nothing if it never got as far as closing."""
    machine = AnyOrder()
    for user, close in (("technician", {"proof": "reading", "text": ""}), ("engineer", {})):
        machine.raise_one(user, "fwc")
        which = len(machine.defects) - 1
        for name in ("accept", "work_done"):
            machine.plain_move(user, which, True, "Because.", name)
        machine.measure(52, "left")
        machine.close(
            **{"user": user, "which": which, "fresh": True, "text": "Because.", "cause": "",
               "proof": "none", "nth": 0, **close}
        )  # fmt: skip
    assert [d.state for d in machine.defects] == ["closed", "closed"]
    machine.what_is_closed_was_proven_or_agreed()
    machine.teardown()
