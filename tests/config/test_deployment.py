"""The examples for a real machine name what there is, and what they ask of the program works."""

import os
import re
import subprocess
import sys
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "config" / "deployment"


def text(name: str) -> str:
    return (EXAMPLES / name).read_text(encoding="utf-8")


def is_up(port: int, host: str = "localhost"):
    """What the question whether the program is up ends with, and what it prints."""
    done = subprocess.run(
        [sys.executable, EXAMPLES / "is_up.py", str(port)],
        env={**os.environ, "ALLOWED_HOSTS": host},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout.strip()


@pytest.mark.django_db(transaction=True)
def test_a_program_that_is_up_says_so(live_server):
    port = urlsplit(live_server.url).port
    assert is_up(port) == (0, '{"status": "ok"}')
    assert is_up(port, "elsewhere.example")[0] == 1


def test_a_program_that_is_down_is_told():
    code, said = is_up(9)  # nothing listens on the port for discarding
    assert code == 1
    assert "refused" in said


@pytest.mark.parametrize("name", sorted(path.name for path in EXAMPLES.iterdir() if path.is_file()))
def test_every_command_that_is_named_exists(name):
    named = set(re.findall(r"\bmanage(?:\.py)? ([a-z_]+)", text(name)))
    assert named <= set(get_commands()), named
    for path in re.findall(r"config/deployment/([\w.-]+\w)", text(name)):
        assert (EXAMPLES / path).is_file(), path


def test_the_copy_is_kept_where_its_service_may_write():
    unit = text("toe-to-heel-copy.service")
    folder = re.search(r"keep_copy (\S+)", unit)[1]
    assert f"ReadWritePaths={folder}" in unit


def test_the_container_holds_the_whole_program_and_not_its_tests():
    copied = set(re.findall(r"^COPY (\S+) ", text("Containerfile"), re.MULTILINE))
    packages = {path.parent.name for path in ROOT.glob("*/__init__.py")}
    assert packages - {"tests"} <= copied
    assert "tests" not in copied
    assert "fixtures" in copied


def test_what_runs_needs_nothing_of_what_tests():
    lines = (ROOT / "requirements.txt").read_text(encoding="utf-8").splitlines()
    running = lines[: next(n for n, line in enumerate(lines) if "What its tests need" in line)]
    pinned = [line for line in running if line and not line.startswith("#")]
    assert all(re.fullmatch(r"[\w.-]+(\[\w+\])?==[\w.]+", line) for line in pinned)
    assert not any(line.startswith(("pytest", "ruff", "mypy", "hypothesis")) for line in pinned)
