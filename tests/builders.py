"""Hand-written builders: each makes one thing with keyword defaults that tests may change."""

import itertools
from dataclasses import replace
from datetime import UTC, date, datetime

from django.contrib.auth import get_user_model
from django.contrib.auth.models import Group

from assets.models import (
    Fitting,
    Location,
    LostMotionFitting,
    Machine,
    Points,
    Position,
    RailSection,
    Stretcher,
    SwitchDesign,
)

counter = itertools.count(1)


def make_user(username: str, post: str | None = None, name: str = ""):
    """A user holding one post (the group's name), or none."""
    user, new = get_user_model().objects.get_or_create(username=username)
    if new:
        user.first_name = name
        user.set_password("points-and-rods-7")
        user.save()
        if post:
            user.groups.add(Group.objects.get_or_create(name=post)[0])
    return user


def make_location(code: str = "SKB", **fields) -> Location:
    location, _ = Location.objects.get_or_create(
        code=code, defaults={"name": "Skelbeck", "mileage": 0, **fields}
    )
    return location


def make_rail(code: str = "95RBH", profile: str = "bullhead", **fields) -> RailSection:
    rail, _ = RailSection.objects.get_or_create(
        code=code,
        defaults={
            "profile": profile,
            "head_mm": 69.85,
            "foot_mm": 69.85,
            "source": "made for a test",
            **fields,
        },
    )
    return rail


def make_design(code: str = "B bullhead", **fields) -> SwitchDesign:
    """The B switch of check value section 6: 613 ft, 22 ft 6 in, planed 1 in 32 over 7 ft 4 in."""
    design, _ = SwitchDesign.objects.get_or_create(
        code=code,
        defaults={
            "shape": "semi_curved",
            "heel": "held",
            "heel_mm": 6858,
            "slope": 32,
            "planing_mm": 2235.2,
            "radius_mm": 186842.4,
            "head_mm": 69.85,
            "least_stretchers": 2,
            "source": "made for a test",
            **fields,
        },
    )
    return design


def make_points(number: str | None = None, location: Location | None = None, **fields) -> Points:
    """Track-circuited facing bullhead points with a B switch, nothing else at the toe."""
    defaults = {
        "layout": "turnout",
        "hand": "left",
        "gauge_mm": 1435,
        "use": "facing",
        "track_circuited": True,
        "soleplate": "none",
        "detection_rods": "none",
        "machine_side": "left",
        "normal_lie": "left_closed",
    }
    if "design" not in fields:
        defaults["design"] = make_design()
    if "rail_section" not in fields:
        defaults["rail_section"] = make_rail()
    return Points.objects.create(
        location=location or make_location(),
        number=number or str(next(counter)),
        **{**defaults, **fields},
    )


def with_places(points: Points) -> Points:
    """The same points as pages read them, with what is fitted where."""
    return Points.objects.with_places().get(pk=points.pk)


def make_position(points: Points, order: int = 1, **fields) -> Position:
    """A place 1.2 m further from the toe for each number; 0 is the lock stretcher's."""
    role = "lock" if order == 0 else "drive" if order == 1 else "intermediate"
    defaults = {"role": role, "distance_mm": 200 + 1200 * order}
    defaults |= {"driven": order == 1, "kicker_required": False}
    return Position.objects.create(points=points, order=order, **{**defaults, **fields})


def make_stretcher(tag: str | None = None, **fields) -> Stretcher:
    """A good yellow adjustable rod for bullhead rail, insulated on the left, for any place."""
    defaults = {
        "for_lock": False,
        "for_drive": True,
        "for_intermediate": True,
        "for_back": True,
        "generation": "yellow",
        "adjustability": "adjustable",
        "form": "straight",
        "insulation_side": "left",
        "insulation_kind": "bush_and_plates",
        "left_shoe": "bullhead",
        "left_shoe_colour": "orange",
        "right_shoe": "bullhead",
        "right_shoe_colour": "orange",
        "kicker": False,
        "drive_lug": "plain",
        "lug_beyond": False,
        "left_fixings": "full_and_half_nut",
        "right_fixings": "full_and_half_nut",
        "torque_nm": 220,
        "length_min_mm": 1150,
        "length_max_mm": 1350,
        "thread_pitch_mm": 4,
        "notches": "not_a_lock",
        "can_be_turned": True,
        "condition": "good",
    }
    return Stretcher.objects.create(tag=tag or f"ST-{next(counter):03}", **{**defaults, **fields})


def make_machine(tag: str | None = None, **fields) -> Machine:
    defaults = {
        "kind": "motor",
        "stroke_mm": 203,
        "unlocking_stroke_mm": 50,
        "internal_lost_motion_mm": 60,
        "drive_insulated": True,
        "lock_rod_insulated": True,
        "condition": "good",
    }
    return Machine.objects.create(tag=tag or f"MC-{next(counter):03}", **{**defaults, **fields})


def make_lost_motion_fitting(tag: str | None = None, **fields) -> LostMotionFitting:
    defaults = {
        "kind": "sleeve",
        "lost_motion_min_mm": 20,
        "lost_motion_max_mm": 60,
        "suits_plain": True,
        "suits_thin": False,
        "suits_raised_head": False,
        "condition": "good",
    }
    return LostMotionFitting.objects.create(
        tag=tag or f"LM-{next(counter):03}", **{**defaults, **fields}
    )


