"""Where the rails and rods of a set of points lie, in mm.

x runs from the toe (0) towards the heel, u across: 0 is the middle of the track at the toe,
the left is negative. What is not known is drawn in the usual way and named in ``doubts``.
"""

import itertools
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from assets.engineering.blade import Blade
from assets.engineering.facts import PlaceFacts, PointsFacts
from assets.engineering.open_switch import OpenSwitch
from assets.engineering.shape import Shape, Straight, gap_behind
from assets.engineering.words import (
    DriveLug,
    Ends,
    Heel,
    InsulationSide,
    Lie,
    Profile,
    Side,
    Soleplate,
)

from .notes import Note

USUAL_OPENING_MM = 108.0  # common practice, no source
USUAL_GAUGE_MM = 1435.0
USUAL_HEAD_MM = 70.0
USUAL_LENGTH_MM = 6000.0
USUAL_SLOPE = 24.0
AHEAD_MM = 450.0  # of stock rail drawn ahead of the toe
BEYOND_MM = 250.0  # and beyond the heel
TIMBER_MM = 250.0  # breadth of a timber of which one edge is known
TIMBER_RANGE_MM = (100.0, 450.0)  # two edges this far apart are those of one timber
CLOSE_MM = 60.0  # rods nearer to each other cannot both be as recorded
_STEPS = 48

Line = tuple[tuple[float, float], ...]  # (u, x) one after the other


@dataclass(frozen=True)
class Rail:
    """A rail head seen from above."""

    side: Side
    stock: bool  # else a switch rail
    closed: bool  # of a switch rail: against its stock rail
    outline: Line
    known: bool  # its real shape; else drawn in the usual way


@dataclass(frozen=True)
class Rod:
    """A place for a stretcher, with the rails beside it."""

    place: PlaceFacts
    x_mm: float
    placed: bool  # x as recorded; else drawn between its neighbours
    left_mm: float  # running edges of the switch rails, which the rod joins
    right_mm: float
    stock_left_mm: float  # outer faces of the stock rails
    stock_right_mm: float


@dataclass(frozen=True)
class Timber:
    """A timber beside a rod. An edge that is not known is only drawn."""

    toe_edge_mm: float
    heel_edge_mm: float
    toe_edge_known: bool
    heel_edge_known: bool
    toe_edge_cut: bool = False  # chiselled, for the rod beside that edge
    heel_edge_cut: bool = False


@dataclass(frozen=True)
class Stud:
    """What holds the closed switch rail off its stock rail behind the planing."""

    x_mm: float
    left_mm: float  # running edges of the stock rails
    right_mm: float


@dataclass(frozen=True)
class Plan:
    """A set of points on one lie, in mm."""

    points: PointsFacts
    lie: Lie
    heel: Heel
    gauge_mm: float
    head_mm: float
    heel_mm: float
    heel_known: bool
    length_mm: float  # drawn: to the heel, or the last rod if that is further
    rails: tuple[Rail, ...]
    rods: tuple[Rod, ...]
    timbers: tuple[Timber, ...]
    studs: tuple[Stud, ...]
    notes: tuple[Note, ...]
    opening_mm: float  # at the toe, as drawn
    opening_read: bool  # from readings; else the usual opening
    doubts: tuple[str, ...]  # what is not known, in sentences

    @property
    def closed_side(self) -> Side:
        return Side.LEFT if self.lie == Lie.LEFT_CLOSED else Side.RIGHT

    def notes_of(self, rod: Rod) -> list[Note]:
        """What is said of the stretcher itself."""
        return [note for note in self.notes if note.order == rod.place.order]


def draw(
    points: PointsFacts,
    *,
    lie: Lie,
    hand: Side = Side.UNKNOWN,
    shape: Shape | None = None,
    shape_missing: str = "",
    heel: Heel = Heel.UNKNOWN,
    heel_mm: float | None = None,
    opening: OpenSwitch | None = None,
    notes: tuple[Note, ...] = (),
) -> Plan:
    """The plan of these points on this lie; ``shape_missing`` is why there is no shape.

    ``opening`` is the open switch as read; without it the usual opening is drawn and said.
    """
    doubts: list[str] = []
    if lie == Lie.UNKNOWN:
        lie = points.normal_lie
    if lie == Lie.UNKNOWN:
        doubts.append("Which lie is normal is not known: drawn with the left switch rail closed.")
        lie = Lie.LEFT_CLOSED
    if shape is None:
        why = shape_missing or "find its design, or measure the offset of the closed switch rail"
        doubts.append(
            "The shape of the switch is not known, so the switch rails are drawn straight, in "
            f"broken lines: {why}."
        )
    some_read = any(note.number is None and note.order is None for note in notes)
    frame = _frame(points, lie, hand, shape, heel, heel_mm, opening, some_read, doubts)
    rods = _rods(points.places, frame, doubts)
    if points.track_circuited and points.soleplate is Soleplate.UNKNOWN:
        doubts.append("Whether there is a soleplate under the toe, and insulated, is not known.")
    length = max([frame.heel_mm, *(rod.x_mm for rod in rods)])
    return Plan(
        points=points,
        lie=lie,
        heel=heel,
        gauge_mm=frame.gauge_mm,
        head_mm=frame.head_mm,
        heel_mm=frame.heel_mm,
        heel_known=heel_mm is not None or shape is not None,
        length_mm=length,
        rails=tuple(_rails(frame, length)),
        rods=rods,
        timbers=tuple(_timbers(rods, doubts)),
        studs=tuple(
            Stud(x, float(frame.stock(Side.LEFT, x)), float(frame.stock(Side.RIGHT, x)))
            for x in points.studs_mm or ()
            if x <= length
        ),
        notes=tuple(notes),
        opening_mm=float(frame.displacement(0.0)),
        opening_read=opening is not None,
        doubts=tuple(doubts),
    )


