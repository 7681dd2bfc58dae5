"""One cell to one value: a parser is made once per column and then called for each cell.

A parser takes what a grid holds (None, text, number, yes/no, date, time or ``BadCell``) and returns
the value of the column's kind: str, int, float, bool, date, datetime, or the column's blank. It
raises CellRefused with a sentence on what would put the cell right. Values that already have the
right type take the shortest way through.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

from assets.engineering.figures import FigureRefused, figure, whole
from assets.engineering.units import converted, convertible, same_unit

from . import dates
from .columns import Column, Kind, fold, tidy, tidy_lines
from .refusals import BadCell, CellRefused
from .texts import LONGEST_TEXT, fits_a_cell

Parser = Callable[[object], object]

UNKNOWN_WORDS = frozenset({"unknown", "not known", "n/k", "?", "-", "–", "—"})
_YES = frozenset({"yes", "y", "true", "1", "✓", "✔", "☑"})
_NO = frozenset({"no", "n", "false", "0"})
_MOST_WHOLE = 2**53  # beyond it a spreadsheet no longer counts in ones


def parser_for(column: Column, unit: str = "", words: Mapping[str, str] | None = None) -> Parser:
    """The parser of a column.

    ``unit`` is the unit that bare figures stand in, where it is not the column's own; ValueError
    where the two do not measure alike. ``words`` gives further spellings of choices, each with the
    stored value it stands for.
    """
    if column.kind in (Kind.WHOLE, Kind.NUMBER):
        bare = unit or column.figure_unit
        if not convertible(bare, column.figure_unit):
            raise ValueError(f"{unit} cannot be turned into {column.unit}.")
        parse = _whole(column, bare) if column.kind is Kind.WHOLE else _number(column, bare)
    elif column.kind is Kind.CHOICE:
        parse = _choice(column, words or {})
    elif column.kind is Kind.TEXT and not column.key:
        parse = _text(column)
    else:
        parse = _MAKERS[column.kind](column)
    return _filled(column, parse) if column.must_be_filled else parse


def parser_in_row(column: Column, unit: str = "", words: Mapping[str, str] | None = None) -> Parser:
    """Like ``parser_for``, for a cell of a row that is not read yet.

    A written figure whose unit other cells of its row tell is left as text for ``figure_of_row``.
    """
    parse = parser_for(column, unit, words)
    if column.unit_in_row is None:
        return parse
    return lambda cell: cell if type(cell) is str and not _means_unknown(cell) else parse(cell)


def figure_of_row(column: Column, values: Mapping[str, Any]) -> object:
    """The figure of a cell that ``parser_in_row`` left as text, from the values of its row."""
    written = values[column.field]
    if type(written) is not str or column.unit_in_row is None:
        return written
    return parser_for(replace(column, figure_unit=column.unit_in_row(values)))(written)


def _filled(column: Column, parse: Parser) -> Parser:
    def parse_filled(cell):
        value = parse(cell)
        if value is None or value == "":
            raise CellRefused(
                f"{column.heading} must be filled in"
                + (": it is part of what identifies the row." if column.key else ".")
            )
        return value

    return parse_filled


def _text(column: Column) -> Parser:
    blank = column.blank

    def parse(cell):
        if cell is None:
            return blank
        if type(cell) is str:
            text = tidy_lines(cell)
            if not fits_a_cell(text):
                raise CellRefused(f"The text is too long: at most {LONGEST_TEXT} characters.")
            return text or blank
        if isinstance(cell, datetime):
            return cell.isoformat(" ").removesuffix(" 00:00:00")
        return _as_word(cell)

    return parse


def _name(column: Column) -> Parser:
    """Text that names something: a key or a reference to one."""
    blank = column.blank
    optional = not column.must_be_filled

    def parse(cell):
        if cell is None:
            return blank
        if type(cell) is not str:
            if isinstance(cell, datetime):
                raise CellRefused(
                    "The spreadsheet has made a date of this. Format the cell as text and type "
                    "it again."
                )
            return _as_word(cell)
        name = tidy(cell)
        if not name or (optional and name.casefold() in UNKNOWN_WORDS):
            return blank
        return name

    return parse


def _as_word(cell: object) -> str:
    """A number or a yes/no that stands where text is wanted, as the person sees it."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return str(int(cell)) if cell.is_integer() and abs(cell) < _MOST_WHOLE else repr(cell)
    if isinstance(cell, int):
        return str(cell)
    raise _unfit(cell, "text")


