"""The commands that the README shows, each run as it is written, on the demo railway."""

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import get_commands

README = Path(settings.BASE_DIR) / "README.md"
SHOWN = re.findall(r"^python (manage\.py [^#\n]+)", README.read_text(), re.MULTILINE)


@pytest.fixture(scope="module")
def desk(own_demo, tmp_path_factory):
    """A folder to work in, for commands on the register of the demo railway."""
    folder = tmp_path_factory.mktemp("desk")

    def run(words: str) -> str:
        manage, *rest = shlex.split(words)
        done = subprocess.run(
            [sys.executable, str(settings.BASE_DIR / manage), *rest],
            cwd=folder,
            env=own_demo,
            capture_output=True,
            text=True,
            timeout=180,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    return run


def test_the_readme_shows_the_commands_that_people_need():
    names = {words.split()[1] for words in SHOWN}
    assert names == {
        "suits", "switch", "save_workbook", "load_workbook", "check_register", "keep_copy"
    }  # fmt: skip


@pytest.mark.own_sqlite
def test_the_readmes_commands_work_one_after_the_other_on_the_demo(desk):
    for words in SHOWN:
        assert desk(words).strip(), words


def test_no_command_is_written_as_if_the_script_could_be_run_by_itself():
    text = README.read_text()
    assert re.findall(r"(?<!python )(?<!python\.exe )manage\.py \w+", text) == []


def test_commands_named_in_the_readme_exist():
    named = set(re.findall(r"manage\.py (\w+)", README.read_text()))
    assert named <= set(get_commands())
