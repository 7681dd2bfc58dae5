"""Builders for the switch arithmetic: a B switch with its readings, each with defaults."""

from assets.engineering.blade import Blade, influence
from assets.engineering.facts import Interval
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.rails import stiffness_range
from assets.engineering.shape import SemiCurved, Shape, expected_gap
from assets.engineering.switch_inputs import LieReadings, Read, Rod, SwitchFacts, SwitchLimits
from assets.engineering.wheels import Wheels
from assets.engineering.words import Adjustability, Heel, Role

PLACES = (200.0, 1200.0, 2800.0, 4800.0)  # mm from the toe: lock, first, second, back
LIMITS = SwitchLimits(50.0, 102.0, 108.0, 120.0)
STIFFNESS = Interval(*[stiffness_range(421.6).least] * 2)  # 113A


def make_shape(**sizes) -> SemiCurved:
    """A B switch: 1 in 32 over 7 ft 4 in, then 613 ft radius, 22 ft 6 in long."""
    known = {"slope": 32, "planing_mm": 2235.2, "radius_mm": 186_842.4}
    return SemiCurved(**{**known, "head_mm": 69.85, "heel_mm": 6858.0, **sizes})


def make_rod(order: int, **facts) -> Rod:
    role = {0: Role.LOCK, 3: Role.BACK}.get(order, Role.INTERMEDIATE)
    known = {"role": role, "distance_mm": PLACES[order], "thread_pitch_mm": 4.0}
    return Rod(order, **{**known, "adjustability": Adjustability.ADJUSTABLE, **facts})


def make_rods() -> tuple[Rod, ...]:
    return tuple(make_rod(order) for order in range(len(PLACES)))


def free_blade(opening_mm: float = 108.0, shape: Shape | None = None) -> Blade:
    """The blade that the lock alone opens to this at the toe."""
    shape = shape or make_shape()
    per_mm = influence([PLACES[0]], shape.heel_mm, True, 0.0)[0]
    return Blade.through([PLACES[0]], [opening_mm / per_mm], shape.heel_mm)


def clearances(off_mm: dict[int, float] | None = None, opening_mm: float = 108.0) -> list[float]:
    """FWC at each rod of a switch opened by its lock, rods off by so much (+ further open)."""
    switch = OpenSwitch(make_shape(), free_blade(opening_mm))
    return [float(switch.fwc(x)) + (off_mm or {}).get(order, 0.0) for order, x in enumerate(PLACES)]


def back_forced(at_back_mm: float, at_lock_mm: float = 103.0) -> list[float]:
    """FWC at each rod where lock and back rod hold the blade, and the others follow it."""
    shape = make_shape()
    blade = Blade.through([PLACES[0], PLACES[3]], [at_lock_mm, at_back_mm], shape.heel_mm)
    return OpenSwitch(shape, blade).fwc(PLACES).tolist()


def closed_side(off_mm: float = 0.0) -> dict[str, tuple[Read, ...]]:
    """The closed rail as read at each rod, off its home by so much: residual opening over the
    planing, the gap on the closed side behind it."""
    gaps = [expected_gap(make_shape(), x) for x in PLACES]
    return {
        "residual": tuple(Read(off_mm, o) for o, gap in enumerate(gaps) if not gap),
        "closed_gap": tuple(Read(gap + off_mm, o) for o, gap in enumerate(gaps) if gap),
    }


def make_lie(fwc=None, **readings) -> LieReadings:
    """One lie read at every rod, unless told otherwise; None in ``fwc`` is a rod not read."""
    fwc = clearances() if fwc is None else fwc
    known = {
        "opening_mm": None,
        "fwc": tuple(Read(mm, order) for order, mm in enumerate(fwc) if mm is not None),
        **closed_side(),
        "gauge": (Read(1432.0, 0), Read(1432.0, 3)),
    }
    return LieReadings(**{**known, **readings})


def make_switch(left=None, right=None, **facts) -> SwitchFacts:
    """Points well set up, unless told otherwise; ``left`` and ``right`` are FWC at the rods."""
    known = {
        "shape": make_shape(),
        "rods": make_rods(),
        "heel": Heel.HELD,
        "stiffness_n_mm2": STIFFNESS,
        "gauge_mm": 1432.0,
        "limits": LIMITS,
        "wheels": Wheels(1357, 26, 1410),
        "left_closed": make_lie(left),
        "right_closed": make_lie(left if right is None else right),
    }
    return SwitchFacts(**{**known, **facts})