def _number(column: Column, bare: str) -> Parser:
    blank, unit = column.blank, column.figure_unit
    as_is = same_unit(bare, unit)

    def parse(cell):
        kind = type(cell)
        if kind is float or kind is int:
            try:
                return float(cell) if as_is else converted(float(cell), bare, unit)
            except OverflowError:
                raise CellRefused("The number is too large to be one.") from None
        if cell is None:
            return blank
        if kind is not str:
            raise _unfit(cell, "a number")
        if _means_unknown(cell):
            return blank
        return _figure(figure, cell, unit, bare)

    return parse


def _figure(parse, cell: str, unit: str, bare: str):
    try:
        return parse(cell, unit, bare)
    except FigureRefused as problem:
        raise CellRefused(str(problem)) from None


def _whole(column: Column, bare: str) -> Parser:
    blank, unit = column.blank, column.figure_unit
    number = _number(column, bare)
    as_is = same_unit(bare, unit)

    def parse(cell):
        if type(cell) is int and as_is:
            return cell
        if cell is None:
            return blank
        if type(cell) is str and not _means_unknown(cell):
            return _figure(whole, cell, unit, bare)
        value = number(cell)
        if value == blank:
            return blank
        if not value.is_integer():
            raise CellRefused("Only whole numbers are allowed here.")
        return int(value)

    return parse


def _yes_no(column: Column) -> Parser:
    blank = column.blank

    def parse(cell):
        if cell is True or cell is False or cell is None:
            return blank if cell is None else cell
        if isinstance(cell, (BadCell, datetime, time)):
            raise _unfit(cell, "yes or no")
        word = fold(_as_word(cell) if not isinstance(cell, str) else cell)
        if word in _YES:
            return True
        if word in _NO:
            return False
        if not word or word in UNKNOWN_WORDS:
            return blank
        raise CellRefused('Write "yes" or "no", or leave the cell blank if it is not known.')

    return parse


def _date(column: Column) -> Parser:
    moment = _date_time(column)
    blank = column.blank

    def parse(cell):
        value = moment(cell)
        if value is blank:
            return blank
        if value.time() != time():
            raise CellRefused("This has a time of day with the date. Give the date alone.")
        return value.date()

    return parse


def _date_time(column: Column) -> Parser:
    blank = column.blank

    def parse(cell):
        if type(cell) is datetime:
            return cell
        if cell is None:
            return blank
        if isinstance(cell, str):
            if _means_unknown(cell):
                return blank
            value = dates.read_written(cell)
            return value if isinstance(value, datetime) else datetime.combine(value, time())
        if isinstance(cell, date):
            return datetime.combine(cell, time())
        if isinstance(cell, (int, float)) and not isinstance(cell, bool):
            raise CellRefused(_bare_serial(cell))
        raise _unfit(cell, "a date")

    return parse


def _bare_serial(number: float) -> str:
    if 30_000 <= number < 60_000:
        moment = dates.from_serial(number, dates.EPOCH_1900)
        meant = f" Formatted as a date it would be {moment:%d %b %Y}."
    else:
        meant = ""
    return f"This is a number, but a date is needed.{meant} Format the cell as a date."


def _choice(column: Column, words: Mapping[str, str]) -> Parser:
    blank = column.blank
    meanings = {fold(word): value for word, value in words.items()}
    for value, label in column.choices:
        meanings[fold(label)] = meanings[fold(value)] = value
    for label, value in column.former:
        meanings.setdefault(fold(label), value)
    for word in UNKNOWN_WORDS:
        meanings.setdefault(word, blank)
    exact = {label: value for value, label in column.choices}
    offered = ", ".join(label for _, label in column.choices)

    def parse(cell):
        if cell is None:
            return blank
        if type(cell) is str:
            if cell in exact:
                return exact[cell]
            word = fold(cell)
        elif isinstance(cell, (BadCell, datetime, time)):
            raise _unfit(cell, "one of: " + offered)
        else:
            word = _as_word(cell)
        if not word:
            return blank
        try:
            return meanings[word]
        except KeyError:
            raise CellRefused(f"Choose one of: {offered}.") from None

    return parse


def _means_unknown(text: str) -> bool:
    word = fold(text)
    return not word or word in UNKNOWN_WORDS


def _unfit(cell: object, wanted: str) -> CellRefused:
    if isinstance(cell, BadCell):
        return CellRefused(cell.reason)
    if isinstance(cell, bool):
        return CellRefused(f"This is a yes/no, but {wanted} is needed.")
    if isinstance(cell, (date, time)):
        what = "time of day" if isinstance(cell, time) else "date"
        return CellRefused(
            f"This is a {what}, but {wanted} is needed. Change the format of the cell and "
            "type it again."
        )
    return CellRefused(f"This is not {wanted}.")


_MAKERS = {
    Kind.TEXT: _name,
    Kind.REFERENCE: _name,
    Kind.YES_NO: _yes_no,
    Kind.DATE: _date,
    Kind.DATE_TIME: _date_time,
}
