"""A register moved to another database is the same, row by row.

The program is run as its keeper runs it: in processes of its own, on database files of their own.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[3]
pytestmark = pytest.mark.own_sqlite
BUILD = """
from tests.builders import *
position = make_position(make_points("12"), 2)
make_fitting(make_stretcher("ST-014"), position)
make_defect(reading=make_reading(make_inspection(position.points), position, 46))
"""


@pytest.fixture(scope="module")
def manage(tmp_path_factory):
    """Runs manage.py on a small register and gives what it printed."""
    folder = tmp_path_factory.mktemp("register")
    environment = {**os.environ, "TOE_TO_HEEL_DATA": str(folder), "HTTPS": "off"}
    environment.pop("DATABASE_URL", None)

    def run(*args):
        return subprocess.run(
            [sys.executable, "manage.py", *args],
            cwd=ROOT,
            env=environment,
            capture_output=True,
            text=True,
            check=False,
        )

    made = run("migrate", "--verbosity=0")
    assert made.returncode == 0, made.stderr
    built = run("shell", "--verbosity=0", "-c", BUILD)
    assert built.returncode == 0, built.stderr
    return run


def test_every_row_arrives_and_a_second_move_is_refused(manage, tmp_path):
    url = f"sqlite:///{tmp_path / 'new.sqlite3'}"
    moved = manage("move_register", url)
    assert moved.returncode == 0, moved.stderr
    assert "assets.Stretcher: 1 rows" in moved.stdout
    assert "defects.Event: 1 rows" in moved.stdout
    assert "the same in both, by count and checksum" in moved.stdout
    again = manage("move_register", url)
    assert again.returncode != 0
    assert "The target is not empty" in again.stderr


def test_a_url_that_is_none_is_named(manage):
    refused = manage("move_register", "the cupboard")
    assert refused.returncode != 0
    assert "not a database URL" in refused.stderr
