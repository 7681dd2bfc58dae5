"""The one parser of figures as people write them: "52.5", "4 1/4 in", "500k", "12m 34ch".

Every form, workbook cell, visit sheet and command reads figures here, and the phone reads them by
the same rules in ``inspections/static/inspections/figures.js``. A figure that can be read in two
ways is refused with both readings named: a wrong figure is worse than none.

Sums are done in fractions and rounded once, so 4 1/4 in is 107.95 mm and nothing else.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from .units import PLAIN, Kind, Unit, kind_of, same_unit, unit_of, units_spelt

LONGEST = 40  # characters; no figure is written longer
_MOST_EXPONENT = 99  # of 10; so no figure is too large or too small for the computer


class FigureRefused(ValueError):
    """A figure that cannot be taken; the message says why, and how to put it right."""


@dataclass(frozen=True)
class _Term:
    """One amount with its unit, as written."""

    written: str
    amount: Fraction
    unit: str  # "" where none is written
    fraction: bool  # written with a line


_SPACES = re.compile(r"[ \t\n\r\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+")
_UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\u00ad\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff]"
)
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8",
    "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_PLAIN = str.maketrans(
    {sign: f" {fraction} " for sign, fraction in _VULGAR.items()}
    | dict.fromkeys("″”“", '"')
    | dict.fromkeys("′’‘", "'")
    | dict.fromkeys("⁄∕", "/")
)
_SIGN = re.compile(r"([-+\u2212\u2013]?) ?")
_TERM = re.compile(
    r" ?(?:(?:(?P<whole>[0-9]+)[ -])?(?P<above>[0-9]+)/(?P<below>[0-9]+)"
    r"|(?P<decimal>(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE](?P<exponent>[-+]?[0-9]{1,3}))?))"
    r"(?P<unit>[^0-9,/][^0-9,]*)?"
)
_THOUSANDS = re.compile(r"[-+\u2212\u2013]? ?[0-9]{1,3},[0-9]{3}(?![0-9])[^,]*")
_SPACED_THOUSANDS = re.compile(r"[0-9]{1,3}(?: [0-9]{3})+")


def figure(text: str, unit: str, bare: str = "") -> float:
    """The figure that the text gives, in ``unit``, the unit of the field ("mm", "N·m", "miles").

    ``bare`` is the unit of a figure that is written without one, the field's own if not given.
    Raises FigureRefused with a sentence for the person who wrote it.

    >>> figure("4 1/4 in", "mm")
    107.95
    >>> figure("2 mΩ", "Ω"), figure("500k", "Ω")
    (0.002, 500000.0)
    >>> figure("12m 34ch", "miles")
    12.425
    """
    shown = _SPACES.sub(" ", text.translate(_FULL_WIDTH)).strip(" ")
    if _UNSEEN.search(shown):
        raise FigureRefused("This has a sign in it that does not show: type the figure again.")
    if len(shown) > LONGEST:
        raise FigureRefused("That is too long for a figure.")
    if "," in shown:
        raise FigureRefused(_comma(shown))
    kind = kind_of(unit)
    return _Written(shown, kind, unit, bare or unit).value()


def whole(text: str, unit: str, bare: str = "") -> int:
    """The whole number that the text gives, in ``unit``; refused as by ``figure``."""
    value = figure(text, unit, bare)
    if not value.is_integer():
        raise FigureRefused("Only whole numbers stand here.")
    return int(value)


def _comma(shown: str) -> str:
    if _THOUSANDS.fullmatch(shown):
        return (
            f'"{shown}" can be read as {shown.replace(",", "")} or as {shown.replace(",", ".")}: '
            "write it without a comma."
        )
    return f'"{shown}" has a comma: write a decimal point, and no thousands.'


@dataclass(frozen=True)
class _Written:
    """One text read as a figure of one kind."""

    shown: str
    kind: Kind
    wanted: str
    bare: str

    def value(self) -> float:
        sign, terms = self._terms()
        units = self._units(terms)
        if len(terms) > 1:
            self._refuse_two_figures(terms, units)
        base = [unit.to_base(sign * term.amount) for term, unit in zip(terms, units, strict=True)]
        exact = self._own_unit(self.wanted).from_base(sum(base, Fraction(0)))
        return float(exact)

    def _terms(self) -> tuple[int, list[_Term]]:
        """The sign and the amounts with their units, as they stand one behind the other."""
        plain = _SPACES.sub(" ", self.shown.translate(_PLAIN)).strip(" ")
        signed = _SIGN.match(plain)
        assert signed is not None  # a sign may be missing
        at, terms = signed.end(), []
        while at < len(plain):
            found = _TERM.match(plain, at)
            if found is None:
                raise self._not_a_figure()
            terms.append(self._term(found))
            at = found.end()
        if not terms:
            raise self._not_a_figure()
        return (1 if signed[1] in ("", "+") else -1), terms

    def _term(self, found: re.Match[str]) -> _Term:
        written, unit = found[0].strip(" "), (found["unit"] or "").strip(" ")
        if found["decimal"]:
            if abs(int(found["exponent"] or 0)) > _MOST_EXPONENT:
                raise self._not_a_figure()
            return _Term(written, Fraction(found["decimal"]), unit, fraction=False)
        whole, above, below = found["whole"], found["above"], found["below"]
        if int(below) == 0:
            raise FigureRefused(f'"{self.shown}" has a fraction with nothing below the line.')
        if whole is None and _may_be_mixed(above, int(below)):
            raise FigureRefused(
                f'"{self.shown}" can be read as {above} divided by {below}, or as a whole number '
                "and a fraction: write a space between the two, like 4 1/4."
            )
        return _Term(written, int(whole or 0) + Fraction(int(above), int(below)), unit, True)

    def _units(self, terms: list[_Term]) -> list[Unit]:
        """The unit of each term; one that stands for two is told by its neighbours."""
        if len(terms) == 1 and not terms[0].unit:
            return [self._bare_unit(terms[0])]
        if not any(term.unit for term in terms):
            raise FigureRefused(self._bare_figures(terms))
        choices = [self._units_of(term) for term in terms]
        return [self._chosen(at, terms, choices) for at in range(len(terms))]

    def _bare_unit(self, term: _Term) -> Unit:
        if term.fraction and self.kind is Kind.LENGTH:
            raise FigureRefused(
                f'"{self.shown}" can be read as {self.shown} mm or as {self.shown} in: write the '
                "unit."
            )
        return self._own_unit(self.bare)

    def _bare_figures(self, terms: list[_Term]) -> str:
        listed = " and ".join(term.written for term in terms)
        if _SPACED_THOUSANDS.fullmatch(self.shown):
            joined = self.shown.replace(" ", "")
            return f'"{self.shown}" can be read as {joined} or as {listed}: write one figure.'
        return f'"{self.shown}" can be read as {listed}: write one figure.'

    def _units_of(self, term: _Term) -> tuple[Unit, ...]:
        if not term.unit:
            raise FigureRefused(
                f'"{self.shown}" does not say what {term.written} is: write a unit behind each '
                "figure."
            )
        if self.kind is Kind.NUMBER and self.wanted and same_unit(term.unit, self.wanted):
            return (PLAIN,)
        found = units_spelt(term.unit, self.kind)
        if found:
            return found
        other = kind_of(term.unit)
        if other is Kind.NUMBER:
            raise self._not_a_figure()
        wanted = f" in {self.wanted}" if self.kind is Kind.NUMBER and self.wanted else ""
        raise FigureRefused(
            f'"{self.shown}" is {other.words}, and {self.kind.words}{wanted} belongs here: '
            f"write it like {self.kind.example}."
        )

    def _chosen(self, at: int, terms: list[_Term], choices: list[tuple[Unit, ...]]) -> Unit:
        found = choices[at]
        if len(found) > 1:
            beside = [units[0].system for units in choices[:at] + choices[at + 1 :]]
            fitting = tuple(unit for unit in found if unit.system and unit.system in beside)
            found = fitting or found
        if len(found) > 1:
            amount = terms[at].written.removesuffix(terms[at].unit).strip(" ")
            ways = " or as ".join(f"{amount} {unit.name}" for unit in found)
            raise FigureRefused(f'"{self.shown}" can be read as {ways}: write which.')
        return found[0]

    def _refuse_two_figures(self, terms: list[_Term], units: list[Unit]) -> None:
        """Only "4 ft 8 1/2 in" and its like is one figure: each part less than one of the last."""
        one_figure = all(
            before.system == after.system != ""
            and term.amount * after.scale < before.scale
            and whole.amount.denominator == 1
            for whole, before, term, after in zip(terms, units, terms[1:], units[1:], strict=False)
        )
        if not one_figure:
            listed = " and ".join(term.written for term in terms)
            total = sum((unit.to_base(t.amount) for t, unit in zip(terms, units, strict=True)),
                        Fraction(0))  # fmt: skip
            value = float(self._own_unit(self.wanted).from_base(total))
            raise FigureRefused(
                f'"{self.shown}" can be read as one figure, {value:.10g} {self.wanted}, or as '
                f"{listed}: write the one that is meant."
            )

    def _own_unit(self, name: str) -> Unit:
        return unit_of(name, self.kind) or PLAIN

    def _not_a_figure(self) -> FigureRefused:
        unit = f" in {self.wanted}" if self.kind is Kind.NUMBER and self.wanted else ""
        return FigureRefused(
            f'"{self.shown}" is not {self.kind.words}{unit}: write one figure, like '
            f"{self.kind.example}."
        )


def _may_be_mixed(above: str, below: int) -> bool:
    """Whether 41/4 may be 4 1/4 with its space left out."""
    return any(
        above[-digits] != "0" and int(above[-digits:]) < below for digits in range(1, len(above))
    )
