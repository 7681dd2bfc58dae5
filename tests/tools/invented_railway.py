"""A synthetic railway of any size, to see how the program bears growth.

Its spread is that of the demo: four places to a set of points, a visit a month or so, most readings
within their limits, a few defects in every state. All of it is invented, and random by a fixed
seed, so that two runs of the same size make the same railway. History is left out: it would only
double the writing.
"""

from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import islice
from random import Random

from django.db import transaction
from django.utils import timezone

from assets.departments import Department
from assets.models import Fitting, Location, Points, Position, RailSection, Stretcher, SwitchDesign
from config import reference
from config.points import owed_kept
from defects.models import Defect, Event
from defects.routing.routing import found_of
from defects.words import Move, State, Urgency
from inspections.models import Inspection, Limit, Reading
from inspections.upcoming import kept
from inspections.words import Verdict

PER_LOCATION = 12  # sets of points
PLACES = (("lock", 200), ("drive", 900), ("intermediate", 2500), ("back", 4300))
VISITS, DAYS_BETWEEN = 10, 45
DEFECTS = 5  # to each set of points, over its years
SPARES = 20  # of each hundred stretchers fitted
BATCH = 500  # sets of points written together
GENERATIONS = ("black", "yellow", "yellow", "red")


class NotEmptyError(Exception):
    """The register holds a railway already; the message says what to do."""


def grow(points: int, tell: Callable[[str], None]) -> dict[str, int]:
    """Makes a railway with this many sets of points; gives the rows of each kind.

    Raises NotEmptyError.
    """
    if Points.objects.exists() or Stretcher.objects.exists():
        raise NotEmptyError(
            "This register holds a railway already. Point TOE_TO_HEEL_DATA or DATABASE_URL at an "
            "empty one."
        )
    reference.load()
    grower = _Grower(points)
    for start in range(0, points, BATCH):
        with transaction.atomic():
            grower.write(start, min(start + BATCH, points))
        tell(f"{min(start + BATCH, points)} of {points} sets of points")
    while left := kept.keep_up(timezone.localdate(), most=1_000):  # as after days of use
        tell(f"trends: {left} sets of points to work out")
    while left := owed_kept.keep_up(most=1_000):
        tell(f"what is owed: {left} sets of points to work out")
    return {
        model._meta.verbose_name_plural: model.objects.count()
        for model in (Points, Position, Stretcher, Fitting, Inspection, Reading, Defect, Event)
    }


