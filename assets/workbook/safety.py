"""Bounds on what an uploaded file may ask of the machine, and what kind of file it is.

An .xlsx file is a zip of XML parts. Before anything is unpacked the sizes it declares are added
up; the unpacker never gives more than was declared, so the sum is a true bound.
"""

import zipfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import BinaryIO
from xml.parsers import expat

from .refusals import WorkbookRefused

_MB = 1_000_000
_CHUNK = 1 << 16
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_DEEPEST = 64  # elements inside each other; a sheet needs 7


@dataclass(frozen=True)
class Limits:
    """How much a file may hold. Far above any register, far below what hurts."""

    file: int = 60 * _MB
    text_file: int = 20 * _MB
    parts: int = 5_000
    unpacked: int = 500 * _MB
    sheet: int = 200 * _MB
    strings: int = 64 * _MB
    small_part: int = 8 * _MB
    token: int = 1 * _MB  # one tag with its attributes
    columns: int = 1_000
    merges: int = 5_000


def check_size(source: BinaryIO, limits: Limits) -> None:
    """Turns away an empty file and one too large to be a register; leaves it at its start."""
    size = _size(source)
    if size == 0:
        raise WorkbookRefused(
            "The file is empty. Choose it again; perhaps it has not been saved yet."
        )
    if size > limits.file:
        raise WorkbookRefused(
            f"The file is {size / _MB:.0f} MB; at most {limits.file / _MB:.0f} MB are read. "
            "Remove pictures and sheets you do not need, or load it in parts."
        )


def check_text_size(source: BinaryIO, limits: Limits) -> None:
    """A .csv file is held to less: it is not packed."""
    size = _size(source)
    if size > limits.text_file:
        raise WorkbookRefused(
            f"The file is {size / _MB:.0f} MB; at most {limits.text_file / _MB:.0f} MB of .csv are "
            "read. Load it in parts."
        )


def _size(source: BinaryIO) -> int:
    size = source.seek(0, 2)
    source.seek(0)
    return size


def is_zip(source: BinaryIO) -> bool:
    """Whether the file is a zip; WorkbookRefused for other kinds known by their first bytes."""
    head = source.read(8)
    source.seek(0)
    if head.startswith(_OLE):
        raise WorkbookRefused(_what_ole_is(source))
    if head.startswith(b"%PDF"):
        raise WorkbookRefused("This is a PDF. Only workbooks (.xlsx) and .csv files can be loaded.")
    return head.startswith(b"PK")


def _what_ole_is(source: BinaryIO) -> str:
    """Old .xls files and password-protected .xlsx files share a container; tell them apart."""
    marker, tail = "EncryptedPackage".encode("utf-16-le"), b""
    while chunk := source.read(_CHUNK):
        if marker in tail + chunk:
            return (
                "The workbook is protected with a password and cannot be read. Open it, take the "
                "password off (File, Info, Protect Workbook), save it and load it again."
            )
        tail = chunk[-len(marker) :]
    return (
        "This is the old .xls kind of workbook. Open it in your spreadsheet program, save it as "
        "Excel Workbook (.xlsx) and load that."
    )


def open_archive(source: BinaryIO, limits: Limits) -> zipfile.ZipFile:
    """The zip with its declared sizes within the limits and nothing in it locked."""
    try:
        archive = zipfile.ZipFile(source)
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError, EOFError):
        raise damaged() from None
    infos = archive.infolist()
    if len(infos) > limits.parts:
        raise WorkbookRefused(
            f"The file holds {len(infos)} parts: that is not an ordinary workbook."
        )
    if any(info.flag_bits & 0x1 for info in infos):
        raise WorkbookRefused(
            "The file is locked with a password. Remove it and load the file again."
        )
    total = sum(info.file_size for info in infos)
    if total > limits.unpacked:
        raise WorkbookRefused(
            f"Unpacked, the file would take {total / _MB:.0f} MB; at most "
            f"{limits.unpacked / _MB:.0f} MB are read. {_SHRINK}"
        )
    return archive


_SHRINK = (
    "Usually whole sheets of empty formatted rows are the cause: select all rows below your data, "
    "delete them, save and load again."
)


