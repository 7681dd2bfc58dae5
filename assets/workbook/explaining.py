"""How a workbook is filled in, in words: for the cell notes and the explaining sheet."""

from collections.abc import Iterable, Iterator

from .columns import UNKNOWN, Column, Kind, Sheet

HOW_TO = (
    (
        "Each row is one thing. Leave a cell blank if it is not known: unknown is a value, and is "
        "never guessed."
    ),
    (
        "Columns may be in any order, and any may be left out; do not change their headings. "
        "Headings in red-brown must be filled in; those in grey are not read back."
    ),
    (
        "Loading the workbook first shows what would happen: new, changed, the same, refused. Rows "
        "missing from the workbook are left alone; nothing is deleted by loading."
    ),
    (
        "A row changed in the program since this workbook was written is shown with both values "
        "and never overwritten without asking."
    ),
)


def explanations(sheets: Iterable[Sheet]) -> Iterator[tuple[str, str, str, str]]:
    """Sheet, heading, kind and how to fill it in, one row for each column of each sheet."""
    for sheet in sheets:
        yield sheet.name, "", "", " ".join(filter(None, (sheet.help, sheet.reading_only)))
        for column in sheet.columns:
            yield sheet.name, column.title, str(column.kind), " ".join(explanation(column))


def explanation(column: Column) -> list[str]:
    """What a person filling the column in needs to know, in short lines."""
    lines = [column.help] if column.help else []
    if column.info:
        return [*lines, "For your information; not read back."]
    lines.append(_how_to_fill(column))
    if column.key and column.optional:
        lines.append("Part of what identifies the row, where it has one; must not be changed.")
    elif column.key:
        lines.append("Identifies the row: must be filled in, and must not be changed.")
    elif column.required:
        lines.append("Must be filled in.")
    elif column.kind is Kind.TEXT:
        lines.append("May be left blank.")
    elif column.blank is not None and column.blank != UNKNOWN:
        lines.append(f"Blank means {column.show(column.blank)}.")
    else:
        lines.append("Leave blank if not known.")
    return lines


# How else the figures of a unit may be written.
_ALSO = {
    "mm": " Inches may be given as 4 1/4 in.",
    "miles": " Miles and chains may be given as 12m 34ch.",
    "N·m": " Pound-force feet may be given as 162 lbf ft.",
}


def _how_to_fill(column: Column) -> str:
    unit = f" in {column.unit}" if column.unit else ""
    also = _ALSO.get(column.unit, "")
    return {
        Kind.TEXT: "Text.",
        Kind.WHOLE: f"A whole number{unit}.{also}",
        Kind.NUMBER: f"A number{unit}.{also}",
        Kind.YES_NO: "yes or no.",
        Kind.DATE: "A date, day first: 3 May 2021.",
        Kind.DATE_TIME: "A date and time, day first: 3 May 2021 14:30.",
        Kind.CHOICE: "One of: " + ", ".join(label for _, label in column.choices) + ".",
        Kind.REFERENCE: f"As named in the sheet {column.refers_to}."
        if column.refers_to
        else "The name of something in the register.",
    }[column.kind]