@dataclass(frozen=True)
class _Frame:
    """The two stock rails and the two switch rails as functions of x."""

    gauge_mm: float
    head_mm: float
    heel_mm: float
    shape: Shape
    shape_known: bool
    closed: Side
    opening: OpenSwitch | None
    held: bool
    left_share: float  # of the divergence, which the hand gives to one side

    def offset(self, x):
        """Of the closed switch rail's running edge; beyond the heel carried on straight."""
        ends = self.shape.offset(np.array([0.99, 1.0]) * self.heel_mm)
        slope = (ends[1] - ends[0]) / (0.01 * self.heel_mm)
        beyond = np.maximum(x - self.heel_mm, 0.0) * slope
        return self.shape.offset(np.clip(x, 0.0, self.heel_mm)) + beyond

    def displacement(self, x):
        """Of the open switch rail from its closed place."""
        x = np.clip(x, 0.0, self.heel_mm)
        return self.opening.blade.at(x) if self.opening else self._usual.at(x)

    @cached_property
    def _usual(self) -> Blade:
        return Blade.through([0.0], [USUAL_OPENING_MM], self.heel_mm, self.held)

    def stock(self, side: Side, x):
        """Running edge of a stock rail; the stock rails spread as the switch does."""
        sign, share = (-1, self.left_share) if side == Side.LEFT else (1, 1 - self.left_share)
        return sign * (self.gauge_mm / 2 + share * self.offset(x))

    def switch(self, side: Side, x) -> tuple:
        """Back and running edge of a switch rail."""
        inwards = 1 if side == Side.LEFT else -1
        moved = 0.0 if side == self.closed else self.displacement(x)
        back = gap_behind(self.shape, np.clip(x, 0.0, self.heel_mm))
        edge = self.stock(side, x)
        return edge + inwards * (back + moved), edge + inwards * (self.offset(x) + moved)


def _frame(points, lie, hand, shape, heel, heel_mm, opening, some_read, doubts) -> _Frame:
    length = _length(points, shape, heel_mm, doubts)
    head = shape.head_mm if shape else (points.rail and points.rail.head_mm)
    if head is None:
        doubts.append("The width of the rail head is not known: drawn as usual.")
        head = USUAL_HEAD_MM
    known = shape is not None
    if not known:
        shape = Straight(length / USUAL_SLOPE, head, length)
    if points.gauge_mm is None:
        doubts.append(f"The track gauge is not known: drawn at {USUAL_GAUGE_MM:g} mm.")
    if hand == Side.UNKNOWN:
        doubts.append("The hand is not known: the rails are drawn spreading to both sides.")
    if opening is None:
        lacking = "too few readings together" if some_read else "no readings"
        doubts.append(
            f"The opening is drawn at the usual {USUAL_OPENING_MM:g} mm: {lacking} that hold for "
            "these stretchers give it."
        )
    return _Frame(
        gauge_mm=points.gauge_mm or USUAL_GAUGE_MM,
        head_mm=head,
        heel_mm=length,
        shape=shape,
        shape_known=known,
        closed=Side.LEFT if lie == Lie.LEFT_CLOSED else Side.RIGHT,
        opening=opening,
        held=heel != Heel.PIVOTED,
        left_share={Side.LEFT: 1.0, Side.RIGHT: 0.0}.get(hand, 0.5),
    )


def _length(points, shape, heel_mm, doubts) -> float:
    if shape is not None:
        return shape.heel_mm
    if heel_mm is not None:
        return heel_mm
    doubts.append("Where the heel is, is not known: measure it from the toe.")
    last = max((p.distance_mm or 0.0 for p in points.places), default=0.0)
    return max(USUAL_LENGTH_MM, last * 1.3)


