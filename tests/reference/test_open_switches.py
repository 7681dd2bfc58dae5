"""The trade's rule of the open switch, worked out from published shapes alone.

A flexible switch opened about 108 mm (4 1/4 in) at the toe by the lock stretcher alone keeps at
least 50 mm (2 in) behind the blade: common practice, no source.
"""

import pytest

from assets.engineering.blade import Blade, influence
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import SemiCurved

INCH, FOOT = 25.4, 304.8  # mm
LOCK = 200.0  # mm from the toe


def make_lettered(slope, radius_ft, heel_ft):
    """A bullhead semi-curved switch, planed over 2 3/4 in × N."""
    return SemiCurved(slope, 2.75 * slope * INCH, radius_ft * FOOT, 2.75 * INCH, heel_ft * FOOT)


# Switch radius and rail length: prototype data page "Turnout dimensions",
# s-scale.org.uk/turnout.htm. Least clearance: worked out by two independent routes.
@pytest.mark.parametrize(
    ("shape", "least_mm"),
    [
        pytest.param(make_lettered(24, 482, 20), 65.0, id="A"),
        pytest.param(make_lettered(32, 613, 22.5), 57.4, id="B"),
    ],
)
def test_lettered_switch_opened_by_its_lock_alone_keeps_the_published_clearance(shape, least_mm):
    per_mm = influence([LOCK], shape.heel_mm, True, 0.0)[0]
    switch = OpenSwitch(shape, Blade.through([LOCK], [108 / per_mm], shape.heel_mm))
    assert switch.opening_mm == pytest.approx(108, abs=1e-9)
    assert switch.least_fwc.mm == pytest.approx(least_mm, abs=0.2)
    assert switch.least_fwc.mm > 50
    assert switch.least_fwc.at_mm == pytest.approx(2.75 * shape.slope * INCH, abs=1)
