import pytest

from assets.engineering.cannot_say import CannotSay
from assets.engineering.wheels import Wheels


def test_margin_is_what_the_wheelset_reaches_beyond_the_passage():
    assert Wheels(1357, 26).reach_mm == 1383
    assert Wheels(1357, 26).margin_mm(1380) == 3
    assert Wheels(1357, 26).margin_mm(1385) == -2


def test_wheelset_that_can_be_needs_no_note():
    assert Wheels(1357, 27, 1410).note == ""
    assert Wheels(1357, 22).note == ""


@pytest.mark.parametrize("sizes", [(0, 22), (1357, -1), (float("nan"), 22), (None, 22)])
def test_wheelset_that_cannot_be_is_refused(sizes):
    with pytest.raises(CannotSay, match="of the wheels"):
        Wheels(*sizes)
