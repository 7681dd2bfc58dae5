"""The words that people read are the railway's plain ones: none that the house does not use."""

import ast
import re
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
PLACES = ("inspections", "defects")
NOT_OURS = re.compile(
    r"\b(reckon\w*|blades?|anew|lately|mend(s|ed|ing)?\b(?! yet)|somebody|put right|afresh|"
    r"parted by|letters at most|all the same|meanwhile|look(ed)? at)\b",
    re.IGNORECASE,
)

# The heading of a column in every workbook there is, and what each check says that lacks a fact.
KEPT = ("thing looked at", "Go and look at")


def sentences_of_python(path: Path) -> list[str]:
    """Every string with a space in it that is not a docstring."""
    tree = ast.parse(path.read_text())
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef)
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, documented) and node.body and isinstance(node.body[0], ast.Expr)
    }
    strings = (node for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return [
        node.value
        for node in strings
        if isinstance(node.value, str) and " " in node.value and id(node) not in docstrings
    ]


def words_of_page(path: Path) -> list[str]:
    """What stands between the tags of a template."""
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", " ", path.read_text(), flags=re.DOTALL)
    return re.sub(r"<[^>]*>", "\n", text).splitlines()


def sentences_of_script(path: Path) -> list[str]:
    code = re.sub(r"^\s*//.*$", "", path.read_text(), flags=re.MULTILINE)
    return re.findall(r'"[^"\n]* [^"\n]*"|`[^`\n]* [^`\n]*`', code)


READERS = {".py": sentences_of_python, ".html": words_of_page, ".svg": words_of_page,
           ".js": sentences_of_script}  # fmt: skip
FILES = [
    path
    for place in PLACES
    for path in sorted((ROOT / place).rglob("*"))
    if path.suffix in READERS and "migrations" not in path.parts
]


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_people_read_no_word_that_the_house_does_not_use(path):
    found = [words for words in READERS[path.suffix](path) if NOT_OURS.search(words)]
    assert [words for words in found if not any(kept in words for kept in KEPT)] == []


def test_a_word_that_the_house_does_not_use_is_found(tmp_path):
    page, script = tmp_path / "page.html", tmp_path / "page.js"
    page.write_text("<p>The blade was looked at.</p>")
    script.write_text('// the blade\nsay("it was reckoned");')
    assert NOT_OURS.search("\n".join(words_of_page(page)))
    assert [bool(NOT_OURS.search(words)) for words in sentences_of_script(script)] == [True]