def damaged(part: str = "") -> WorkbookRefused:
    where = f" ({part})" if part else ""
    return WorkbookRefused(
        f"The workbook is damaged or was not uploaded whole{where}. Open it in your spreadsheet "
        "program, save it under a new name and load that."
    )


def read_chunks(archive: zipfile.ZipFile, part: str, most: int) -> Iterator[bytes]:
    """The bytes of a part, piece by piece; WorkbookRefused if too large or damaged."""
    size = archive.getinfo(part).file_size
    if size > most:
        raise WorkbookRefused(
            f"One part of the workbook ({part}) would take {size / _MB:.0f} MB; at most "
            f"{most / _MB:.0f} MB are read. {_SHRINK}"
        )
    try:
        with archive.open(part) as stream:
            while chunk := stream.read(_CHUNK):
                yield chunk
    except (
        zipfile.BadZipFile,
        zlib.error,
        EOFError,
        OSError,
        NotImplementedError,
        RuntimeError,
        ValueError,  # the directory names a place before the beginning of the file
    ):
        raise damaged(part) from None


class _Stop(Exception):
    """Enough has been read."""


def _pass_by(_) -> None:
    """Takes no interest in an element or a text."""


def root_name(archive: zipfile.ZipFile, part: str, limits: Limits) -> str:
    """The name of a part's outermost element as written, prefix and all."""
    found = ""

    def start(name, attributes):
        nonlocal found
        found = name
        raise _Stop

    try:
        for _ in feed(archive, part, limits.sheet, limits, start, _pass_by, _pass_by):
            pass
    except _Stop:
        return found
    raise damaged(part)


def feed(
    archive: zipfile.ZipFile,
    part: str,
    most: int,
    limits: Limits,
    start: Callable[[str, dict], None],
    end: Callable[[str], None],
    text: Callable[[str], None],
) -> Iterator[None]:
    """Parse a part, calling the handlers; yields after each piece so that rows can be taken out.

    A document type declaration, the only place where entities can be declared, is refused: no
    workbook has one (ECMA-376 part 2, 9.1.4 forbids it). Memory stays within one piece and one tag.
    """
    depth = 0

    def start_counted(name, attributes):
        nonlocal depth
        depth += 1
        if depth > _DEEPEST:
            raise damaged(part)
        start(name, attributes)

    def end_counted(name):
        nonlocal depth
        depth -= 1
        end(name)

    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse_doctype
    parser.StartElementHandler = start_counted
    parser.EndElementHandler = end_counted
    parser.CharacterDataHandler = text
    fed = 0
    try:
        for chunk in read_chunks(archive, part, most):
            parser.Parse(chunk)
            fed += len(chunk)
            if fed - parser.CurrentByteIndex > limits.token + _CHUNK:
                raise damaged(part)
            yield
        parser.Parse(b"", True)
        yield
    except expat.ExpatError:
        raise damaged(part) from None


def _refuse_doctype(*_):
    raise WorkbookRefused(
        "The workbook declares XML entities, which no spreadsheet program writes. It was not read. "
        "Save it again from your spreadsheet program and load that."
    )


def elements(
    archive: zipfile.ZipFile, part: str, limits: Limits
) -> list[tuple[tuple[str, ...], dict, str]]:
    """A small part as a flat list: path of element names, attributes, text directly inside.

    Prefixes are left off names. Fit for the parts that list things: sheets, relations, styles.
    """
    found: list[list] = []
    open_ones: list[list] = []

    def start(name, attributes):
        names = (open_ones[-1][0] if open_ones else ()) + (local(name),)
        plain = {local(key): value for key, value in attributes.items()}
        open_ones.append([names, plain, []])
        found.append(open_ones[-1])

    def end(name):
        open_ones.pop()

    def text(piece):
        open_ones[-1][2].append(piece)

    for _ in feed(archive, part, limits.small_part, limits, start, end, text):
        pass
    return [(names, attributes, "".join(pieces)) for names, attributes, pieces in found]


def local(name: str) -> str:
    return name.rpartition(":")[2]
