"""Wheels behind the open switch, against the published limits of wheel and track."""

import pytest

from assets.engineering.wheels import Wheels, clearance_mm, passage_mm

PASSAGE = 1380  # most free wheel passage in switches: Regulation (EU) 1299/2014, 4.2.8.6(1)

# Regulation (EU) 321/2013, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435: least
# back-to-back, flange thickness and front-to-front by wheel diameter; then their margin to 1380.
WHEELSETS = [
    pytest.param(Wheels(1357, 22, 1410), -1.0, id="over 840 mm"),
    pytest.param(Wheels(1358, 25, 1412), 3.0, id="760 to 840 mm"),
    pytest.param(Wheels(1359, 27.5, 1415), 6.5, id="330 to 760 mm"),
]


@pytest.mark.parametrize(("wheels", "margin"), WHEELSETS)
def test_least_wheelset_against_the_greatest_passage(wheels, margin):
    assert wheels.margin_mm(PASSAGE) == pytest.approx(margin)


def test_both_extremes_of_a_large_wheel_cannot_meet_in_one_wheelset():
    """1357 + 22 + 22 = 1401 mm, under the minimum front-to-front of 1410."""
    note = Wheels(1357, 22, 1410).note
    assert "would measure 1401 mm" in note
    assert "under the minimum front-to-front of 1410 mm" in note
    assert "must be at least 31 mm" in note


# Worked out from passage = gauge - residual opening - clearance, in the definitions of
# Regulation (EU) 1299/2014, appendix S.
@pytest.mark.parametrize(
    ("gauge", "residual", "passage", "clearance"),
    [
        (1435, 0, 1380, 55),
        (1432, 0, 1380, 52),
        (1432, 1.5, 1380, 50.5),
        (1432, 8, 1380, 44),
        (1432, 0, 1382, 50),
    ],
)
def test_gauge_residual_opening_passage_and_clearance_check_each_other(
    gauge, residual, passage, clearance
):
    assert clearance_mm(gauge, residual, passage) == pytest.approx(clearance)
    assert passage_mm(gauge, residual, clearance) == pytest.approx(passage)
