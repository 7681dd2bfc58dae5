"""A .csv file as one grid of texts: its encoding and delimiter are worked out, and said."""

import codecs
import csv
import io
import itertools
from collections.abc import Iterator
from typing import BinaryIO

from .grids import Cells, Grid
from .refusals import WorkbookRefused
from .safety import Limits

_DELIMITERS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright bars"}
_SAMPLE = 40  # rows looked at to find the delimiter
_LONGEST_LINE = 1_000_000  # characters
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_ENCODING_NAMES = {"utf-8-sig": "UTF-8", "utf-8": "UTF-8", "utf-16": "UTF-16"}


class CsvBook:
    """A delimited text file, as a book with one sheet. Use it in a ``with`` block."""

    single = True  # one sheet, known by its headings rather than its name
    properties: dict[str, str] = {}

    def __init__(self, source: BinaryIO, name: str, limits: Limits):
        self._source = source
        self._limits = limits
        self._name = name
        self._encoding = _encoding(source)
        self._delimiter = self._find_delimiter()
        self.notes = [
            (
                f"Read as {_ENCODING_NAMES.get(self._encoding, 'Windows-1252')} text with fields "
                f"separated by {_DELIMITERS[self._delimiter]}."
            )
        ]

    def __enter__(self) -> "CsvBook":
        return self

    def __exit__(self, *_) -> None:
        self._source.close()

    @property
    def sheet_names(self) -> list[str]:
        return [self._name]

    def grid(self, name: str) -> Grid:
        return Grid(name)

    def rows(self, grid: Grid) -> Iterator[tuple[int, Cells]]:
        """Row numbers and texts of the rows that hold anything; a row may span several lines."""
        for number, fields in enumerate(self._records(self._delimiter), 1):
            if len(fields) > self._limits.columns:
                raise WorkbookRefused(
                    f"Row {number} has {len(fields)} fields; at most {self._limits.columns} "
                    "columns are read."
                )
            cells = [text or None for text in fields]
            if any(text and not text.isspace() for text in fields):
                yield number, cells

    def _find_delimiter(self) -> str:
        """The delimiter that parts the first rows into the most fields, evenly."""

        def score(delimiter: str) -> tuple[int, int]:
            sample = itertools.islice(self._records(delimiter), _SAMPLE)
            widths = [len(fields) for fields in sample if any(fields)]
            usual = max(set(widths), key=widths.count, default=1)
            return (widths.count(usual) if usual > 1 else 0, usual)

        return max(_DELIMITERS, key=score)

    def _records(self, delimiter: str) -> Iterator[list[str]]:
        self._source.seek(0)
        text = io.TextIOWrapper(self._source, self._encoding, newline="")
        try:
            yield from csv.reader(_lines(text), delimiter=delimiter)
        except (csv.Error, UnicodeError) as problem:
            raise WorkbookRefused(
                f"The file cannot be read as a .csv file ({problem}). Save it again as CSV UTF-8, "
                "or as a workbook (.xlsx)."
            ) from None
        finally:
            text.detach()


def _lines(text: io.TextIOWrapper) -> Iterator[str]:
    while line := text.readline(_LONGEST_LINE):
        if len(line) == _LONGEST_LINE:
            raise csv.Error("a line of it never ends")
        yield line


def _encoding(source: BinaryIO) -> str:
    """By its byte order mark, else UTF-8 if all of it is that, else Windows-1252."""
    source.seek(0)
    head = source.read(4)
    for mark, encoding in _MARKS:
        if head.startswith(mark):
            return encoding
    source.seek(0)
    decoder = codecs.getincrementaldecoder("utf-8")()
    utf8 = True
    while chunk := source.read(1 << 16):
        if b"\0" in chunk:
            raise WorkbookRefused(
                "This file is neither a workbook nor text. Only workbooks (.xlsx) and .csv files "
                "can be loaded."
            )
        try:
            decoder.decode(chunk) if utf8 else None
        except UnicodeDecodeError:
            utf8 = False
    return "utf-8" if utf8 else "cp1252"
