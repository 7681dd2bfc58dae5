"""The house itself: imports run one way, and no verdict needs anything handed in at start-up."""

import ast
import re
import subprocess
import sys
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from django.conf import settings

APPS = ("config", "defects", "inspections", "assets")  # from the top down
PURE = ("assets.engineering", "assets.workbook")  # they know no app, no model and no Django
ROOT = Path(settings.BASE_DIR)


def product_modules() -> dict[str, Path]:
    """Every module of the product by its dotted name; migrations are data."""
    found = {}
    for app in APPS:
        for file in sorted((ROOT / app).rglob("*.py")):
            parts = file.relative_to(ROOT).with_suffix("").parts
            if "migrations" not in parts and "deployment" not in parts:
                found[".".join(parts).removesuffix(".__init__")] = file
    return found


def imports_of(module: str, file: Path, modules: dict[str, Path]) -> set[str]:
    """The dotted names that a module imports anywhere in it, relative ones made whole."""
    found = set()
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Import):
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            parents = module.split(".") if file.name == "__init__.py" else module.split(".")[:-1]
            parents = parents[: len(parents) - node.level + 1] if node.level else []
            source = ".".join([*parents, *([node.module] if node.module else [])])
            for name in node.names:
                whole = f"{source}.{name.name}"
                found.add(whole if whole in modules else source)
    return found


def arrows() -> set[tuple[str, str]]:
    """Who imports whom, module by module, within the product."""
    modules = product_modules()
    return {
        (module, other)
        for module, file in modules.items()
        for other in imports_of(module, file, modules)
        if other in modules and other != module
    }


def room(module: str) -> str:
    """The folder or module right under its app."""
    return ".".join(module.split(".")[:2])


def test_an_app_never_imports_one_above_it():
    up = [
        f"{module} imports {other}"
        for module, other in arrows()
        if APPS.index(module.split(".")[0]) > APPS.index(other.split(".")[0])
    ]
    assert sorted(up) == []


def test_there_is_no_circle_of_rooms_nor_of_modules():
    for name in (room, str):
        graph: dict[str, set[str]] = {}
        for module, other in arrows():
            if name(module) != name(other) and not module.startswith(name(other) + "."):
                graph.setdefault(name(module), set()).add(name(other))
        order = list(TopologicalSorter(graph).static_order())  # raises CycleError for a circle
        assert len(order) > 20


def test_the_arithmetic_and_the_reading_of_workbooks_know_no_app_and_no_django():
    modules = product_modules()
    for module, file in modules.items():
        if module.startswith(PURE):
            for other in imports_of(module, file, modules):
                assert not other.startswith("django"), f"{module} imports {other}"
                if other.split(".")[0] in APPS:
                    assert other.startswith(PURE), f"{module} imports {other}"


def test_starting_an_app_adds_to_no_list():
    """``ready`` may register system checks by importing them, and what follows a migration."""
    allowed = {"connect", "get_app_config", "speak_plainly"}
    for app in APPS:
        for node in ast.walk(ast.parse((ROOT / app / "apps.py").read_text())):
            if isinstance(node, ast.FunctionDef) and node.name == "ready":
                for call in ast.walk(node):
                    if isinstance(call, ast.Call):
                        called = getattr(call.func, "attr", getattr(call.func, "id", ""))
                        assert called in allowed, f"{app}: ready() calls {called}"


SILENCED = """
import os, sys, django
from django.apps import apps
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings"
if sys.argv[1] == "silenced":
    import assets.apps, config.apps, defects.apps, inspections.apps
    for app in (assets.apps.AssetsConfig, config.apps.ConfigConfig,
                defects.apps.DefectsConfig, inspections.apps.InspectionsConfig):
        app.ready = lambda self: None
django.setup()
from django.core.management import call_command
call_command("suits", "--points", "SKB 12", "--position", "2", "--json")
call_command("check_register", "--json")
"""


@pytest.mark.own_sqlite
def test_the_verdicts_of_the_demo_are_the_same_whatever_starting_registers(own_demo):
    run = {"env": own_demo, "cwd": ROOT, "capture_output": True, "text": True}
    usual, silenced = (
        subprocess.run([sys.executable, "-c", SILENCED, how], check=True, **run).stdout
        for how in ("usual", "silenced")
    )
    assert "candidates" in usual
    assert usual == silenced


def test_every_file_and_folder_named_for_developers_is_there():
    text = (ROOT / "DEVELOPERS.md").read_text()
    named = set(
        re.findall(r"`((?:config|defects|inspections|assets|tests|fixtures|docs)/[\w/.-]*)`", text)
    )
    assert len(named) > 30
    missing = [name for name in sorted(named) if not (ROOT / name).exists()]
    assert missing == []
