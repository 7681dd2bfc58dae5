"""Turning the nut of an adjustable rod, counted in flats."""

from dataclasses import dataclass

FLATS_PER_TURN = 6  # of a hexagon nut
_WHOLE = 0.01  # of a flat


@dataclass(frozen=True, slots=True)
class Turning:
    """How far to turn a nut, counted in whole flats; the sign is that of the change."""

    flats: int
    exact: bool = True  # else the change falls between two flats, and this is the nearer

    @property
    def turns(self) -> float:
        return self.flats / FLATS_PER_TURN

    def __str__(self) -> str:
        """ "1 turn and 2 flats", without the sign."""
        turns, flats = divmod(abs(self.flats), FLATS_PER_TURN)
        parts = [_counted(turns, "turn"), _counted(flats, "flat")]
        return " and ".join(part for part in parts if part) or "no turn"


def turning(change_mm: float, length_per_turn_mm: float) -> Turning:
    """The whole number of flats nearest to a change of length (mm).

    >>> turn = turning(-5.4, length_per_turn_mm=4)  # shorter by 5.4 mm: 8.1 flats
    >>> turn.flats, str(turn), turn.exact
    (-8, '1 turn and 2 flats', False)
    """
    flats = change_mm / flat_mm(length_per_turn_mm)
    return Turning(round(flats), exact=abs(flats - round(flats)) < _WHOLE)


def flat_mm(length_per_turn_mm: float) -> float:
    """Change of length (mm) for one flat of the nut."""
    return length_per_turn_mm / FLATS_PER_TURN


def _counted(number: int, noun: str) -> str:
    if not number:
        return ""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
