"""A sheet as it comes out of a file: a grid of plain values with what lies around them."""

from dataclasses import dataclass, field

from .refusals import column_letters

Cells = list  # of None, str, int, float, bool, datetime, time and BadCell


@dataclass(frozen=True, slots=True)
class Merge:
    """An area of merged cells; rows count from 1 as in the workbook, columns from 0."""

    first_row: int
    first_column: int
    last_row: int
    last_column: int

    def __str__(self) -> str:
        return (
            f"{column_letters(self.first_column)}{self.first_row}:"
            f"{column_letters(self.last_column)}{self.last_row}"
        )


@dataclass
class Grid:
    """One sheet of cells. The tallies are complete once its rows have been read through."""

    name: str
    hidden: bool = False
    merges: tuple[Merge, ...] = ()
    formulas: int = 0  # whose stored values were read
    hidden_rows: int = 0
    first_hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: bool = False

    def count_hidden(self, number: int) -> None:
        self.hidden_rows += 1
        if len(self.first_hidden_rows) < 5:
            self.first_hidden_rows.append(number)