class _Grower:
    def __init__(self, points: int):
        self.random = Random(points)
        self.now = timezone.now().replace(minute=0, second=0, microsecond=0)
        self.design = SwitchDesign.objects.filter(shape="semi_curved").order_by("pk").first()
        self.rails = list(RailSection.objects.filter(code__in=["95RBH", "113A"]))
        self.fwc = Limit.objects.filter(quantity="fwc", scope="railway").first()
        self.number = 0

    def write(self, start: int, end: int) -> None:
        rows = self._points(start, end)
        positions = self._positions(rows)
        rods = self._stretchers(positions)
        readings = self._visits(rows, positions, rods)
        self._defects(rows, readings)

    def _points(self, start: int, end: int) -> list[Points]:
        first, last = start // PER_LOCATION, (end - 1) // PER_LOCATION
        places = {}
        for number in range(first, last + 1):
            places[number], _ = Location.objects.get_or_create(
                code=f"G{number:04}", defaults={"name": f"Halt {number}", "mileage": number / 10}
            )
        return Points.objects.bulk_create(
            Points(
                location=places[n // PER_LOCATION],
                number=str(n % PER_LOCATION + 1),
                number_order=n % PER_LOCATION + 1,
                layout=self.random.choice(["turnout", "turnout", "turnout", "trap"]),
                hand=self.random.choice(["left", "right"]),
                design=self.design,
                rail_section=self.random.choice(self.rails),
                gauge_mm=1435,
                heel="held",
                use=self.random.choice(["facing", "trailing"]),
                track_circuited=self.random.random() < 0.6,
                machine_side="left",
                normal_lie="left_closed",
                service_state="in_use" if self.random.random() < 0.97 else "out_of_use",
            )
            for n in range(start, end)
        )

    def _positions(self, points: list[Points]) -> list[Position]:
        return Position.objects.bulk_create(
            Position(
                points=one,
                order=order,
                role=role,
                distance_mm=distance,
                driven=role == "drive",
                kicker_required=role == "drive",
            )
            for one in points
            for order, (role, distance) in enumerate(PLACES)
        )

    def _stretchers(self, positions: list[Position]) -> list[Stretcher]:
        spare = len(positions) * SPARES // 100
        rods = Stretcher.objects.bulk_create(
            self._stretcher(positions[n] if n < len(positions) else None)
            for n in range(len(positions) + spare)
        )
        day = (self.now - timedelta(days=700)).date()
        Fitting.objects.bulk_create(
            Fitting(stretcher=rod, position=position, fitted_on=day, fitted_by="Lineman A")
            for rod, position in zip(rods, positions, strict=False)
        )
        return rods[: len(positions)]

    def _stretcher(self, position: Position | None) -> Stretcher:
        self.number += 1
        role = position.role if position else self.random.choice(["drive", "back"])
        profile = "bullhead"
        if position and position.points.rail_section.profile != "bullhead":
            profile = "flat_bottom"
        insulated = self.random.random() < 0.9
        return Stretcher(
            tag=f"G-{self.number:06}",
            for_lock=role == "lock",
            for_drive=role == "drive",
            for_intermediate=role in ("intermediate", "back"),
            for_back=role in ("intermediate", "back"),
            generation=self.random.choice(GENERATIONS),
            adjustability=self.random.choice(["adjustable", "adjustable", "fixed"]),
            form=self.random.choice(["straight", "gooseneck"]),
            insulation_side="left" if insulated else "none",
            insulation_kind="bush_and_plates" if insulated else "none",
            left_shoe=profile,
            right_shoe=profile,
            kicker=role == "drive",
            drive_lug="plain" if role == "drive" else "none",
            left_fixings="full_and_half_nut",
            right_fixings="full_and_half_nut",
            torque_nm=220,
            length_min_mm=1290 + self.random.randint(0, 20),
            length_max_mm=1400 + self.random.randint(0, 20),
            thread_pitch_mm=4,
            notches="cut" if role == "lock" else "not_a_lock",
            condition=self.random.choice(["good", "good", "worn"]),
        )

    def _visits(self, points, positions, rods) -> list[Reading]:
        by_points: dict[int, list] = {}
        for position, rod in zip(positions, rods, strict=True):
            by_points.setdefault(position.points_id, []).append((position, rod))
        visits = Inspection.objects.bulk_create(
            Inspection(
                points=one,
                at=self.now - timedelta(days=DAYS_BETWEEN * (VISITS - number) - 20),
                by="Lineman A",
            )
            for one in points
            for number in range(VISITS)
        )
        entries = (
            entry for visit in visits for entry in self._readings(visit, by_points[visit.points_id])
        )
        return [row for batch in _batches(entries) for row in Reading.objects.bulk_create(batch)]

    def _readings(self, visit: Inspection, places) -> Iterator[Reading]:
        for lie in ("left_closed", "right_closed"):
            yield Reading(
                inspection=visit,
                quantity="switch_opening",
                lie=lie,
                value=self.random.randint(104, 112),
                verdict=Verdict.WITHIN.value,
            )
            for position, rod in places:
                value = round(self.random.gauss(62, 4), 1)
                out = value < 50
                yield Reading(
                    inspection=visit,
                    quantity="fwc",
                    position=position,
                    stretcher=rod,
                    lie=lie,
                    value=value,
                    limit=self.fwc,
                    verdict=(Verdict.INTERVENTION if out else Verdict.WITHIN).value,
                )

    def _defects(self, points: list[Points], readings: list[Reading]) -> None:
        # The defects name no lie: one that is out on the other lie as well proves nothing.
        out = {(r.inspection_id, r.position_id) for r in readings if Verdict(r.verdict).is_out}
        good = {}
        for reading in readings:
            place = (reading.inspection_id, reading.position_id)
            if reading.quantity == "fwc" and place not in out:
                good[reading.inspection.points_id] = reading
        number = Defect.objects.count()
        rows = []
        for one in points:
            for _ in range(DEFECTS):
                number += 1
                rows.append(self._defect(number, one, good[one.pk]))
        closed = [row for row in rows if self.random.random() < 0.85]
        for row in closed:
            row.state = State.WORK_DONE.value
        rows = Defect.objects.bulk_create(rows)
        events = [self._event(row, Move.RAISE, State.RAISED, row.raised_at) for row in rows]
        for row in closed:
            proof = good[row.points_id]
            row.state, row.closed_at = State.CLOSED.value, proof.inspection.at
            events.append(self._event(row, Move.CLOSE, State.CLOSED, row.closed_at, proof))
        Event.objects.bulk_create(events)
        Defect.objects.bulk_update(closed, ["state", "closed_at"], batch_size=200)

    def _defect(self, number: int, points: Points, reading: Reading) -> Defect:
        owner = self.random.choice(list(Department)).value
        # Before the last visit, whose readings prove those that are closed.
        raised = reading.inspection.at - timedelta(days=self.random.randint(1, 500))
        return Defect(
            number=number,
            points=points,
            position=reading.position,
            lie=reading.lie,
            **found_of("fwc.below").columns,
            title="Free wheel clearance below the limit",
            urgency=self.random.choice(list(Urgency)).value,
            owner=owner,
            mends=owner,
            raised_at=raised,
            raised_by="Lineman A",
            due_on=(raised + timedelta(days=self.random.randint(7, 60))).date(),
            work_done_at=raised,
        )

    def _event(self, defect, move, state, at, reading=None) -> Event:
        return Event(
            defect=defect,
            at=at,
            by="Lineman A",
            move=move.value,
            state=state.value,
            owner=defect.owner,
            reading=reading,
        )


def _batches(rows: Iterator) -> Iterator[list]:
    while batch := list(islice(rows, 5_000)):
        yield batch
