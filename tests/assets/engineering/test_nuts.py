import pytest

from assets.engineering.nuts import flat_mm, turning


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (4.0, "1 turn"),
        (-5.3, "1 turn and 2 flats"),
        (0.7, "1 flat"),
        (8.67, "2 turns and 1 flat"),
        (0.1, "no turn"),
    ],
)
def test_change_of_length_in_turns_and_flats(change, words):
    """One turn = 4 mm of length (The Rail Engineer 120, October 2014, p. 60)."""
    assert str(turning(change, 4.0)) == words


def test_turns_carry_the_sign_of_the_change():
    assert turning(-6.0, 4.0).turns == -1.5


def test_change_between_two_flats_says_so():
    assert turning(4.0, 4.0).exact
    assert not turning(4.3, 4.0).exact
    assert flat_mm(4.0) == pytest.approx(0.6667, abs=1e-4)
