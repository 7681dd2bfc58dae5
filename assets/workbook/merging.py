"""Merged cells among the rows of a sheet, answered.

An area down one column counts for each row that it covers, as people mean it; an area over several
columns cannot be answered, and its second cell is refused.
"""

from collections.abc import Iterator

from .grids import Cells, Grid, Merge
from .refusals import BadCell

Rows = Iterator[tuple[int, Cells]]


def spread(rows: Rows, grid: Grid, heading_row: int, notes: list[str]) -> Rows:
    """The rows below the headings with merged cells answered; what was done goes into ``notes``."""
    merges = sorted((m for m in grid.merges if m.last_row > heading_row), key=lambda m: m.first_row)
    return _spread(rows, merges, grid.name, notes) if merges else rows


def _spread(rows: Rows, merges: list[Merge], name: str, notes: list[str]) -> Rows:
    waiting, active = iter(merges), []
    upcoming = next(waiting, None)
    for number, cells in rows:
        while upcoming is not None and upcoming.first_row <= number:
            active.append([upcoming, None])
            upcoming = next(waiting, None)
        active = [pair for pair in active if pair[0].last_row >= number]
        for pair in active:
            merge, value = pair
            if merge.first_row == number:
                value = pair[1] = _at(cells, merge.first_column)
                if merge.last_row > number and value is not None:
                    notes.append(
                        f"Sheet {name}: {merge} are merged; their value was taken for each row."
                    )
            elif value is not None:
                _put(cells, merge.first_column, value)
            if merge.last_column > merge.first_column:
                reason = f"The cells {merge} are merged across columns. Unmerge them and fill each."
                _put(cells, merge.first_column + 1, BadCell("merged", reason))
        yield number, cells


def _at(cells: Cells, index: int):
    return cells[index] if index < len(cells) else None


def _put(cells: Cells, index: int, value) -> None:
    cells.extend([None] * (index + 1 - len(cells)))
    cells[index] = value
