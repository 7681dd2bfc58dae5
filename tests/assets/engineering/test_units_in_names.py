"""Names carry units, and what is written beside a name never says another: ``_mm`` is in mm.

Read from the source. A unit counts as stated where it stands first in a comment or docstring,
first in brackets, or after "in": "(mm)", "in mm", "mm from the toe". A figure with its unit in the
prose ("within 0.4 mm") states nothing about a name.
"""

import ast
import io
import re
import tokenize
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from django.conf import settings

FOLDER = Path(settings.BASE_DIR) / "assets" / "engineering"
SOURCES = {str(file.relative_to(FOLDER)): file for file in sorted(FOLDER.rglob("*.py"))}

# By what they measure: how each unit is written in a name, and in words.
UNITS = {
    "length": {"mm": "mm", "cm": "cm", "m": "m metres", "inch": "in inch inches", "ft": "ft feet"},
    "area": {"mm2": "mm²", "cm2": "cm²", "m2": "m²"},
    "second moment": {"mm4": "mm⁴", "cm4": "cm⁴", "m4": "m⁴"},
    "force": {"n": "N", "kn": "kN", "lbf": "lbf"},
    "torque": {"nm": "N·m", "n_mm": "N·mm", "knm": "kN·m", "lbf_ft": "lbf ft"},
    "stiffness": {"n_mm2": "N·mm²", "kn_m2": "kN·m²"},
    "mass by length": {"kg_m": "kg/m", "lb_yd": "lb/yd"},
    "resistance": {"ohm": "Ω ohm ohms", "kohm": "kΩ", "mohm": "MΩ"},
    "angle": {"rad": "rad radians", "deg": "° degrees"},
}
IN_NAMES = {name: kind for kind, units in UNITS.items() for name in units}
IN_WORDS = {
    words: (kind, name)
    for kind, units in UNITS.items()
    for name, spelt in units.items()
    for words in ([spelt] if name == "lbf_ft" else spelt.split())
}
_ANY = "|".join(sorted(map(re.escape, IN_WORDS), key=len, reverse=True))
_BARE = "|".join(sorted((re.escape(w) for w in IN_WORDS if w != "in"), key=len, reverse=True))
STATED = re.compile(
    rf"(?:^\s*|\(|\bin )(?P<unit>{_BARE})(?=[\s,;:.)]|$)|\((?P<inch>in)(?=[,;)])", re.MULTILINE
)
# A ratio has no unit; a range has that of its own name.
NO_UNIT = re.compile(r"\b1 in n\b|\bratio\b|\bin the unit of\b")


def unit_of(name: str) -> str:
    """The unit that a name ends with, as written in names; "" where it has none."""
    name = name.lower()
    found = [unit for unit in IN_NAMES if name == unit or name.endswith(f"_{unit}")]
    return max(found, key=len, default="")


def stated(text: str) -> set[tuple[str, str]]:
    """What a text states, as kind and unit."""
    return {IN_WORDS[match["unit"] or match["inch"]] for match in STATED.finditer(text)}


@dataclass(frozen=True)
class Said:
    """A text beside names: the docstring of a function or class, the comment on a field."""

    where: str
    names: tuple[str, ...]
    text: str

    @property
    def contradictions(self) -> list[str]:
        units = {unit_of(name) for name in self.names} - {""}
        kinds = {IN_NAMES[unit] for unit in units}
        return [
            f"{self.where}: says {unit} beside {', '.join(self.names)}"
            for kind, unit in sorted(stated(self.text))
            if kind in kinds and unit not in units
        ]


@dataclass(frozen=True)
class Field:
    """A public field of a public class that holds numbers."""

    owner: str
    name: str
    comment: str
    docstring: str

    @property
    def has_its_unit(self) -> bool:
        said = f"{self.comment}\n{self.docstring}"
        return bool(unit_of(self.name) or stated(said) or NO_UNIT.search(self.comment))


def comments_of(source: str) -> dict[int, str]:
    """The comment at the end of each line."""
    tokens = tokenize.generate_tokens(io.StringIO(source).readline)
    return {t.start[0]: t.string.lstrip("# ") for t in tokens if t.type == tokenize.COMMENT}


