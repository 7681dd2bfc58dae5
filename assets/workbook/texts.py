"""Text as every database, page and workbook can hold it.

The register keeps no control characters: pasted from elsewhere they are seen by nobody, PostgreSQL
refuses some of them and a workbook with any of the others is opened by no program.
"""

import re

LONGEST_TEXT = 32_767  # what a cell of a workbook holds, in UTF-16 units
_NOT_TEXT = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")
_LINE_ENDS = re.compile("\r\n|[\r\x0b\x0c\x85]")


def plain(text: str) -> str:
    """The text without control characters but tab and line feed, and without half characters.

    Line ends of every kind (carriage return, vertical tab, form feed, next line) become line feeds.
    """
    if _NOT_TEXT.search(text) is None:
        return text
    return _NOT_TEXT.sub("", _LINE_ENDS.sub("\n", text))


def fits_a_cell(text: str) -> bool:
    """Whether a cell holds the text; ``text`` is plain."""
    if len(text) * 2 <= LONGEST_TEXT:
        return True
    return len(text.encode("utf-16-le")) // 2 <= LONGEST_TEXT
