"""Where everything of a plan is drawn: from mm on the ground to drawing units."""

import itertools
import textwrap

from assets.engineering.words import (
    DriveLug,
    Ends,
    Role,
    Side,
)

from .columns import Item
from .drawing import CUT, WIDTH, Drawing, Label, Mark, RailDrawing, RodDrawing, TimberDrawing
from .geometry import Plan, Rail, Rod, Stud, Timber
from .notes import Note
from .on_a_rod import SHOES, insulation, lugs, rod_path
from .spread import spread
from .words import description, heel_words, machine_lines, rod_label, scale_words, title

LETTERS = 12.0
LINE = 14.0
LETTER_WIDTH = 7.0  # of an average letter
TRACK = 150.0  # units from running edge to running edge
LONGER = 0.8  # scale along over scale across, where the rods leave room for their labels
ROOM_MM_UNITS = 64.0  # wanted between two rods
MOST_HEIGHT = 900.0
GUTTER = 8.0  # between the rails and the columns of labels
MARGIN = 2.0
DRIVE_BELOW = 25.0  # from a rod to its drive rod, drawn towards the toe
TOE_ROOM = 46.0  # below the toe
FIRM = 1000.0  # weight of a label that should not move


def lay_out(plan: Plan) -> Drawing:
    """The drawing of a plan."""
    return _Sheet(plan).drawing()


