"""Kinds of figures and the units that each is written in.

A field takes the units of its own kind and no other, so that a torque never becomes a mileage.
Scales are exact. The inch is 25.4 mm and the pound 0.45359237 kg (international yard and pound
agreement, 1959); standard gravity is 9.80665 m/s², so the pound-force is 4.4482216152605 N.
``inspections/static/inspections/figures.js`` holds the same table; one set of cases tries both.
"""

import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import lru_cache

MM_PER_INCH = Fraction("25.4")
NEWTONS_PER_LBF = Fraction("4.4482216152605")
METRES_PER_FOOT = 12 * MM_PER_INCH / 1000


class Kind(Enum):
    """What a figure is of: how a sentence calls it, and how one is written."""

    LENGTH = "length", "a length", "52.5 mm or 4 1/4 in"
    TORQUE = "torque", "a torque", "220 N·m or 162 lbf ft"
    FORCE = "force", "a force", "2.5 kN"
    RESISTANCE = "resistance", "a resistance", "500 kΩ"
    MILEAGE = "mileage", "a mileage", "12.5 miles or 12m 34ch"
    TEMPERATURE = "temperature", "a temperature", "21 °C"
    RATIO = "ratio", "a ratio", "1.25 or 85 %"
    DAYS = "days", "a number of days", "28"
    TURNS = "turns", "a number of turns", "1.5 or 1 1/2"
    NUMBER = "number", "a number", "6.5"

    words: str
    example: str

    def __new__(cls, value: str, words: str, example: str) -> "Kind":
        kind = object.__new__(cls)
        kind._value_ = value
        kind.words, kind.example = words, example
        return kind


@dataclass(frozen=True)
class Unit:
    """One unit: ``scale`` of the kind's base unit in it, counted from ``zero`` in the base unit.

    Units of one ``system`` are written one behind the other: "4 ft 8 in".
    """

    name: str
    scale: Fraction = Fraction(1)
    system: str = ""
    zero: Fraction = Fraction(0)

    def to_base(self, amount: Fraction) -> Fraction:
        return amount * self.scale + self.zero

    def from_base(self, amount: Fraction) -> Fraction:
        return (amount - self.zero) / self.scale


PLAIN = Unit("")  # of a number that has no unit, or one that is not converted

_MM, _CM, _M = (
    Unit("mm", Fraction(1), "metric"),
    Unit("cm", Fraction(10), "metric"),
    Unit("m", Fraction(1000), "metric"),
)
_INCH, _FOOT, _YARD = (
    Unit("in", MM_PER_INCH, "imperial"),
    Unit("ft", 12 * MM_PER_INCH, "imperial"),
    Unit("yd", 36 * MM_PER_INCH, "imperial"),
)
# In miles: 80 chains or 1760 yards to the mile.
_MILE, _CHAIN, _MILE_YARD = (
    Unit("miles", Fraction(1), "imperial"),
    Unit("chains", Fraction(1, 80), "imperial"),
    Unit("yards", Fraction(1, 1760), "imperial"),
)
_METRES_PER_MILE = 5280 * METRES_PER_FOOT
_KM, _METRE = (
    Unit("km", 1000 / _METRES_PER_MILE, "metric"),
    Unit("metres", 1 / _METRES_PER_MILE, "metric"),
)
_MILLIOHM, _OHM, _KILOHM, _MEGOHM, _GIGOHM = (
    Unit("mΩ", Fraction(1, 1000)),
    Unit("Ω"),
    Unit("kΩ", Fraction(1000)),
    Unit("MΩ", Fraction(10**6)),
    Unit("GΩ", Fraction(10**9)),
)