def make_fitting(part, position: Position, **fields) -> Fitting:
    from assets.models.fittings import link_field

    defaults = {"fitted_on": date(2025, 3, 1), "fitted_by": "Lineman A"}
    return Fitting.objects.create(
        position=position, **{link_field(part): part, **defaults, **fields}
    )


def make_rigged_points(number: str | None = None, **fields) -> Points:
    """Points with a lock stretcher and two more rods fitted, tagged after the number."""
    points = make_points(number, **fields)
    for order in range(3):
        lock = {"for_lock": True, "notches": "cut", "kicker": False} if order == 0 else {}
        rod = make_stretcher(f"ST-{points.pk}-{order}", **lock)
        make_fitting(rod, make_position(points, order))
    return points


def set_limit(quantity: str = "fwc", minimum=None, maximum=None, **fields):
    """An intervention limit of the whole railway, not yet confirmed."""
    from inspections.models import Limit

    defaults = {"effective_from": date(2020, 1, 1), "source": "made for a test"}
    return Limit.objects.create(
        quantity=quantity, minimum=minimum, maximum=maximum, **{**defaults, **fields}
    )


def make_instrument(tag: str = "RULE-1", kind: str = "rule", **fields):
    from inspections.models import Instrument

    return Instrument.objects.create(tag=tag, kind=kind, **fields)


def make_visit(points: Points, at: datetime | None = None, *, readings=(), looks=(), **fields):
    """A routine visit. ``readings`` are (quantity, position, value, more fields) and ``looks``
    are (item, position, found)."""
    from inspections.recording.entries import ExaminationEntry, ReadingEntry
    from inspections.recording.visit import record_inspection

    return record_inspection(
        points=points,
        at=at or noon(2026, 5, 4),
        **{"by": "Lineman A", "user": None, "reason": "routine", **fields},
        readings=[
            ReadingEntry(quantity, value, position, **(more[0] if more else {}))
            for quantity, position, value, *more in readings
        ],
        examinations=[ExaminationEntry(item, found, position) for item, position, found in looks],
    )


def make_fwc_visit(points: Points, at: datetime, value: float, order: int = 1, **fields):
    """A visit with one free wheel clearance at one stretcher, left closed."""
    position = points.positions.get(order=order)
    reading = ("fwc", position, value, {"lie": "left_closed"})
    return make_visit(points, at, readings=[reading], **fields)


def noon(year: int, month: int, day: int) -> datetime:
    """Midday UTC of a day: no clock change is near."""
    return datetime(year, month, day, 12, tzinfo=UTC)


def make_inspection(points: Points, at: datetime | None = None, **fields):
    """A routine visit by Lineman A, at midday on 1 June 2025 unless said."""
    from inspections.models import Inspection

    defaults = {"by": "Lineman A", "reason": "routine"}
    return Inspection.objects.create(
        points=points, at=at or noon(2025, 6, 1), **{**defaults, **fields}
    )


def make_reading(inspection, position: Position | None = None, value: float | None = 46, **fields):
    """One reading more of a visit, checked and judged as any other by the limits of that day.

    Free wheel clearance with the left switch closed unless said; at least 50 mm is asked of that
    where the register has no limit for it. ``fields`` are those of an entry, and of the row.
    """
    from inspections.models import Limit
    from inspections.recording.entries import ReadingEntry, VisitWriter, raise_any

    quantity = fields.pop("quantity", "fwc")
    if quantity == "fwc" and not Limit.objects.filter(quantity="fwc").exists():
        set_limit("fwc", 50, source="common practice, no source")
    own = ("at_mm", "side", "not_taken_reason")
    given = {name: fields.pop(name) for name in own if name in fields}
    lie = fields.pop("lie", "left_closed" if quantity == "fwc" else "")
    entry = ReadingEntry(quantity, value, position, lie=lie, **given)
    writer = VisitWriter(inspection, (), entered_by=inspection.by)
    raise_any({entry.label: writer.errors_of_reading(entry, rod_known=True)})
    reading = writer.reading(entry)
    for name, one in fields.items():
        setattr(reading, name, one)
    reading.save()
    return reading


def make_examination(inspection, position: Position | None = None, **fields):
    """Fixings found defective."""
    from inspections.models import Examination

    defaults = {"item": "fixings", "found": "defective"}
    return Examination.objects.create(
        inspection=inspection, position=position, **{**defaults, **fields}
    )


def make_defect(points: Points | None = None, **fields):
    """Raised by the signalling technician at midday on 1 June 2025; mended by signalling too."""
    from defects.moves import moves
    from defects.moves.raising import found_by_hand
    from defects.routing.routing import found_of
    from inspections.verdicts.stored import finding_of

    entry = fields.pop("reading", None) or fields.pop("examination", None)
    found, part = found_of(fields.pop("found", "")), fields.pop("part", None)
    position = fields.pop("position", None)
    if entry is None:
        points = points or make_points()
        finding = found_by_hand(points, found, position, part=part)
    else:
        points = points or entry.inspection.points
        finding = replace(finding_of(entry), part=part)
    defaults = {
        "user": make_user("technician", "signalling", "Lineman A"),
        "at": noon(2025, 6, 1),
        "title": "Loose fixing",
    }
    return moves.raise_defect(finding, points=points, **{**defaults, **fields})
