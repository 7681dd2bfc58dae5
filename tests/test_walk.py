"""The walk of one reading in DEVELOPERS.md is true: twelve files, each deciding what it says."""

import ast
import re
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
ROW = re.compile(r"^\| (\d+) \| .+ \| `(.+\.py)` \| `(\w+)` \|$", re.MULTILINE)
WALK = [
    (int(n), file, name)
    for n, file, name in ROW.findall((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
]


def test_the_walk_has_twelve_files_in_order():
    assert [n for n, _, _ in WALK] == list(range(1, 13))
    assert len({file for _, file, _ in WALK}) == 12


@pytest.mark.parametrize(("n", "file", "name"), WALK)
def test_what_decides_is_in_the_file_that_is_named(n, file, name):
    tree = ast.parse((ROOT / file).read_text(encoding="utf-8"))
    assert name in {node.name for node in tree.body if hasattr(node, "name")}


def test_only_the_named_files_judge_route_and_prove():
    """Each of these is asked for where it is named and handed on; nobody derives it again."""
    makers = {
        r"Way\.(BELOW|ABOVE) if": {"inspections/verdicts/finding.py"},
        r"removesuffix\(.*gauge_out": set(),
        r"\babs\([^)]*at_mm": {"inspections/catalogue/where.py"},
    }
    for pattern, allowed in makers.items():
        found = {
            str(file.relative_to(ROOT))
            for app in ("config", "defects", "inspections")
            for file in (ROOT / app).rglob("*.py")
            if re.search(pattern, file.read_text(encoding="utf-8"))
        }
        assert found == allowed, pattern
