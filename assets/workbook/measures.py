"""Quantities as people write them: "108 mm", "4 1/4 in", "20 ft 6 in", "1,250".

Exact: the inch is 25.4 mm (international yard and pound agreement of 1959), so 4 1/4 in is
107.95 mm and nothing else; sums are done in fractions and rounded once.
"""

import math
import re
import unicodedata
from fractions import Fraction

from .refusals import CellRefused

_MM = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "km": Fraction(1_000_000),
    "in": Fraction("25.4"),
    "ft": Fraction("304.8"),
    "yd": Fraction("914.4"),
    "chain": Fraction("20116.8"),
    "mile": Fraction("1609344"),
}
# Newton metres in a pound-force foot: 0.45359237 x 9.80665 x 0.3048, all exact by definition.
_TORQUE = {
    "nm": Fraction(1),
    "lbft": Fraction("0.45359237") * Fraction("9.80665") * _MM["ft"] / 1000,
}
_OHM = {"ω": Fraction(1), "kω": Fraction(1000), "mω": Fraction(1_000_000)}  # mega: milli unused
_FAMILIES = (_MM, _TORQUE, _OHM)

_SPELLINGS = {
    "millimetre": "mm",
    "millimetres": "mm",
    "mms": "mm",
    "centimetre": "cm",
    "centimetres": "cm",
    "metre": "m",
    "metres": "m",
    "kilometre": "km",
    "kilometres": "km",
    "inch": "in",
    "inches": "in",
    "ins": "in",
    '"': "in",
    "''": "in",
    "foot": "ft",
    "feet": "ft",
    "'": "ft",
    "yard": "yd",
    "yards": "yd",
    "yds": "yd",
    "chains": "chain",
    "ch": "chain",
    "miles": "mile",
    "mi": "mile",
    "newtonmetres": "nm",
    "lbfft": "lbft",
    "ftlb": "lbft",
    "ftlbs": "lbft",
    "ftlbf": "lbft",
    "ohm": "ω",
    "ohms": "ω",
    "kohm": "kω",
    "kohms": "kω",
    "mohm": "mω",
    "mohms": "mω",
    "megohm": "mω",
    "megohms": "mω",
}
_LONGEST = 60  # characters; no quantity is written longer
_PLURALS = {"day": "days", "turn": "turns", "year": "years", "month": "months"}

_FIGURE = r"(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d*)?(?:e[+-]?\d{1,3})?|\.\d+(?:e[+-]?\d{1,3})?"
_FRACTION = r"\d{1,6}/\d{1,6}"
_PLAIN = re.compile(rf"[+-]?(?:{_FIGURE})")
_TERM = re.compile(
    rf"\s*(?:(?P<whole>\d{{1,6}})(?:\s+|-))?(?P<fraction>{_FRACTION})\s*(?P<unit1>[^\d\s.,+-][^\d,+]*)"
    rf"|\s*(?P<figure>{_FIGURE})\s*(?P<unit2>[^\d\s.,+-][^\d,+]*)"
)
_SIGNS = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "⁄": "/", "−": "-", "–": "-"}
)


def unit_name(text: str) -> str:
    """A unit in the one spelling used for comparing: "N·m" and "Nm" are "nm", "inches" is "in"."""
    plain = re.sub(
        r"[\s.·⋅*]", "", unicodedata.normalize("NFKC", text).translate(_SIGNS).casefold()
    )
    plain = _SPELLINGS.get(plain, plain)
    return _PLURALS.get(plain, plain)


def factor(unit: str, wanted: str) -> Fraction | None:
    """How many of the wanted unit one ``unit`` is; None where the two do not measure alike."""
    unit, wanted = unit_name(unit), unit_name(wanted)
    if unit == wanted:
        return Fraction(1)
    for family in _FAMILIES:
        if unit in family and wanted in family:
            # In a column of miles "12 m" may mean either; it is asked for, not guessed.
            ambiguous = {unit, wanted} == {"m", "mile"}
            return None if ambiguous else family[unit] / family[wanted]
    return None


def scaled(value: float, by: Fraction) -> float:
    """The value times a fraction, rounded once."""
    return value if by == 1 else float(Fraction(repr(value)) * by)


def quantity(text: str, unit: str, bare: Fraction = Fraction(1)) -> float:
    """The number that the text gives in ``unit``; ``bare`` scales figures without a unit.

    Raises CellRefused with what would be understood.
    """
    if len(text) > _LONGEST:
        raise CellRefused(_not_a_number("", unit))
    written = _written_plainly(text)
    total = _figure(written) * bare if _PLAIN.fullmatch(written) else _sum_of_terms(written, unit)
    try:
        value = float(total)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise CellRefused("The number is too large to be one.")
    return value


def _written_plainly(text: str) -> str:
    text = re.sub(r"(\d)([¼-¾⅐-⅞])", r"\1 \2", text)
    text = unicodedata.normalize("NFKC", text).translate(_SIGNS)
    return " ".join(text.split()).casefold()


def _figure(written: str) -> Fraction:
    return Fraction(written.replace(",", "").rstrip("."))


def _sum_of_terms(written: str, unit: str) -> Fraction:
    sign = -1 if written.startswith("-") else 1
    rest = written.lstrip("+-") if sign == -1 or written.startswith("+") else written
    total, at = Fraction(0), 0
    while at < len(rest):
        term = _TERM.match(rest, at)
        if term is None:
            raise CellRefused(_not_a_number(written, unit))
        total += _term_value(term, unit)
        at = term.end()
    if not rest:
        raise CellRefused(_not_a_number(written, unit))
    return sign * total


def _term_value(term: re.Match, unit: str) -> Fraction:
    spelt = (term["unit1"] or term["unit2"]).strip()
    if term["fraction"]:
        top, bottom = term["fraction"].split("/")
        if int(bottom) == 0:
            raise CellRefused("A fraction cannot have nothing below its line.")
        value = int(term["whole"] or 0) + Fraction(int(top), int(bottom))
    else:
        value = _figure(term["figure"])
    by = factor(spelt, unit) if unit else None
    if by is None:
        raise CellRefused(_not_a_number(term.string, unit))
    return value * by


def _not_a_number(written: str, unit: str) -> str:
    if re.fullmatch(r"\d+,\d+", written):
        return "Write the decimal with a point: 3.5, not 3,5."
    if re.fullmatch(rf"(?:\d+[ -])?{_FRACTION}", written):
        return 'Say what the fraction is of: "4 1/4 in", for instance.'
    measure = f" in {unit}" if unit else ""
    inches = ' or "4 1/4 in"' if unit_name(unit) in _MM else ""
    return (
        f"This is not one number{measure}. Give one figure, such as 6.5{inches}; "
        "leave the cell blank where it is not known."
    )
