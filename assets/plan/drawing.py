"""What a plan is drawn of: lines, signs and labels in drawing units, 360 across.

The toe is at the bottom and the heel at the top, so that left is on the left, as for someone who
stands at the toe and looks towards the heel. One drawing serves the phone and the printed sheet:
at 360 units across, letters of 12 units are still 11 pixels on a narrow phone.
"""

from dataclasses import dataclass, field

from assets.engineering.words import Generation, Soleplate

WIDTH = 360.0
CUT = (44.0, 6.0)  # breadth and depth of a timber cut away, as drawn


@dataclass(frozen=True)
class Label:
    """Lines of text; u and v are those of the first line's baseline."""

    u: float
    v: float
    lines: tuple[str, ...]
    anchor: str = "start"  # start, middle, end
    kind: str = ""  # a class
    leader: str = ""  # a path from the label to what it is about
    box: tuple[float, float, float, float] | None = None  # left, top, width, height


@dataclass(frozen=True)
class Mark:
    """A sign of some kind at a place."""

    u: float
    v: float
    side: str = ""
    words: str = ""
    kind: str = ""

    @property
    def width(self) -> float:
        """Wide enough for its words, and never narrower than high."""
        return max(17.0, len(self.words) * 8.0 + 6)

    @property
    def left(self) -> float:
        return -self.width / 2


@dataclass(frozen=True)
class RodDrawing:
    """One rod and what is on it."""

    order: int
    v: float
    left: float
    right: float
    generation: Generation | None  # None: no rod
    placed: bool
    path: str
    insulation: tuple[Mark, ...] = ()
    shoes: tuple[Mark, ...] = ()
    kickers: tuple[Mark, ...] = ()
    lugs: tuple[Mark, ...] = ()


@dataclass(frozen=True)
class RailDrawing:
    path: str
    stock: bool
    closed: bool
    known: bool


@dataclass(frozen=True)
class TimberDrawing:
    left: float
    top: float
    width: float
    height: float
    edges: str  # the edges that are known
    cuts: tuple[tuple[float, float], ...] = ()  # left and top of what is cut away

    cut_width, cut_height = CUT


@dataclass
class Drawing:
    """A whole drawing, in the order in which it is painted."""

    title: str
    description: str
    height: float
    across: float  # units per mm
    along: float
    toe: float  # v of the toe
    heel: float
    heel_words: str
    heel_known: bool
    lie: str
    scale_words: str
    rails: list[RailDrawing] = field(default_factory=list)
    timbers: list[TimberDrawing] = field(default_factory=list)
    soleplate: Soleplate = Soleplate.UNKNOWN
    stock_at_toe: tuple[float, float] = (0.0, 0.0)  # outer faces of the stock rails
    studs: list[Mark] = field(default_factory=list)
    rods: list[RodDrawing] = field(default_factory=list)
    drives: list[str] = field(default_factory=list)  # paths
    unsure_drives: list[str] = field(default_factory=list)
    drive_marks: list[Mark] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    numbers: list[Mark] = field(default_factory=list)
    width: float = WIDTH

    @property
    def has_soleplate(self) -> bool:
        return self.soleplate in (Soleplate.BARE, Soleplate.INSULATED)

    @property
    def soleplate_width(self) -> float:
        return round(self.stock_at_toe[1] - self.stock_at_toe[0], 2)

    @property
    def soleplate_mark(self) -> float:
        """Where its insulation is drawn, clear of the word at the toe."""
        return round(sum(self.stock_at_toe) / 2 + 34, 2)

    @property
    def is_cut(self) -> bool:
        """Whether a timber is drawn as cut away."""
        return any(timber.cuts for timber in self.timbers)

    @property
    def along_per_mm(self) -> str:
        return f"{self.along:.6f}"

    @property
    def across_per_mm(self) -> str:
        return f"{self.across:.6f}"
