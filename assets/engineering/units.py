"""Reading figures as people write them: millimetres, inches and fractions, ohms with k and M.

Arithmetic is exact until the end, so 4 1/4 in is the same number as 107.95 mm.
"""

import re
import unicodedata
from fractions import Fraction

MM_PER_INCH = Fraction(254, 10)  # exact since 1959

_NUMBER = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_AMOUNT = rf"(?:[0-9]+\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+|{_NUMBER})"
_LENGTH = re.compile(
    rf"""(?P<sign>[-+]?)\s*(?:
        (?P<mm>{_NUMBER})\s*(?:mm)?
        | (?:(?P<feet>{_AMOUNT})\s*(?:ft|feet|foot|'))?\s*
          (?:(?P<inches>{_AMOUNT})\s*(?:in|ins|inch|inches|"))?
    )""",
    re.VERBOSE,
)
_PLAIN = re.compile(rf"(?P<sign>[-+]?)\s*(?P<amount>{_NUMBER})\s*(?P<prefix>[kM]?)\s*(?P<unit>\D*)")
_OHMS = ("", "Ω", "ohm", "ohms")


def parse_length(text: str) -> float:
    """A length in mm from "52.5", "52.5 mm", "4 1/4 in", "4 ft 8 1/2 in" or "3/8in".

    Without a unit it is mm. Raises ValueError with a sentence for the person who wrote it.
    """
    written = _tidy(text)
    match = _LENGTH.fullmatch(written.lower())
    if not match or not any(match[part] for part in ("mm", "feet", "inches")):
        raise ValueError(
            f'"{text.strip()}" is not a length: write mm like 52.5, or inches like 4 1/4 in.'
        )
    if match["mm"]:
        length = Fraction(match["mm"])
    else:
        length = (12 * _amount(match["feet"]) + _amount(match["inches"])) * MM_PER_INCH
    return float(-length if match["sign"] == "-" else length)


def parse_figure(text: str, unit: str) -> float:
    """A number in ``unit`` from "220", "220 N·m" or, for ohms, "500 k" and "2 MΩ".

    Raises ValueError with a sentence for the person who wrote it.
    """
    if unit == "mm":
        return parse_length(text)
    match = _PLAIN.fullmatch(_tidy(text))
    names = _OHMS if unit == "Ω" else ("", unit.lower(), "nm")
    if not match or match["unit"].lower() not in {name.lower() for name in names}:
        raise ValueError(f'"{text.strip()}" is not a figure in {unit}: write it like 220.')
    if match["prefix"] and unit != "Ω":
        raise ValueError(f'"{text.strip()}" is not a figure in {unit}: write it without k or M.')
    factor = {"": 1, "k": 1_000, "M": 1_000_000}[match["prefix"]]
    value = Fraction(match["amount"]) * factor
    return float(-value if match["sign"] == "-" else value)


def _tidy(text: str) -> str:
    """Plain letters and spaces: 4¼ becomes 4 1/4, typographic quotes become plain ones."""
    if "," in text:
        raise ValueError(f'"{text.strip()}" has a comma: write a decimal point, and no thousands.')
    # A fraction sign stands apart from the whole number before it.
    spaced = "".join(f" {c}" if _is_fraction(c) else c for c in text)
    plain = unicodedata.normalize("NFKC", spaced)
    for found, meant in (("⁄", "/"), ("”", '"'), ("″", '"'), ("’", "'"), ("′", "'"), ("−", "-")):
        plain = plain.replace(found, meant)
    if len(plain) > 40:
        raise ValueError("That is too long for a figure.")
    return " ".join(plain.replace("Ω", "Ω").split())


def _is_fraction(character: str) -> bool:
    """½ and its like, one character for a whole fraction."""
    return unicodedata.decomposition(character).startswith("<fraction>")


def _amount(written: str | None) -> Fraction:
    """ "4 1/4", "3/8" or "4.25"; nothing is 0."""
    total = Fraction(0)
    for piece in (written or "").split():
        try:
            total += Fraction(piece)
        except ZeroDivisionError:
            raise ValueError(f'"{written}" has a fraction with nothing below the line.') from None
    return total