def fields_of(node: ast.ClassDef) -> list[ast.AnnAssign]:
    return [f for f in node.body if isinstance(f, ast.AnnAssign) and isinstance(f.target, ast.Name)]


def said_in(source: str) -> Iterator[Said]:
    comments = comments_of(source)
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            arguments = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
            names = (node.name, *(argument.arg for argument in arguments))
            yield Said(node.name, names, ast.get_docstring(node) or "")
        elif isinstance(node, ast.ClassDef):
            fields = fields_of(node)
            names = tuple(field.target.id for field in fields)
            yield Said(node.name, names, ast.get_docstring(node) or "")
            for field in fields:
                name = field.target.id
                yield Said(f"{node.name}.{name}", (name,), comments.get(field.lineno, ""))
        elif isinstance(node, ast.Assign):
            names = tuple(t.id for t in node.targets if isinstance(t, ast.Name))
            yield Said("".join(names[:1]), names, comments.get(node.lineno, ""))


def numbers_in(source: str) -> Iterator[Field]:
    comments = comments_of(source)
    for node in ast.parse(source).body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for field in fields_of(node):
                name, kind = field.target.id, ast.unparse(field.annotation)
                if re.search(r"\bfloat\b|\bFloats\b", kind) and not name.startswith("_"):
                    comment = comments.get(field.lineno, "")
                    yield Field(node.name, name, comment, ast.get_docstring(node) or "")


def handed_on(source: str) -> list[str]:
    """Where a value is handed on under a name of another unit: ``at_mm=force_n``."""
    pairs = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.keyword) and node.arg:
            pairs.append((node.arg, node.value))
        elif isinstance(node, ast.Assign):
            pairs += [(t.id, node.value) for t in node.targets if isinstance(t, ast.Name)]
    found = []
    for name, value in pairs:
        given = getattr(value, "attr", getattr(value, "id", ""))
        units = unit_of(name), unit_of(given)
        if all(units) and units[0] != units[1]:
            found.append(f"{given} is handed on as {name}")
    return found


@pytest.mark.parametrize("name", SOURCES)
def test_no_text_states_another_unit_than_the_name_it_stands_by(name):
    said = said_in(SOURCES[name].read_text(encoding="utf-8"))
    assert [wrong for one in said for wrong in one.contradictions] == []


@pytest.mark.parametrize("name", SOURCES)
def test_every_measurement_that_a_class_shows_says_its_unit(name):
    fields = numbers_in(SOURCES[name].read_text(encoding="utf-8"))
    assert [f"{one.owner}.{one.name}" for one in fields if not one.has_its_unit] == []


@pytest.mark.parametrize("name", SOURCES)
def test_no_value_is_handed_on_under_a_name_of_another_unit(name):
    assert handed_on(SOURCES[name].read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("source", "wrong"),
    [
        ('def reach_mm():\n    """Reach (m) of the wheel."""', True),
        ('def reach_mm():\n    """Reach in inches."""', True),
        ('def reach_mm():\n    """Reach (in) of the wheel."""', True),
        ('def reach_mm():\n    """Reach (mm), in the order of the rods; true to 0.1 in."""', False),
        ('def force_n(at_mm):\n    """Force (N) at a place (mm from the toe)."""', False),
        ('def force_n(at_mm):\n    """Force (kN) at a place."""', True),
        ("class A:\n    at_mm: float  # m from the toe", True),
        ("class A:\n    at_mm: float  # from the toe", False),
        ('class A:\n    """Lengths in m."""\n    at_mm: float', True),
        ("LEAST_MM = 1.0  # inches between two rods", True),
    ],
)
def test_a_false_unit_would_be_found(source, wrong):
    assert any(said.contradictions for said in said_in(source)) is wrong


def test_a_measurement_without_its_unit_would_be_found():
    source = "class A:\n    width: float\n    slope: float  # 1 in n\n    at: float  # mm"
    assert [f.name for f in numbers_in(source) if not f.has_its_unit] == ["width"]
    assert handed_on("place(at_mm=force_n)\nx_mm = rod.distance_mm")