class _Sheet:
    """Turns mm into units and gathers the drawing; one use."""

    def __init__(self, plan: Plan):
        self.plan = plan
        self.across = TRACK / plan.gauge_mm
        self.along = _along(plan, self.across)
        outline = [u * self.across for rail in plan.rails for u, _ in rail.outline]
        near = min([rod.stock_left_mm * self.across for rod in plan.rods] or outline)
        far = max([rod.stock_right_mm * self.across for rod in plan.rods] or outline)
        even = WIDTH / 2 - (near + far) / 2  # as much room for labels on either side
        self.middle = max(MARGIN - min(outline), min(even, WIDTH - MARGIN - max(outline)))
        self.top = 34.0
        self.toe = self.top + plan.length_mm * self.along
        self.left_column = self.middle + near - GUTTER
        self.right_column = self.middle + far + GUTTER
        self.columns: dict[Side, list[Item]] = {Side.LEFT: [], Side.RIGHT: []}
        self.out: Drawing | None = None

    def u(self, across_mm: float) -> float:
        return round(self.middle + across_mm * self.across, 2)

    def v(self, x_mm: float) -> float:
        return round(self.toe - x_mm * self.along, 2)

    def drawing(self) -> Drawing:
        plan = self.plan
        self.out = Drawing(
            title=title(plan),
            description=description(plan),
            height=0,
            across=self.across,
            along=self.along,
            toe=self.v(0),
            heel=self.v(plan.heel_mm),
            heel_words=heel_words(plan),
            heel_known=plan.heel_known,
            lie=plan.lie.value,
            scale_words=scale_words(self.across / self.along),
        )
        self.out.rails = [self.rail(rail) for rail in plan.rails]
        self.out.timbers = [self.timber(timber) for timber in plan.timbers]
        self.out.rods = [self.rod(rod) for rod in plan.rods]
        self.out.studs = [mark for stud in plan.studs for mark in self.stud(stud)]
        self.soleplate()
        for rod in plan.rods:
            self.distance(rod)
            self.drive(rod)
        self.lock_rods()
        for note in plan.notes:
            self.note(note)
        self.rod_labels()
        self.side_labels()
        self.toe_labels()
        return self.out

    # --- rails, timbers, rods -------------------------------------------------------------------

    def rail(self, rail: Rail) -> RailDrawing:
        points = " L".join(f"{self.u(u)} {self.v(x)}" for u, x in rail.outline)
        return RailDrawing(f"M{points} Z", rail.stock, rail.closed, rail.known)

    def timber(self, timber: Timber) -> TimberDrawing:
        near, far = self.v(timber.toe_edge_mm), self.v(timber.heel_edge_mm)
        left, right = self.left_column + 2, self.right_column - 2
        edges = [
            f"M{left:.2f} {v} H{right:.2f}"
            for v, known in ((near, timber.toe_edge_known), (far, timber.heel_edge_known))
            if known
        ]
        middle = (left + right - CUT[0]) / 2
        cuts = [
            (round(middle, 2), round(top, 2))
            for top, cut in ((near - CUT[1], timber.toe_edge_cut), (far, timber.heel_edge_cut))
            if cut
        ]
        return TimberDrawing(
            round(left, 2),
            far,
            round(right - left, 2),
            round(near - far, 2),
            " ".join(edges),
            tuple(cuts),
        )

    def stud(self, stud: Stud):
        """One on each side, at the running edge of its stock rail."""
        v = self.v(stud.x_mm)
        yield Mark(self.u(stud.left_mm), v, "left")
        yield Mark(round(self.u(stud.right_mm) - 7, 2), v, "right")

    def soleplate(self) -> None:
        self.out.soleplate = self.plan.points.soleplate
        toe = [_across_at(rail.outline, 0.0) for rail in self.plan.rails if rail.stock]
        self.out.stock_at_toe = (self.u(min(toe)), self.u(max(toe)))

    def rod(self, rod: Rod) -> RodDrawing:
        left, right, v = self.u(rod.left_mm), self.u(rod.right_mm), self.v(rod.x_mm)
        facts = rod.place.stretcher
        if facts is None:
            path = f"M{left} {v} H{right}"
            return RodDrawing(rod.place.order, v, left, right, None, rod.placed, path)
        return RodDrawing(
            rod.place.order,
            v,
            left,
            right,
            facts.generation,
            rod.placed,
            rod_path(left, right, v, facts.form, facts.gooseneck_towards),
            tuple(insulation(left, right, v, facts.insulation_side)),
            (
                Mark(left, v, "left", SHOES[facts.left_shoe.profile], facts.left_shoe.profile),
                Mark(right, v, "right", SHOES[facts.right_shoe.profile], facts.right_shoe.profile),
            ),
            tuple(self.kickers(rod)),
            tuple(lugs(facts.drive_lug, facts.lug_end, left, right, v)),
        )

    def kickers(self, rod: Rod):
        """A kicker reaches under the stock rail; one not looked at is a question at both ends."""
        facts, v = rod.place.stretcher, self.v(rod.x_mm)
        if facts.kicker is False or (facts.kicker is None and not rod.place.kicker_required):
            return
        sure = facts.kicker and facts.kicker_end is not Ends.UNKNOWN
        kind = "known" if sure else "unknown"
        if not sure or facts.kicker_end in (Ends.LEFT, Ends.BOTH):
            yield Mark(self.u(rod.left_mm), v, "left", self._reach(rod.stock_left_mm, -1), kind)
        if not sure or facts.kicker_end in (Ends.RIGHT, Ends.BOTH):
            yield Mark(self.u(rod.right_mm), v, "right", self._reach(rod.stock_right_mm, 1), kind)

    def _reach(self, stock_mm: float, outwards: int) -> str:
        return f"{self.u(stock_mm) + 5 * outwards:.2f}"

    # --- the drive ------------------------------------------------------------------------------

    def drive(self, rod: Rod) -> None:
        """Machine, drive rod and lost-motion fitting of a driven place, on the machine side."""
        place = rod.place
        if not place.driven and place.machine is None:
            return
        side, unsure = self.machine_side
        lines = machine_lines(place, unsure, self.letters(side))
        height = LINE * len(lines) + 6
        v = self.v(rod.x_mm) + DRIVE_BELOW
        item = Item(v - height / 2, height, lines, self.edge(side), v, "machine", FIRM, boxed=True)
        item.rod = rod
        self.columns[side].append(item)

    @property
    def machine_side(self) -> tuple[Side, bool]:
        """The side it is drawn on, and whether that is a guess."""
        side = self.plan.points.machine_side
        return (Side.LEFT, True) if side == Side.UNKNOWN else (side, False)

    def drive_rod(self, item: Item, side: Side) -> None:
        """From the machine's box to the lug, and the fitting on it."""
        rod, unsure = item.rod, self.machine_side[1]
        start, v = self.column_edge(side), round(item.middle, 2)
        lug_u, lug_v = self.lug_at(rod, side), self.v(rod.x_mm)
        path = f"M{start:.2f} {v} H{lug_u:.2f} V{lug_v}"
        (self.out.unsure_drives if unsure else self.out.drives).append(path)
        machine = rod.place.machine
        towards = 1 if side == Side.LEFT else -1
        rail = self.u(rod.left_mm if side == Side.LEFT else rod.right_mm)
        if machine is not None and machine.drive_insulated is not False:
            kind = "insulation" if machine.drive_insulated else "unknown"
            self.out.drive_marks.append(Mark(rail + towards * 7, v, side.value, kind=kind))
        if rod.place.lost_motion_fitting is not None:
            tag = rod.place.lost_motion_fitting.tag or "lost motion"
            width = len(tag) * LETTER_WIDTH + 6
            # Beside the rail, or on the corner below a lug that is nearer than the label is long.
            away = max(14.0, abs(lug_u - rail) - width / 2 if abs(lug_u - rail) < 60 else 14.0)
            left = rail + away if side == Side.LEFT else rail - away - width
            self.out.labels.append(
                Label(
                    round(left + width / 2, 2),
                    v + 4,
                    (tag,),
                    "middle",
                    "lost-motion",
                    box=(round(left, 2), v - 7.5, round(width, 2), 15),
                )
            )

    def lug_at(self, rod: Rod, side: Side) -> float:
        """Where a drive rod from this side meets the rod: the nearest lug, else the middle."""
        left, right = self.u(rod.left_mm), self.u(rod.right_mm)
        facts = rod.place.stretcher
        ends = Ends.UNKNOWN if facts is None else facts.lug_end
        found = [mark.u for mark in lugs(DriveLug.PLAIN, ends, left, right, 0)]
        return min(found, key=lambda u: abs(u - (left if side == Side.LEFT else right)))

    def lock_rods(self) -> None:
        """From each lock stretcher to the machine's box."""
        side, unsure = self.machine_side
        machines = [item for item in self.columns[side] if item.kind == "machine"]
        for rod in self.plan.rods:
            place = rod.place
            if place.role is not Role.LOCK or place.stretcher is None or not machines:
                continue
            start = self.u(rod.left_mm if side == Side.LEFT else rod.right_mm)
            turn = self.column_edge(side) + (4 if side == Side.LEFT else -4)
            end = min(machines, key=lambda item: abs(item.wanted - self.v(rod.x_mm)))
            path = (
                f"M{start} {self.v(rod.x_mm)} H{turn:.2f} V{end.middle + 5:.2f} "
                f"H{self.column_edge(side):.2f}"
            )
            (self.out.unsure_drives if unsure else self.out.drives).append(path)

    # --- labels beside the rails ----------------------------------------------------------------

    def column_edge(self, side: Side) -> float:
        return self.left_column if side == Side.LEFT else self.right_column

    def edge(self, side: Side) -> float:
        """Where a leader from this side's labels meets the rails."""
        return self.column_edge(side) + (GUTTER - 2 if side == Side.LEFT else 2 - GUTTER)

    def letters(self, side: Side) -> int:
        """How many letters a line of this side's column holds."""
        edge = self.column_edge(side)
        room = edge - MARGIN if side == Side.LEFT else WIDTH - MARGIN - edge
        return max(6, int(room // LETTER_WIDTH))

    def distance(self, rod: Rod) -> None:
        """The place's distance from the toe, on the side away from the machine."""
        side = self.machine_side[0].opposite
        words = f"{rod.place.distance_mm:g} mm" if rod.placed else "? mm"
        v = self.v(rod.x_mm)
        stock = rod.stock_left_mm if side == Side.LEFT else rod.stock_right_mm
        self.columns[side].append(
            Item(v - LINE / 2, LINE, (words,), self.u(stock), v, "distance", 8)
        )

    def note(self, note: Note) -> None:
        if note.x_mm is None or note.order is not None:  # of a stretcher: written above it
            return
        side = note.side if note.side in (Side.LEFT, Side.RIGHT) else self.machine_side[0].opposite
        v = self.v(min(max(note.x_mm, 0.0), self.plan.length_mm))
        outline = next(r for r in self.plan.rails if r.stock and r.side == side).outline
        edge = self.u(_across_at(outline, note.x_mm))
        if note.number is not None:
            self.number(note, side, edge, v)
            return
        words = f"{note.sign} {note.words}".replace(" mm", "\u00a0mm")  # a figure keeps its unit
        lines = tuple(textwrap.wrap(words, self.letters(side)))
        height = LINE * len(lines) + 2
        self.columns[side].append(Item(v + 3, height, lines, edge, v, f"note {note.kind}", 1))

    def number(self, note: Note, side: Side, edge: float, v: float) -> None:
        """A numbered mark on the rail; those of one place stand one below the other."""
        outwards = -1 if side == Side.LEFT else 1
        u = edge + outwards * 4
        while any(abs(m.v - v) < 17 and m.side == side for m in self.out.numbers):
            v += 17.5
        self.out.numbers.append(
            Mark(round(u, 2), round(v, 2), side.value, str(note.number), note.kind)
        )

    def side_labels(self) -> None:
        lowest = self.toe + TOE_ROOM - LINE
        for side, items in self.columns.items():
            items.sort(key=lambda item: item.wanted)
            tops = spread(
                [item.wanted for item in items],
                [item.height for item in items],
                [item.weight for item in items],
            )
            for item, top in zip(items, tops, strict=True):
                self.side_label(side, item, top)
                lowest = max(lowest, top + item.height)
        self.out.height = round(lowest + LINE + 4, 1)

    def side_label(self, side: Side, item: Item, top: float) -> None:
        left = side == Side.LEFT
        edge = round(self.column_edge(side), 2)
        middle = round(top + item.height / 2, 2)
        if item.boxed:
            width = edge - MARGIN if left else WIDTH - MARGIN - edge
            box = (MARGIN if left else edge, round(top, 2), round(width, 2), item.height)
            u = round(box[0] + width / 2, 2)
            item.wanted = top
            self.drive_rod(item, side)
            label = Label(u, round(top + LINE, 2), item.lines, "middle", item.kind, box=box)
        else:
            u = MARGIN if left else WIDTH - MARGIN
            reach = max(len(line) for line in item.lines) * LETTER_WIDTH + 3
            end = min(u + reach, edge) if left else max(u - reach, edge)
            leader = f"M{end:.2f} {middle} L{edge} {middle} L{item.u} {item.v}"
            label = Label(
                u,
                round(top + LINE - 3, 2),
                item.lines,
                "start" if left else "end",
                item.kind,
                leader,
            )
        self.out.labels.append(label)

    # --- labels between and below the rails -----------------------------------------------------

    def rod_labels(self) -> None:
        """Number, tag, generation and what is said of it, above each rod."""
        placed = sorted(self.plan.rods, key=lambda rod: -rod.x_mm)
        texts = [self.rod_lines(rod) for rod in placed]
        heights = [LINE * len(lines) + 22 for lines in texts]
        pairs = list(zip(placed, texts, strict=True))
        wanted = [self.v(rod.x_mm) - 8 - LINE * len(lines) for rod, lines in pairs]
        tops = spread(wanted, heights, [1.0] * len(placed))
        for (rod, lines), top, ideal in zip(pairs, tops, wanted, strict=True):
            middle = round((self.u(rod.left_mm) + self.u(rod.right_mm)) / 2, 2)
            kind = " ".join(["rod-label", *self.kinds_at(rod)])
            leader = ""
            if abs(top - ideal) > 4:
                leader = f"M{middle} {top + LINE * len(lines):.2f} L{middle} {self.v(rod.x_mm)}"
            self.out.labels.append(
                Label(middle, round(top + LINE - 3, 2), lines, "middle", kind, leader)
            )

    def rod_lines(self, rod: Rod) -> tuple[str, ...]:
        room = self.u(rod.right_mm) - self.u(rod.left_mm)
        letters = max(8, int(room // (LETTER_WIDTH - 0.4)))
        said = (f"{note.sign} {note.words}" for note in self.plan.notes_of(rod))
        lines = (line for words in said for line in textwrap.wrap(words, letters))
        return (*rod_label(rod.place, letters), *lines)

    def kinds_at(self, rod: Rod) -> list[str]:
        """Classes of a rod's label in the stylesheet."""
        empty = [] if rod.place.stretcher else ["empty"]
        return [*empty, *(note.kind for note in self.plan.notes_of(rod))]

    def toe_labels(self) -> None:
        """Which switch rail is closed, at the foot of the drawing."""
        plan = self.plan
        opening = f"open {round(plan.opening_mm, 1):g} mm"
        if not plan.opening_read:
            opening += " (drawn)"
        for side, u, anchor in (
            (Side.LEFT, MARGIN, "start"),
            (Side.RIGHT, WIDTH - MARGIN, "end"),
        ):
            words = f"{side.value}: {'closed' if side == plan.closed_side else opening}"
            self.out.labels.append(Label(u, self.out.height - 6, (words,), anchor, "lie"))


def _along(plan: Plan, across: float) -> float:
    """Units per mm along: enough for the labels of neighbouring rods, if the sheet allows."""
    places = sorted(rod.x_mm for rod in plan.rods)
    gaps = [b - a for a, b in itertools.pairwise(places) if b - a > 1]
    wanted = max([TRACK / 1435.0 * LONGER, *(ROOM_MM_UNITS / gap for gap in gaps)])
    return max(min(wanted, MOST_HEIGHT / plan.length_mm), 0.02)


def _across_at(outline, x_mm: float) -> float:
    """The outer edge of a rail near x."""
    return min(outline[: len(outline) // 2], key=lambda point: abs(point[1] - x_mm))[0]
