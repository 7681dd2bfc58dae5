"""Which column of a railway's own spreadsheet holds which of the register's values.

Kept by name as plain data, so that a spreadsheet of the same pattern loads again without asking.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .columns import Sheet


@dataclass(frozen=True)
class Source:
    """One column of the spreadsheet and where its values go."""

    heading: str  # as it stands there, joined where it runs over two rows
    field: str
    unit: str = ""  # that bare figures stand in; "" for the column's own
    words: tuple[tuple[str, str], ...] = ()  # a word used there, the stored value it stands for


@dataclass(frozen=True)
class Layout:
    """One sheet of a railway's own spreadsheet against one declared sheet."""

    sheet: str  # the declared sheet
    grid: str  # the sheet's name in the spreadsheet
    sources: tuple[Source, ...]
    heading_rows: int = 1
    fixed: tuple[tuple[str, str], ...] = ()  # field and the text that every row has for it

    def as_data(self) -> dict[str, Any]:
        """Plain data for keeping; ``from_data`` makes the same layout of it again."""
        return {
            "sheet": self.sheet,
            "grid": self.grid,
            "heading_rows": self.heading_rows,
            "fixed": dict(self.fixed),
            "sources": [
                {"heading": s.heading, "field": s.field, "unit": s.unit, "words": dict(s.words)}
                for s in self.sources
            ],
        }

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> "Layout":
        """The layout kept as plain data; KeyError or TypeError where it is something else."""
        return cls(
            sheet=data["sheet"],
            grid=data["grid"],
            heading_rows=data["heading_rows"],
            fixed=tuple(data["fixed"].items()),
            sources=tuple(
                Source(s["heading"], s["field"], s["unit"], tuple(s["words"].items()))
                for s in data["sources"]
            ),
        )

    def problems(self, sheet: Sheet) -> list[str]:
        """What is still wrong with it, in sentences; empty when it can be used."""
        fields = [source.field for source in self.sources] + [name for name, _ in self.fixed]
        found = [
            f"{sheet.by_field[name].heading} is given twice."
            for name in dict.fromkeys(fields)
            if name in sheet.by_field and fields.count(name) > 1
        ]
        found += [
            f"There is no column {n} in {sheet.name}." for n in fields if n not in sheet.by_field
        ]
        found += [
            f"{column.heading} identifies the row: say which column holds it, or give one value "
            "for all."
            for column in sheet.columns
            if column.key and not column.optional and column.field not in fields
        ]
        return found
