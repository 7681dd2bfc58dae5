"""What people read is plain British English, in the words that the trade uses: no page, message,
sheet or delivered text has one of the words below. And no template is a wall."""

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
APPS = ("assets", "inspections", "defects", "config")

# What is not written, and what is written instead.
WORDS = {
    r"reckon\w*": "calculated",
    r"blades?": "switch rail",
    r"(?<!drive )(?<!lock )(?<!detection )rods?": "stretcher; rod only for drive, lock, detection",
    r"mend(s|ed|ing)?": "repair",
    r"puts? (it |that |them )?right": "correct, repair",
    r"stands|stood": "is, was",
    r"look(s|ed|ing)? at": "examine, check",
    r"lately": "recently",
    r"anew|afresh": "again",
    r"verdicts?": "result",
    r"com(es|ing) of": "caused by",
    r"somebody": "someone",
    r"letters": "characters",
    r"parted by": "separated by",
    r"go(es)? by": "uses, works to",
    r"does not arise": "does not matter",
    r"(is|are) wanted": "is needed",
    r"nothing waits|what waits": "nothing is waiting",
    r"done with": "closed",
    r"below the least|above the most": "too small, too large",
    r"(the )?least wheelset": "narrowest wheelset",
    r"take out (visit|one|all|the) (sheets?|workbook)|taken out and loaded": "download",
    r"what you took": "what you measured",
    r"be told|not to be told": "be known",
    r"by chance": "chance",
    r"any more": "no longer",
    r"once more": "again",
    r"is shut": "is blocked",
    r"unasked": "without asking",
}
UNWANTED = re.compile("|".join(rf"(?<![\w-])(?:{word})(?![\w-])" for word in WORDS), re.IGNORECASE)

# Each of these is compared with what was written earlier, so it stays as it was.
KEPT = {
    "black (original fixed rods)",  # a label in workbooks of earlier versions
    "gooseneck stands towards the",  # the heading of a column
    "Rod there now",  # the heading of a column
    "Comes of",  # the heading of a column
    "Thing looked at",  # the heading of a column
    "welds on adjustable rods",  # labels in workbooks of earlier versions
    "ballast behind the rods",
    "timber fouling the rods",
    "`verdict …`",  # a class of the stylesheet
}


def python_texts(path: Path) -> Iterator[str]:
    """Every literal with a blank in it, docstrings left out; "…" for what an f-string fills in."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    beside = {id(docstring) for docstring in _docstrings(tree)}
    for node in ast.walk(tree):
        if isinstance(node, ast.JoinedStr):
            beside.update(map(id, node.values))
            yield "".join(
                str(part.value) if isinstance(part, ast.Constant) else "…" for part in node.values
            )
        elif (
            isinstance(node, ast.Constant)
            and isinstance(node.value, str)
            and id(node) not in beside
            and " " in node.value.strip()
        ):
            yield node.value


def _docstrings(tree: ast.AST) -> Iterator[ast.expr]:
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        if isinstance(body, list) and body and isinstance(body[0], ast.Expr):
            yield body[0].value


SPOKEN = re.compile(r'\b(?:alt|title|placeholder|aria-label|data-label|content)="([^"]*)"')


def template_text(path: Path) -> str:
    """What a template says: its text and the attributes that are read out."""
    text = path.read_text(encoding="utf-8")
    text = re.sub(
        r"\{#.*?#\}|\{% comment %\}.*?\{% endcomment %\}|<!--.*?-->", "", text, flags=re.DOTALL
    )
    # Words inside template tags that people read: what a filter puts where there is nothing.
    quoted = re.findall(r'\|(?:default|default_if_none):"([^"]*)"', text)
    text = re.sub(r"\{%.*?%\}|\{\{.*?\}\}", "…", text, flags=re.DOTALL)
    spoken = SPOKEN.findall(text)
    text = re.sub(r"<(style|script)\b.*?</\1>", " ", text, flags=re.DOTALL)
    return "\n".join([" ".join(re.sub(r"<[^>]*>", " ", text).split()), *spoken, *quoted])


SHOWN = {"title", "remedy", "source", "note", "description", "reason", "cause", "name", "origin"}


def delivered_texts(path: Path) -> Iterator[str]:
    """The texts of delivered rows and of the demo railway that a page or a sheet shows."""

    def walk(value, key: str) -> Iterator[str]:
        if isinstance(value, dict):
            for name, inner in value.items():
                yield from walk(inner, name)
        elif isinstance(value, list):
            for inner in value:
                yield from walk(inner, key)
        elif isinstance(value, str) and key in SHOWN:
            yield value

    return walk(json.loads(path.read_text(encoding="utf-8")), "")


def script_texts(path: Path) -> Iterator[str]:
    """Literals with a blank in them, comments left out."""
    text = re.sub(r"^\s*//.*$|\s//.*$", "", path.read_text(encoding="utf-8"), flags=re.MULTILINE)
    for literal in re.findall(r'"[^"\n]*"|`[^`]*`', text):
        if " " in literal:
            yield re.sub(r"\$\{[^}]*\}", "…", literal)


def texts_of(app: str) -> Iterator[tuple[Path, str]]:
    folder = ROOT / app
    for path in sorted(folder.rglob("*.py")):
        if "migrations" not in path.parts:
            yield from ((path, text) for text in python_texts(path))
    for path in sorted((folder / "templates").rglob("*.*")):
        yield path, template_text(path)
    for path in sorted(folder.rglob("static/**/*.js")):
        yield from ((path, text) for text in script_texts(path))


def unwanted(texts: Iterator[tuple[Path, str]]) -> list[str]:
    return [
        f"{path.relative_to(ROOT)}: “{found.group()}” in "
        f"“{text[max(0, found.start() - 40) :][:90]}”"
        for path, text in texts
        if text not in KEPT and "SELECT" not in text
        for found in UNWANTED.finditer(text)
    ]


@pytest.mark.parametrize("app", APPS)
def test_no_page_message_or_sheet_has_an_unwanted_word(app):
    assert unwanted(texts_of(app)) == []


def test_no_delivered_text_has_an_unwanted_word():
    paths = sorted((ROOT / "fixtures").rglob("*.json"))
    assert paths
    assert unwanted((path, text) for path in paths for text in delivered_texts(path)) == []


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("The rod is bent.", ["rod"]),
        ("The drive rod, the lock rod and the detection rods.", []),
        ("rod-label and grounds, product, method", []),
        ("Somebody mended it lately.", ["Somebody", "mended", "lately"]),
        ("Look at it again; it stands open.", ["Look at", "stands"]),
        ("Recommend amendments.", []),
    ],
)
def test_a_word_is_found_whole_and_in_any_case(said, found):
    assert [hit.group() for hit in UNWANTED.finditer(said)] == found


LONGEST_LINE = 200


def test_no_template_is_a_wall():
    """A line is one element, near enough: who changes a sentence sees in a diff what changed."""
    walls = {
        str(path.relative_to(ROOT)): long
        for app in APPS
        for path in sorted((ROOT / app / "templates").rglob("*.*"))
        if (long := sum(len(line) > LONGEST_LINE for line in path.read_text().splitlines()))
    }
    assert walls == {}
