"""The show-piece of the arithmetic: one stretcher opens the toe, and the blade keeps clear.

A flexible switch opened about 108 mm at the toe by the lock stretcher alone keeps at least 50 mm
behind the blade (common practice, no source); the picture shows that this comes out of the beam.
"""

from pathlib import Path

from django.template import Engine

from assets.engineering.blade import Blade, influence
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import SemiCurved

HERE = Path(__file__).parent
FOOT_MM, INCH_MM, HEAD_MM = 304.8, 25.4, 69.85
OPENING_MM, LOCK_AT_MM, LIMIT_MM = 108.0, 200.0, 50.0
# name, radius (ft), length (ft), planed 1 in n: a model engineering society's published table
SWITCHES = (("A", 482, 20.0, 24), ("B", 613, 22.5, 32))
WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 720, 380, 60, 20, 20, 50
LONGEST_MM, MOST_MM = 7_000.0, 140.0


def open_switches() -> str:
    """Clearance along the A and B switches opened at the toe by the lock stretcher alone."""
    lines = []
    for name, radius, length, slope in SWITCHES:
        shape = SemiCurved(
            slope, 2.75 * INCH_MM * slope, radius * FOOT_MM, HEAD_MM, length * FOOT_MM
        )
        per_mm = influence([LOCK_AT_MM], shape.heel_mm, True, 0.0)[0]
        blade = Blade.through([LOCK_AT_MM], [OPENING_MM / per_mm], shape.heel_mm)
        switch = OpenSwitch(shape, blade)
        pairs = zip(switch.places_mm, switch.fwc_mm, strict=True)
        lines.append(
            {
                "name": name,
                "points": " ".join(f"{_x(x)},{_y(y)}" for x, y in pairs if y <= MOST_MM),
                "least": switch.least_fwc,
                "x": _x(switch.least_fwc.at_mm),
                "y": _y(switch.least_fwc.mm),
            }
        )
    context = {
        "lines": lines,
        "width": WIDTH,
        "height": HEIGHT,
        "left": LEFT,
        "right": WIDTH - RIGHT,
        "top": TOP,
        "bottom": HEIGHT - BOTTOM,
        "limit": LIMIT_MM,
        "limit_y": _y(LIMIT_MM),
        "lock_x": _x(LOCK_AT_MM),
        "x_ticks": [(_x(1000 * metre), metre) for metre in range(8)],
        "y_ticks": [(_y(mm), mm) for mm in range(0, 141, 20)],
    }
    engine = Engine(dirs=[HERE], libraries={"l10n": "django.templatetags.l10n"})
    return engine.render_to_string("open_switches.svg", context)


def _x(mm: float) -> float:
    return round(LEFT + mm / LONGEST_MM * (WIDTH - LEFT - RIGHT), 1)


def _y(mm: float) -> float:
    return round(HEIGHT - BOTTOM - mm / MOST_MM * (HEIGHT - TOP - BOTTOM), 1)
