"""Printed labels: a QR code to the page, the key or tag in large letters, what it is and where.

Measures are in mm on a sheet of A4, which is drawn whole: it prints as it stands.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from textwrap import wrap

import segno
from django.utils.safestring import SafeString, mark_safe

from .models import Machine, Points, Stretcher
from .models.parts import Part

A4_MM = (210.0, 297.0)
LABEL_MM = (63.5, 38.1)  # a label is drawn at this size, then scaled
CODE_MM = 26.0  # side of the code with the white round it that readers need
QUIET_MODULES = 4
NAME_MM = (59.5, 9.0)  # room for the name: its length, and the most its letters may have
LETTER_WIDTH = 0.8  # of a bold letter, as a part of its height: more than most fonts take
LINE_LETTERS = 17
MARK_MM = (0.5, 4.5)  # cut marks begin and end so far from the labels


@dataclass(frozen=True)
class Label:
    """One label; ``address`` is the absolute address that its code leads to."""

    address: str
    name: str
    what: str
    where: str
    printed: date
    pk: int

    @property
    def code(self) -> SafeString:
        """The QR code as SVG, CODE_MM wide; it bears 15% of damage."""
        code = segno.make(self.address, error="m", micro=False)
        scale = CODE_MM / code.symbol_size(border=QUIET_MODULES)[0]
        drawn = code.svg_inline(scale=scale, border=QUIET_MODULES, svgclass=None, lineclass=None)
        return mark_safe(drawn)  # noqa: S308 - segno's own drawing, without a word of the register

    @property
    def letters_mm(self) -> float:
        """Height of the name's letters: as large as its length allows."""
        room, most = NAME_MM
        return round(min(most, room / (LETTER_WIDTH * len(self.name))), 2)

    @property
    def lines(self) -> list[str]:
        """The small print, at most six lines."""
        what = wrap(self.what, LINE_LETTERS, max_lines=2, placeholder="…")
        where = wrap(self.where, LINE_LETTERS, max_lines=3, placeholder="…")
        return [*what, *where, f"as on {self.printed.day} {self.printed:%b %Y}"]


def points_label(points: Points, root: str, day: date) -> Label:
    """``root`` is the program's own address without a slash at its end; reads the location."""
    what = points.get_layout_display() if points.layout != "unknown" else "points"
    return Label(
        root + points.get_absolute_url(), points.key, what, points.location.name, day, points.pk
    )


def part_label(part: Part, root: str, day: date, place=None) -> Label:
    """``place`` is the position where the part is now, None in the store."""
    where = f"at {place}" if place else "in the store"
    return Label(root + part.get_absolute_url(), part.tag, what_it_is(part), where, day, part.pk)


def what_it_is(part: Part) -> str:
    """ "yellow stretcher", "motor machine", "lost-motion fitting"."""
    if isinstance(part, Stretcher) and part.generation != "unknown":
        return f"{part.generation} {part.kind_name}"
    if isinstance(part, Machine) and part.kind != "unknown":
        return part.get_kind_display()
    return part.kind_name


@dataclass(frozen=True)
class Stationery:
    """How labels lie on a sheet of A4, in the middle of it."""

    title: str
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    gap_mm: float = 0.0  # between columns

    @property
    def per_sheet(self) -> int:
        return self.columns * self.rows

    @property
    def scale(self) -> float:
        return self.width_mm / LABEL_MM[0]

    @property
    def lefts(self) -> list[float]:
        """The left edge of each column."""
        step = self.width_mm + self.gap_mm
        margin = (A4_MM[0] - self.columns * step + self.gap_mm) / 2
        return [round(margin + n * step, 2) for n in range(self.columns)]

    @property
    def tops(self) -> list[float]:
        """The top edge of each row."""
        margin = (A4_MM[1] - self.rows * self.height_mm) / 2
        return [round(margin + n * self.height_mm, 2) for n in range(self.rows)]

    @property
    def cut_marks(self) -> str:
        """Marks in the margins at every edge of the labels, as an SVG path."""
        xs = sorted({round(x + w, 2) for x in self.lefts for w in (0, self.width_mm)})
        ys = sorted({round(y + h, 2) for y in self.tops for h in (0, self.height_mm)})
        near, far = MARK_MM
        length = far - near
        down = [f"M{x} {y:.2f}v{length}" for x in xs for y in (ys[0] - far, ys[-1] + near)]
        across = [f"M{x:.2f} {y}h{length}" for y in ys for x in (xs[0] - far, xs[-1] + near)]
        return "".join(down + across)


STATIONERY = {
    "small": Stationery("63.5 × 38.1 mm, 21 a sheet", 3, 7, *LABEL_MM, gap_mm=2.54),
    "large": Stationery("95.2 × 57.1 mm, 8 a sheet", 2, 4, 95.25, 57.15),
}


@dataclass(frozen=True)
class Sheet:
    """Labels with the place of each on the sheet."""

    cells: list[tuple[float, float, Label]] = field(default_factory=list)

    @property
    def names(self) -> str:
        return ", ".join(label.name for _, _, label in self.cells)


def sheets(labels: Iterable[Label], on: Stationery, used: int = 0) -> list[Sheet]:
    """The labels row by row; ``used`` are the places already gone from the first sheet."""
    found: list[Sheet] = []
    for number, label in enumerate(labels, start=used):
        place = number % on.per_sheet
        if place == 0 or not found:
            found.append(Sheet())
        row, column = divmod(place, on.columns)
        found[-1].cells.append((on.lefts[column], on.tops[row], label))
    return found
