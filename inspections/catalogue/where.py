"""Where on a set of points something was measured, looked at or found, and what is the same place.

One rule, here: in Python (``Where.same``), for a query (``Where.lookups``) and for the database's
own rules (``same_place_sql``).
"""

from dataclasses import dataclass, field, replace
from typing import Any

from assets.engineering.words import Lie

# The narrowest place between two rods is not marked on the rail: found again, it is a little off.
SAME_PLACE_MM = 300


@dataclass(frozen=True)
class Where:
    """A place: at a stretcher (``position``, its id), ``at_mm`` from the toe, or neither.

    A gauge that was read without saying on which lie is of either: so is what was found with it.
    Neither is the toe for a reading and the points as a whole for anything else. ``points`` None is
    whichever points are in hand. ``exact`` False names no side, lie or distance: found by hand or
    in the register, at any of them. ``name`` is the stretcher's, for words.
    """

    points: int | None = None
    position: int | None = None
    at_mm: float | None = None
    side: str = ""
    lie: str = ""
    exact: bool = True
    name: str = field(default="", compare=False)

    def same(self, other: "Where") -> bool:
        """The same place: what was found at one, found at the other, is found again."""
        if (self.points, self.position) != (other.points, other.position):
            return False
        if not (self.exact and other.exact):
            return True
        if self.side != other.side or (self.lie != other.lie and self.lie and other.lie):
            return False
        if self.at_mm is None or other.at_mm is None:
            return self.at_mm == other.at_mm
        return abs(self.at_mm - other.at_mm) <= SAME_PLACE_MM

    def lookups(self) -> dict[str, Any]:
        """The readings of a visit at the same place, as conditions of a query."""
        here = self.lookups_of_looks()
        if not self.exact:
            return here
        here |= {"side": self.side}
        if self.lie:
            here |= {"lie": self.lie}
        if self.at_mm is None:
            return here | {"at_mm__isnull": True}
        return here | {"at_mm__range": (self.at_mm - SAME_PLACE_MM, self.at_mm + SAME_PLACE_MM)}

    def lookups_of_looks(self) -> dict[str, Any]:
        """The same of things looked at, which have neither side, lie nor distance."""
        return {"inspection__points": self.points, "position": self.position}

    @property
    def spot(self) -> "Where":
        """The place as a form asks for it: anywhere between the stretchers is one."""
        free = None if self.at_mm is None else 0.0
        return replace(self, points=None, at_mm=free)

    @property
    def words(self) -> str:
        """As a heading: "second stretcher, left closed", "at the toe", "2100 mm from the toe"."""
        if self.name:
            return ", ".join([self.name, *self._side_and_lie])
        where = "at the toe" if self.at_mm is None else f"{self.at_mm:g} mm from the toe"
        return ", ".join([where, *self._side_and_lie])

    @property
    def phrase(self) -> str:
        """Within a sentence: "at the second stretcher, left closed"."""
        return f"at the {self.words}" if self.name else self.words

    @property
    def _side_and_lie(self) -> list[str]:
        side = [f"{self.side} side"] if self.side else []
        return side + ([Lie(self.lie).label] if self.lie else [])


def same_place_sql(entry: str, defect: str, at_a_side: bool) -> str:
    """``Where.same`` of a reading (``at_a_side``) or look and a defect, by their names in SQL.

    A defect that was not raised from a reading names no side, lie or distance.
    """
    here = f"{entry}.position_id IS NOT DISTINCT FROM {defect}.position_id"
    if not at_a_side:
        return here
    return f"""{here} AND ({defect}.reading_id IS NULL OR (
            {entry}.side = {defect}.side AND ({defect}.lie = '' OR {entry}.lie = {defect}.lie)
            AND ({entry}.at_mm IS NOT DISTINCT FROM {defect}.at_mm
                 OR ABS({entry}.at_mm - {defect}.at_mm) <= {SAME_PLACE_MM})))"""
