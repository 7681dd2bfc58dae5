import pytest

from assets.engineering.blade import Blade
from assets.engineering.cannot_say import CannotSay
from assets.engineering.drive import DrivenPlace, driven
from assets.engineering.lost_motion import Drive


def test_stroke_comes_to_an_opening_at_the_toe():
    """180 mm less 20 inside and 60 in the fitting: 100 mm at the rod, more at the toe."""
    found = driven([DrivenPlace(400, Drive(180, 60, 20), 60)], 6858)
    assert found.movements_mm == (100,)
    assert found.opening_mm == pytest.approx(Blade.through([400], [100], 6858).toe_mm)
    assert found.opening_mm > 100


def test_levers_come_before_the_fitting():
    assert DrivenPlace(400, Drive(240, 60, 20, 0.75), 60).movement_mm == pytest.approx(105)


def test_long_switch_driven_at_two_places_follows_both():
    front = DrivenPlace(400, Drive(180, 60, 20), 60)
    supplementary = DrivenPlace(4000, Drive(60, 0, 5), 20)
    found = driven([supplementary, front], 8500, stiffness_n_mm2=8e11)
    assert found.movements_mm == (100, 35)
    assert found.blade.at([400, 4000]) == pytest.approx([100, 35])
    assert found.blade.reactions_n is not None


def test_lost_motion_that_eats_the_stroke_is_said():
    with pytest.raises(CannotSay, match="takes up the whole stroke of 80 mm"):
        driven([DrivenPlace(400, Drive(80, 60, 20), 60)], 6858)


def test_drive_without_a_place_is_refused():
    with pytest.raises(CannotSay, match="no stretcher is given"):
        driven([], 6858)


def test_the_least_movement_is_a_movement_and_none_is_not():
    assert DrivenPlace(400, Drive(180, 60, 20)).movement_mm == 160
    assert DrivenPlace(400, Drive(180, 60, 20), 159.5).movement_mm == 0.5
    with pytest.raises(CannotSay, match="takes up the whole stroke"):
        assert DrivenPlace(400, Drive(180, 60, 20), 160).movement_mm
