"""An uploaded file into a book of grids, whatever it turns out to be."""

import io
import os
from pathlib import PurePath
from typing import BinaryIO

from . import safety
from .delimited import CsvBook
from .package import XlsxBook
from .refusals import WorkbookRefused
from .safety import Limits

Book = XlsxBook | CsvBook

_MAY_BE_TEXT = {"", ".csv", ".tsv", ".tab", ".txt", ".prn", ".xls", ".xlsx", ".xlsm"}
_MARKUP = (b"<html", b"<!doctype", b"<table", b"<?xml")


def open_book(
    source: str | os.PathLike | BinaryIO, name: str = "", limits: Limits | None = None
) -> Book:
    """The workbook or .csv file in ``source``, a path or an open binary file.

    ``name`` is the file's name where ``source`` is not a path; it names the sheet of a .csv file
    and tells that from text of other kinds. Use the book in a ``with`` block. Raises
    WorkbookRefused with a sentence for the person who sent it; a path that cannot be opened raises
    OSError.
    """
    limits = limits or Limits()
    if isinstance(source, (str, os.PathLike)):
        name = name or os.fspath(source)
        stream = open(source, "rb")  # noqa: SIM115 - the book closes it
    else:
        stream = io.BufferedReader(_Borrowed(source))
    try:
        return _open(stream, name, limits)
    except BaseException:
        stream.close()
        raise


class _Borrowed(io.RawIOBase):
    """A view of somebody else's open file; closing it closes nothing."""

    def __init__(self, source: BinaryIO):
        self._source = source
        source.seek(0)

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def readinto(self, buffer) -> int:
        data = self._source.read(len(buffer))
        buffer[: len(data)] = data
        return len(data)

    def seek(self, offset: int, whence: int = 0) -> int:
        return self._source.seek(offset, whence)

    def tell(self) -> int:
        return self._source.tell()


def _open(stream: BinaryIO, name: str, limits: Limits) -> Book:
    safety.check_size(stream, limits)
    if safety.is_zip(stream):
        return XlsxBook(stream, limits)
    head = stream.read(512).lstrip(b"\xef\xbb\xbf \r\n\t").lower()
    stream.seek(0)
    if head.startswith(_MARKUP):
        raise WorkbookRefused(
            "This is a web page or XML file under the name of a workbook. Open it in your "
            "spreadsheet program, save it as Excel Workbook (.xlsx) and load that."
        )
    safety.check_text_size(stream, limits)
    kind = PurePath(name).suffix.lower()
    if kind not in _MAY_BE_TEXT:
        raise WorkbookRefused(
            f"This is a {kind} file. Only workbooks (.xlsx) and .csv files can be loaded."
        )
    return CsvBook(stream, PurePath(name).stem or "Sheet", limits)
