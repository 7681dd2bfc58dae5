"""Headings as they stand in a spreadsheet: units in them, and headings over several rows."""

import re
from collections.abc import Iterable, Sequence

from assets.engineering.units import same_unit

from .columns import Sheet, fold, tidy
from .grids import Cells, Merge

_LONGEST = 200  # characters; what is longer is no heading
_BRACKETED = re.compile(r"(.*?)[\s,:]*[(\[]([^()\[\]]+)[)\]]")
_TRAILING = re.compile(
    r"(.+?)[\s,]+(mm|cm|m|in|ins|inch|inches|ft|feet|N\.?m|N·m|miles|ohms?|[kM]?Ω|days)\.?"
)


def heading_text(cell: object) -> str:
    """A heading cell as text with evened spaces, without the mark of a required column."""
    return "" if cell is None else tidy(str(cell)[:_LONGEST]).rstrip("*: ")


def split_unit(heading: str) -> tuple[str, str]:
    """ "Thread pitch (mm)" and "Thread pitch, mm" are ("Thread pitch", "mm")."""
    for pattern in (_BRACKETED, _TRAILING):
        found = pattern.fullmatch(heading)
        if found:
            return found[1], found[2]
    return heading, ""


def declared_column(heading: str, sheet: Sheet) -> tuple[str, str] | None:
    """Field and unit of the declared column that a heading names, or None.

    The unit is "" where the heading gives none or the column's own.
    """
    word = fold(heading)
    for column in sheet.columns:
        names = (column.heading, column.title, column.field, *column.formerly)
        if word in map(fold, names):
            return column.field, ""
    name, unit = split_unit(heading)
    for column in sheet.columns:
        if unit and column.unit and fold(name) == fold(column.heading):
            return column.field, "" if same_unit(unit, column.unit) else unit
    return None


def joined(rows: Sequence[tuple[int, Cells]], merges: Iterable[Merge]) -> list[str]:
    """One heading per column out of one or more rows of them, merged ones spread out.

    ``rows`` pairs row numbers with cells. A heading merged over two columns stands before each of
    the headings under it: "Shims" over "left" and "right" gives "Shims left", "Shims right".
    """
    width = max((len(cells) for _, cells in rows), default=0)
    parts: list[list[str]] = [[] for _ in range(width)]
    for number, cells in rows:
        texts = [heading_text(cell) for cell in cells] + [""] * (width - len(cells))
        for merge in merges:
            if merge.first_row == number and merge.first_column < width:
                last = min(merge.last_column, width - 1)
                for index in range(merge.first_column + 1, last + 1):
                    texts[index] = texts[merge.first_column]
        for index, text in enumerate(texts):
            if text:
                parts[index].append(text)
    return [" ".join(words) for words in parts]
