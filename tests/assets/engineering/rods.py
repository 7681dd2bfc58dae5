"""Facts made by hand: a rod and a place that suit each other in everything, to be changed."""

from dataclasses import replace

from assets.engineering.facts import (
    Interval,
    MachineFacts,
    PlaceFacts,
    PointsFacts,
    PositionFacts,
    RailFacts,
    ShoeFacts,
    StretcherFacts,
    Ticked,
)
from assets.engineering.words import (
    Adjustability,
    Condition,
    DetectionRods,
    DriveLug,
    Ends,
    Fixings,
    Form,
    Generation,
    InsulationKind,
    InsulationSide,
    Layout,
    MachineKind,
    Notches,
    Profile,
    Role,
    ShoeColour,
    Side,
    Soleplate,
    Use,
)

BULLHEAD_SHOE = ShoeFacts(Profile.BULLHEAD, ShoeColour.ORANGE)
FLAT_BOTTOM_SHOE = ShoeFacts(Profile.FLAT_BOTTOM, ShoeColour.YELLOW)
BULLHEAD_RAIL = RailFacts("95RBH", Profile.BULLHEAD, 69.85, 69.85)
LUGS = (DriveLug.PLAIN, DriveLug.THIN, DriveLug.RAISED_HEAD)
FLAT_BOTTOM_RAIL = RailFacts("113A", Profile.FLAT_BOTTOM, 69.85, 140.0)


def made_for(*roles: Role) -> Ticked[Role]:
    """Made for these, and known not to be made for any other."""
    return Ticked.of({role: role in roles for role in Role})


def takes(*lugs: DriveLug) -> Ticked[DriveLug]:
    """Takes these lugs, and is known to take no other."""
    return Ticked.of({lug: lug in lugs for lug in LUGS})


def make_rod(tag: str = "ST-014", **facts) -> StretcherFacts:
    """A good drive rod for bullhead rail, insulated on the left, with a lug at each end."""
    known = {
        "made_for": made_for(Role.DRIVE),
        "generation": Generation.YELLOW,
        "adjustability": Adjustability.ADJUSTABLE,
        "form": Form.STRAIGHT,
        "insulation_side": InsulationSide.LEFT,
        "insulation_kind": InsulationKind.BUSH_AND_PLATES,
        "left_shoe": BULLHEAD_SHOE,
        "right_shoe": BULLHEAD_SHOE,
        "kicker": False,
        "drive_lug": DriveLug.PLAIN,
        "lug_end": Ends.BOTH,
        "lug_beyond": False,
        "left_fixings": Fixings.FULL_AND_HALF_NUT,
        "right_fixings": Fixings.FULL_AND_HALF_NUT,
        "torque_nm": 220.0,
        "length_min_mm": 1290.0,
        "length_max_mm": 1350.0,
        "thread_pitch_mm": 2.0,
        "notches": Notches.NOT_A_LOCK,
        "can_be_turned": None,
        "condition": Condition.GOOD,
    }
    return StretcherFacts(tag=tag, **{**known, **facts})


def make_lock(tag: str = "ST-001", **facts) -> StretcherFacts:
    """A lock stretcher with notches cut 108 mm apart."""
    known = {
        "made_for": made_for(Role.LOCK),
        "drive_lug": DriveLug.NONE,
        "lug_end": Ends.NONE,
        "notches": Notches.CUT,
        "notch_distance_mm": 108.0,
    }
    return make_rod(tag, **{**known, **facts})


def make_machine(**facts) -> MachineFacts:
    """A motor machine whose drive moves 90 mm and needs no lost motion outside."""
    known = {
        "kind": MachineKind.MOTOR,
        "stroke_mm": 160.0,
        "unlocking_stroke_mm": 60.0,
        "internal_lost_motion_mm": 70.0,
        "drive_insulated": True,
        "lock_rod_insulated": True,
    }
    return MachineFacts(**{**known, **facts})


def make_place(order: int = 1, **facts) -> PlaceFacts:
    """Place 0 is the lock stretcher's, 1 is driven, any other is not."""
    driven, travel = order == 1, 108.0 - 20.0 * order
    known = {
        "role": {0: Role.LOCK, 1: Role.DRIVE}.get(order, Role.BACK),
        "distance_mm": 200.0 + 1500.0 * order,
        "space_ahead_mm": 100.0,
        "space_behind_mm": 100.0,
        "kicker_required": False,
        "driven": driven,
        "separation": Interval(1320.0, 1330.0),
        "travel_mm": travel,
        "permitted_travel": Interval(travel - 5.0, travel + 10.0),
        "measured_travel": Interval(108.0, 108.0) if order == 0 else None,
        "machine": make_machine() if driven else None,
    }
    return PlaceFacts(order, **{**known, **facts})


def make_points(*places: PlaceFacts, **facts) -> PointsFacts:
    """Track-circuited bullhead points that need two stretchers and a lock stretcher.

    There is no soleplate and nothing detects.
    """
    known = {
        "layout": Layout.TURNOUT,
        "use": Use.FACING,
        "rail": BULLHEAD_RAIL,
        "one_flat_bottom_family": True,
        "one_depth": True,
        "machine_side": Side.LEFT,
        "gauge_mm": 1435.0,
        "track_circuited": True,
        "soleplate": Soleplate.NONE,
        "detection_rods": DetectionRods.NONE,
        "least_stretchers": 2,
    }
    return PointsFacts(key="SKB 12", places=places, **{**known, **facts})


def make_position(
    order: int = 1,
    place: dict | None = None,
    points: dict | None = None,
    lock: StretcherFacts | None = None,
    others: tuple[StretcherFacts, ...] | None = None,
) -> PositionFacts:
    """The first stretcher's place, with a lock stretcher and a back stretcher fitted.

    ``place`` and ``points`` change facts of the place asked about and of the points; ``others``
    are the rods at places 2, 3 ...
    """
    back = others if others is not None else (make_rod("ST-003", made_for=made_for(Role.BACK)),)
    places = [make_place(0, stretcher=lock or make_lock()), make_place(1)]
    places += [make_place(n, stretcher=rod) for n, rod in enumerate(back, start=2)]
    places = [replace(p, **(place or {})) if p.order == order else p for p in places]
    return PositionFacts(make_points(*places, **(points or {})), order)