def _rods(places: tuple[PlaceFacts, ...], frame: _Frame, doubts: list[str]) -> tuple[Rod, ...]:
    if not places:
        doubts.append("No places for stretchers are recorded.")
    rods = []
    for place, x in zip(places, _distances(places, frame.heel_mm), strict=True):
        rods.append(
            Rod(
                place,
                x,
                place.distance_mm is not None,
                float(frame.switch(Side.LEFT, x)[1]),
                float(frame.switch(Side.RIGHT, x)[1]),
                float(frame.stock(Side.LEFT, x)) - frame.head_mm,
                float(frame.stock(Side.RIGHT, x)) + frame.head_mm,
            )
        )
        doubts += _rod_doubts(place, x, frame.heel_mm)
    in_order = sorted((rod for rod in rods if rod.placed), key=lambda rod: rod.x_mm)
    for near, far in itertools.pairwise(in_order):
        if far.x_mm - near.x_mm < CLOSE_MM:
            doubts.append(
                f"The {near.place.name} and the {far.place.name} are recorded "
                f"{far.x_mm - near.x_mm:g} mm apart: measure both from the toe."
            )
    return tuple(rods)


def _distances(places: tuple[PlaceFacts, ...], heel_mm: float) -> list[float]:
    """As recorded; an unknown one is put evenly between its known neighbours."""
    known = [(-1, 0.0)]
    known += [(i, p.distance_mm) for i, p in enumerate(places) if p.distance_mm is not None]
    end = max([heel_mm * 0.75, known[-1][1] + heel_mm * 0.1])
    known.append((len(places), end))
    numbers, distances = zip(*known, strict=True)
    return np.interp(range(len(places)), numbers, distances).tolist()


def _rod_doubts(place: PlaceFacts, x: float, heel_mm: float) -> list[str]:
    name, found = place.name, []
    if place.distance_mm is None:
        found.append(
            f"The distance of the {name} from the toe is not known: drawn between its neighbours."
        )
    elif x > heel_mm:
        found.append(f"The {name} is recorded beyond the heel: measure both from the toe.")
    rod = place.stretcher
    if rod is None:
        return found
    if rod.insulation_side == InsulationSide.UNKNOWN:
        found.append(f"On which side the {name} is insulated is not known.")
    unknown = [
        side.label
        for side, shoe in ((Side.LEFT, rod.left_shoe), (Side.RIGHT, rod.right_shoe))
        if shoe.profile == Profile.UNKNOWN
    ]
    if unknown:
        found.append(f"The {' and '.join(unknown)} shoe of the {name} is not known.")
    if rod.kicker is None:
        found.append(f"Whether the {name} has a kicker is not known.")
    if rod.kicker and rod.kicker_end is Ends.UNKNOWN:
        found.append(f"At which end the {name} carries its kicker is not known.")
    if rod.drive_lug not in (DriveLug.NONE, DriveLug.UNKNOWN) and rod.lug_end is Ends.UNKNOWN:
        found.append(f"At which end the {name} carries its drive lug is not known.")
    return found


def _rails(frame: _Frame, length_mm: float):
    along = np.linspace(-AHEAD_MM, length_mm + BEYOND_MM, _STEPS + 1)
    along = np.sort(np.append(along, 0.0))
    on_switch = np.linspace(0.0, frame.heel_mm, _STEPS + 1)
    for side in (Side.LEFT, Side.RIGHT):
        outwards = -1 if side == Side.LEFT else 1
        edge = frame.stock(side, along)
        outline = _outline(edge + outwards * frame.head_mm, edge, along)
        yield Rail(side, True, False, outline, True)
    for side in (Side.LEFT, Side.RIGHT):
        back, edge = frame.switch(side, on_switch)
        closed = side == frame.closed
        yield Rail(side, False, closed, _outline(back, edge, on_switch), frame.shape_known)


def _outline(one, other, x) -> Line:
    there = zip(one.tolist(), x.tolist(), strict=True)
    back = zip(other[::-1].tolist(), x[::-1].tolist(), strict=True)
    return (*there, *back)


def _timbers(rods: tuple[Rod, ...], doubts: list[str]):
    """Timbers from the free space recorded before and behind each rod."""
    placed = sorted((rod for rod in rods if rod.placed), key=lambda rod: rod.x_mm)
    for near, far in zip([None, *placed], [*placed, None], strict=True):
        toe_edge = _edge(near, near and near.place.space_behind_mm, 1)
        heel_edge = _edge(far, far and far.place.space_ahead_mm, -1)
        breadth = TIMBER_MM
        cut = bool(near and near.place.chiselled), bool(far and far.place.chiselled)
        if toe_edge is not None and heel_edge is not None:
            between = heel_edge - toe_edge
            if between < TIMBER_RANGE_MM[0]:
                doubts.append(
                    f"The free spaces between the {near.place.name} and the {far.place.name} "
                    "leave no room for a timber: measure them."
                )
                continue
            if between <= TIMBER_RANGE_MM[1]:
                yield Timber(toe_edge, heel_edge, True, True, *cut)
                continue
            breadth = min(TIMBER_MM, between / 2)
        if toe_edge is not None:
            yield Timber(toe_edge, toe_edge + breadth, True, False, cut[0])
        if heel_edge is not None:
            yield Timber(heel_edge - breadth, heel_edge, False, True, heel_edge_cut=cut[1])


def _edge(rod: Rod | None, space_mm: float | None, way: int) -> float | None:
    return None if rod is None or space_mm is None else rod.x_mm + way * space_mm