# By kind, the base unit first: each unit with its spellings, as ``spelling`` evens them out.
# A spelling that stands for two units is read by its neighbours ("12m 34ch"), or else refused.
_SPELLINGS: dict[Kind, tuple[tuple[Unit, str], ...]] = {
    Kind.LENGTH: (
        (_MM, "mm mms millimetre millimetres"),
        (_CM, "cm cms centimetre centimetres"),
        (_M, "m metre metres"),
        (_INCH, "in ins inch inches \" ''"),
        (_FOOT, "ft foot feet '"),
        (_YARD, "yd yds yard yards"),
    ),
    Kind.TORQUE: (
        (Unit("N·m"), "nm newtonmetre newtonmetres"),
        (Unit("lbf ft", NEWTONS_PER_LBF * METRES_PER_FOOT), "lbfft lbft ftlb ftlbs ftlbf"),
        (Unit("lbf in", NEWTONS_PER_LBF * METRES_PER_FOOT / 12), "lbfin lbin inlb inlbs inlbf"),
    ),
    Kind.FORCE: (
        (Unit("N"), "n newton newtons"),
        (Unit("kN", Fraction(1000)), "kn kilonewton kilonewtons"),
        (Unit("lbf", NEWTONS_PER_LBF), "lbf"),
    ),
    Kind.RESISTANCE: (
        (_OHM, "ω ohm ohms"),
        (_KILOHM, "k kω kohm kohms kilohm kilohms"),
        (_MEGOHM, "M Mω Mohm Mohms Megohm Megohms megohm megohms m mohm mohms"),
        (_GIGOHM, "g gω gohm gohms gigohm gigohms"),
        (_MILLIOHM, "mω milliohm milliohms Milliohm Milliohms m mohm mohms"),
    ),
    Kind.MILEAGE: (
        (_MILE, "mile miles mi m"),
        (_CHAIN, "ch chs chain chains"),
        (_MILE_YARD, "yd yds yard yards"),
        (_KM, "km kms kilometre kilometres"),
        (_METRE, "metre metres m"),
    ),
    Kind.TEMPERATURE: (
        (Unit("°C"), "°c c degc"),
        (Unit("°F", Fraction(5, 9), zero=Fraction(-160, 9)), "°f f degf"),
    ),
    Kind.RATIO: (
        (Unit("ratio"), "ratio"),
        (Unit("%", Fraction(1, 100)), "% percent"),
    ),
    Kind.DAYS: ((Unit("days"), "d day days"),),
    Kind.TURNS: ((Unit("turns"), "turn turns"),),
}


def _by_spelling(rows: tuple[tuple[Unit, str], ...]) -> dict[str, tuple[Unit, ...]]:
    found: dict[str, tuple[Unit, ...]] = {}
    for unit, spellings in rows:
        for word in spellings.split():
            found[word] = (*found.get(word, ()), unit)
    return found


_UNITS = {kind: _by_spelling(rows) for kind, rows in _SPELLINGS.items()}


def spelling(written: str) -> str:
    """A unit in the one spelling used for comparing: "N·m", "N.m" and "N m" are "nm".

    Small and capital letters are the same but for a first m: 2 mΩ is not 2 MΩ.
    """
    joined = re.sub(r"[ .·⋅*]", "", written.replace("\u2126", "Ω"))
    joined = re.sub(r"([A-Za-z])-(?=[A-Za-z])", r"\1", joined)
    return ("M" if joined[:1] == "M" else joined[:1].lower()) + joined[1:].lower()


def units_spelt(written: str, kind: Kind) -> tuple[Unit, ...]:
    """The units of the kind that this may stand for: none, one, or two to choose from."""
    units = _UNITS.get(kind, {})
    key = spelling(written)
    # Only of resistances does the size of the first letter tell two units apart.
    return units.get(key if kind is Kind.RESISTANCE else key.lower(), ())


@lru_cache(1024)
def kind_of(unit: str) -> Kind:
    """The kind of the figures of a field in this unit; a number where the unit is of no kind.

    "m" is of a length; a mileage has its field in miles.
    """
    return next((kind for kind in _UNITS if units_spelt(unit, kind)), Kind.NUMBER)


@lru_cache(1024)
def unit_of(unit: str, kind: Kind) -> Unit | None:
    """The one unit of the kind with this spelling; None where there is none, or two."""
    found = units_spelt(unit, kind)
    return found[0] if len(found) == 1 else None


def same_unit(one: str, other: str) -> bool:
    """Whether two spellings are of one unit: "inches" and "in", "kg/m" and "KG/M"."""
    kind = kind_of(other)
    if kind is Kind.NUMBER:
        return spelling(one).lower() == spelling(other).lower()
    unit = unit_of(one, kind)
    return unit is not None and unit == unit_of(other, kind)


def convertible(unit: str, wanted: str) -> bool:
    """Whether figures in the one unit can be turned into the other: lengths into lengths.

    In a field of miles a lone "m" may be either miles or metres: it is asked for, not guessed.
    """
    kind = kind_of(wanted)
    if kind is Kind.NUMBER:
        return same_unit(unit, wanted)
    return unit_of(unit, kind) is not None


def converted(value: float, unit: str, wanted: str) -> float:
    """The value in the other unit, calculated exactly and rounded once.

    Raises ValueError where the two do not measure alike, OverflowError where it is too large.

    >>> converted(2.75, "in", "mm")
    69.85
    """
    if same_unit(unit, wanted):
        return value
    kind = kind_of(wanted)
    given, target = unit_of(unit, kind), unit_of(wanted, kind)
    if given is None or target is None:
        raise ValueError(f"{unit} cannot be turned into {wanted}.")
    return float(target.from_base(given.to_base(Fraction(repr(value)))))
