"""Where a rail that may only push against its supports touches them.

Of every way in which it could lie, exactly one has each support either touched and pushing or
clear and idle (w = S p + w0, w >= 0, p >= 0, p·w = 0). Found by taking in the place that goes
through furthest and letting go of those that would have to pull, until none is left of either:
the loop of Lawson and Hanson, "Solving Least Squares Problems" (1974), chapter 23.
"""

import numpy as np

from assets.engineering.cannot_say import CannotSay
from assets.engineering.shape import Floats

THROUGH_MM = 1e-7  # a place counts as going through its support beyond this
_CANNOT_BE_MM = 1e-4  # what rounding may leave at the end
_ROUNDS_A_PLACE = 4  # ten times what the hardest of many thousand cases took


def pushes(flexibility: Floats, free_mm: Floats) -> Floats:
    """The push of each support, 0 where the rail is clear of it.

    ``flexibility``, shape (k, k): how far a unit push at one place moves the rail at another.
    ``free_mm``, shape (k,): how far the rail would stand clear of each support if none pushed.
    CannotSay where the loop does not end, which no case tried has shown.
    """
    places = len(free_mm)
    pushed = np.zeros(places)
    if not places or free_mm.min() >= -THROUGH_MM:
        return pushed
    scale = np.sqrt(np.diagonal(flexibility))
    flexible = flexibility / np.outer(scale, scale)
    free = free_mm / scale
    touching: list[int] = []
    idle = np.zeros(places, dtype=bool)  # taken in and let go at once: nothing but rounding
    for _ in range(_ROUNDS_A_PLACE * places):
        clear = (flexible @ pushed + free) * scale
        clear[touching] = 0.0
        through = (clear < -THROUGH_MM) & ~idle
        if not through.any():
            if clear.min() < -_CANNOT_BE_MM:
                break
            return pushed / scale
        furthest = int(np.argmin(np.where(through, clear / scale, 0.0)))
        before = pushed
        pushed, touching = _all_pushing(flexible, free, pushed, [*touching, furthest])
        idle[furthest] = furthest not in touching
        if not np.array_equal(before, pushed):
            idle &= np.arange(places) == furthest
    raise CannotSay("where the closed switch rail touches cannot be worked out: check the shape")


def _all_pushing(
    flexible: Floats, free: Floats, pushed: Floats, touching: list[int]
) -> tuple[Floats, list[int]]:
    """The pushes that close every touching place, those let go that would have to pull."""
    while True:  # what was touching before can go on pushing without the new one
        wanted = np.linalg.solve(flexible[np.ix_(touching, touching)], -free[touching])
        if wanted.min() > 0:
            found = np.zeros_like(pushed)
            found[touching] = wanted
            return found, touching
        now = pushed[touching]
        pulls = np.flatnonzero(wanted <= 0)
        whole = now[pulls] - wanted[pulls]
        ways = np.where(now[pulls] > 0, now[pulls] / np.where(whole > 0, whole, 1.0), 0.0)
        share = ways.min()
        moved = now + share * (wanted - now)
        moved[pulls[ways <= share]] = 0.0
        pushed = np.zeros_like(pushed)
        pushed[touching] = np.maximum(moved, 0.0)
        # One just taken in pushes nothing yet and is kept unless it is the one that would pull.
        let_go = set(pulls[ways <= share].tolist())
        touching = [place for at, place in enumerate(touching) if at not in let_go]
