"""The parts of an .xlsx file: its sheets, shared texts, styles and properties.

Only one row of a sheet is in memory at a time, besides the table of shared texts.
"""

import posixpath
import re
from collections.abc import Iterator
from datetime import datetime
from typing import BinaryIO

from . import dates, safety
from .grids import Cells, Grid, Merge
from .refusals import WorkbookRefused, column_index
from .rows import row_handlers, unescape, value_reader
from .safety import Limits

_BUILT_IN_DATES = frozenset([*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)])
_MERGE = re.compile(
    rb'<(?:\w+:)?mergeCell\s[^<>]*?ref="([A-Z]{1,3})(\d{1,7}):([A-Z]{1,3})(\d{1,7})"'
)
_LONGEST_MERGE = 200  # bytes of its element
_IGNORED_PARTS = {
    "xl/vbaproject.bin": "The workbook holds macros. They were neither read nor run.",
    "xl/externallinks/": "The workbook has links to other workbooks. They were not followed; "
    "values already stored in its cells were used.",
}


class XlsxBook:
    """An opened .xlsx or .xlsm file. Use it in a ``with`` block, which closes it."""

    def __init__(self, source: BinaryIO, limits: Limits):
        self._source = source
        archive = self._archive = safety.open_archive(source, limits)
        self._limits = limits
        self._parts = {info.filename.casefold(): info.filename for info in archive.infolist()}
        self._strings: list[str] | None = None
        self.notes: list[str] = self._ignored()
        workbook = self._workbook_part()
        relations = self._relations(workbook)
        listing = safety.elements(archive, workbook, limits)
        self._epoch = _epoch(listing)
        self._sheets = self._list_sheets(listing, relations)
        self._shared = _target(relations, "/sharedStrings")
        self._date_styles = self._find_date_styles(_target(relations, "/styles"))

    def __enter__(self) -> "XlsxBook":
        return self

    def __exit__(self, *_) -> None:
        self._archive.close()
        self._source.close()

    @property
    def sheet_names(self) -> list[str]:
        return list(self._sheets)

    @property
    def unpacked_size(self) -> int:
        """Bytes that all parts take together."""
        return sum(info.file_size for info in self._archive.infolist())

    def is_plain(self) -> bool:
        """Whether every XML part is whole at its beginning and declares no entities."""
        try:
            for part in self._parts.values():
                if part.endswith((".xml", ".rels", ".vml")):
                    safety.root_name(self._archive, part, self._limits)
        except WorkbookRefused:
            return False
        return True

    @property
    def properties(self) -> dict[str, str]:
        """The workbook's custom document properties, by name."""
        part = self._parts.get("docprops/custom.xml")
        if part is None:
            return {}
        found, name = {}, ""
        for names, attributes, text in safety.elements(self._archive, part, self._limits):
            if names[-1] == "property":
                name = attributes.get("name", "")
            elif name and len(names) == 3:
                found[name] = text
        return found

    def grid(self, name: str) -> Grid:
        """The sheet of this name, its merged areas known, its rows not read yet."""
        part, hidden = self._sheets[name]
        return Grid(name, hidden, self._merges(part))

    def rows(self, grid: Grid) -> Iterator[tuple[int, Cells]]:
        """Row numbers and cells of the rows that hold anything, in the order of the file."""
        part, _ = self._sheets[grid.name]
        if self._strings is None:
            self._strings = self._read_strings()
        prefix = safety.root_name(self._archive, part, self._limits).removesuffix("worksheet")
        ready: list[tuple[int, Cells]] = []
        value_of = value_reader(self._strings, self._date_styles, self._epoch)
        handlers = row_handlers(grid, ready, prefix, value_of, self._limits.columns)
        for _ in safety.feed(self._archive, part, self._limits.sheet, self._limits, *handlers):
            yield from ready
            ready.clear()

    def _ignored(self) -> list[str]:
        return [
            note
            for start, note in _IGNORED_PARTS.items()
            if any(name.startswith(start) for name in self._parts)
        ]

    def _workbook_part(self) -> str:
        if "mimetype" in self._parts:
            kind = b"".join(
                safety.read_chunks(self._archive, self._parts["mimetype"], self._limits.small_part)
            )
            if b"opendocument" in kind:
                raise WorkbookRefused(
                    "This is an OpenDocument file (.ods). Open it, choose Save As, Excel Workbook "
                    "(.xlsx), and load that."
                )
        if "xl/workbook.bin" in self._parts:
            raise WorkbookRefused(
                "This is a binary workbook (.xlsb). Save it as Excel Workbook (.xlsx) and load "
                "that."
            )
        part = _target(self._relations(""), "/officeDocument")
        if part is None or not safety.root_name(self._archive, part, self._limits).endswith(
            "workbook"
        ):
            raise WorkbookRefused(
                "This file is not a workbook. Only workbooks (.xlsx) and .csv files can be loaded."
            )
        return part

    def _relations(self, part: str) -> dict[str, tuple[str, str]]:
        """Of a part, or of the file as a whole (""): id to type and the part pointed at."""
        folder, name = posixpath.split(part)
        listed = self._parts.get(posixpath.join(folder, "_rels", f"{name}.rels").casefold())
        if listed is None:
            return {}
        found = {}
        for names, attributes, _ in safety.elements(self._archive, listed, self._limits):
            if names[-1] != "Relationship" or attributes.get("TargetMode") == "External":
                continue
            target = posixpath.normpath(posixpath.join("/", folder, attributes.get("Target", "")))
            actual = self._parts.get(target.lstrip("/").casefold())
            if actual is not None:
                found[attributes.get("Id", "")] = (attributes.get("Type", ""), actual)
        return found

    def _list_sheets(self, listing, relations) -> dict[str, tuple[str, bool]]:
        sheets = {}
        for names, attributes, _ in listing:
            if names[-2:] != ("sheets", "sheet"):
                continue
            kind, part = relations.get(attributes.get("id", ""), ("", ""))
            if kind.endswith("/worksheet"):
                hidden = attributes.get("state", "visible") != "visible"
                sheets.setdefault(attributes.get("name", ""), (part, hidden))
        if not sheets:
            raise WorkbookRefused("The workbook has no sheet of cells in it.")
        return sheets

    def _find_date_styles(self, part: str | None) -> frozenset[str]:
        """The style numbers, as cells write them, whose number format shows a date or a time."""
        if part is None:
            return frozenset()
        date_formats = {str(number) for number in _BUILT_IN_DATES}
        styles, count = set(), 0
        for names, attributes, _ in safety.elements(self._archive, part, self._limits):
            if names[-1] == "numFmt" and names[-2] == "numFmts":
                if dates.shows_date(attributes.get("formatCode", "")):
                    date_formats.add(attributes.get("numFmtId", ""))
                else:
                    date_formats.discard(attributes.get("numFmtId", ""))
            elif names[-2:] == ("cellXfs", "xf"):
                if attributes.get("numFmtId") in date_formats:
                    styles.add(str(count))
                count += 1
        return frozenset(styles)

    def _read_strings(self) -> list[str]:
        if self._shared is None:
            return []
        strings: list[str] = []
        pieces: list[str] = []
        collecting = phonetic = False

        def start(name, attributes):
            nonlocal collecting, phonetic
            name = safety.local(name)
            if name == "t":
                collecting = not phonetic
            elif name == "rPh":
                phonetic = True

        def end(name):
            nonlocal collecting, phonetic
            name = safety.local(name)
            if name == "t":
                collecting = False
            elif name == "rPh":
                phonetic = False
            elif name == "si":
                strings.append(unescape("".join(pieces)))
                pieces.clear()

        def text(piece):
            if collecting:
                pieces.append(piece)

        limits = self._limits
        for _ in safety.feed(self._archive, self._shared, limits.strings, limits, start, end, text):
            pass
        return strings

    def _merges(self, part: str) -> tuple[Merge, ...]:
        """The merged areas, found without parsing: they are listed below the last row."""
        merges: list[Merge] = []
        tail = b""
        for chunk in safety.read_chunks(self._archive, part, self._limits.sheet):
            window = tail + chunk
            last = 0
            for found in _MERGE.finditer(window):
                left, top, right, bottom = (piece.decode() for piece in found.groups())
                merges.append(Merge(int(top), column_index(left), int(bottom), column_index(right)))
                last = found.end()
            tail = window[max(last, len(window) - _LONGEST_MERGE) :]
            if len(merges) > self._limits.merges:
                raise WorkbookRefused(
                    f"A sheet has more than {self._limits.merges} merged areas. Unmerge its cells, "
                    "save and load again."
                )
        return tuple(merges)


def _target(relations: dict[str, tuple[str, str]], kind: str) -> str | None:
    return next((part for type_, part in relations.values() if type_.endswith(kind)), None)


def _epoch(listing) -> datetime:
    for names, attributes, _ in listing:
        if names[-1] == "workbookPr" and attributes.get("date1904") in ("1", "true", "on"):
            return dates.EPOCH_1904
    return dates.EPOCH_1900
