"""What goes wrong below the program is told clearly, and leaves nothing half done.

The scenes play in processes of their own, on SQLite in folders of their own; each also runs alone:
``python -m tests.config.killed visits --times 200`` and ``python -m tests.config.failing``.
"""

import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.checks import run_checks
from django.db import OperationalError, connection

from config import checks
from config.operations import faults
from tests.registers import EMPTY

ROOT = Path(__file__).resolve().parents[3]
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="plays on Linux")


@pytest.fixture(scope="module")
def empty_register(tmp_path_factory) -> Path:
    """Made once: making the tables takes longer than what is tried."""
    folder = tmp_path_factory.mktemp("empty")
    script = (
        f"from tests.registers import make_register; make_register({str(folder)!r}, sqlite=True)"
    )
    subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=True)
    return folder / "register.sqlite3"


@pytest.fixture(scope="module")
def run(empty_register):
    """Runs a module in a process of its own and gives what it prints."""

    def run(module: str, *options: str) -> str:
        command = [sys.executable, "-m", module, *options]
        around = os.environ | {EMPTY: str(empty_register)}
        done = subprocess.run(
            command, cwd=ROOT, capture_output=True, text=True, check=False, env=around
        )
        assert done.stdout, done.stderr
        return done.stdout

    return run


@pytest.mark.own_sqlite
@pytest.mark.parametrize(
    ("work", "times"), [("import", 2), ("photograph", 2), ("migration", 1), ("visits", 15)]
)
def test_a_process_killed_in_the_middle_leaves_nothing_half_done(work, times, run):
    said = run("tests.config.killed", work, "--times", str(times))
    assert json.loads(said) == {"killed": times, "problems": []}


@pytest.fixture(scope="module")
def scenes(run) -> dict:
    return json.loads(run("tests.config.failing"))


@pytest.mark.own_sqlite
class TestTheDatabaseIsBusy:
    def test_nothing_is_kept_and_the_page_says_so_and_when_to_try_again(self, scenes):
        busy = scenes["busy"]
        assert (busy["status"], busy["retry"], busy["during"]) == (503, "60", [0, 0])
        assert (
            "Wait a minute and try again. Nothing you have just sent was saved, not even in part"
            in busy["said"]
        )

    def test_people_read_meanwhile(self, scenes):
        assert scenes["busy"]["read meanwhile"] == [200, 200]

    def test_sent_again_it_is_kept_once(self, scenes):
        assert (scenes["busy"]["after"], scenes["busy"]["again"]) == ([1, 2], 302)

    def test_a_command_says_it_in_a_sentence(self, scenes):
        assert scenes["command"].startswith("Nothing was changed. Someone is saving a great deal")


@pytest.mark.own_sqlite
class TestTheDiskIsFull:
    def test_no_half_of_a_visit_is_kept_and_the_page_says_why(self, scenes):
        full = scenes["full"]
        assert (full["status"], full["kept"]) == (503, True)
        assert "The disk of the machine that keeps the register is full." in full["said"]

    def test_people_read_meanwhile_and_save_again_when_there_is_room(self, scenes):
        assert (scenes["full"]["read"], scenes["full"]["after"]) == (200, 302)

    def test_half_a_photograph_goes_with_its_row(self, scenes):
        photograph = scenes["photograph"]
        assert (photograph["status"], photograph["rows"], photograph["files"]) == (503, 0, [])
        assert "is full" in photograph["said"]
        assert photograph["rows after"] == 1

    def test_a_workbook_that_cannot_be_written_is_named(self, scenes):
        assert "all.xlsx cannot be written: File too large." in scenes["save"]

    def test_the_database_is_whole_after_all_of_it(self, scenes):
        assert scenes["whole"] == "ok"


@pytest.mark.parametrize(
    ("error", "said"),
    [
        (OperationalError("database is locked"), faults.BUSY),
        (OperationalError("deadlock detected"), faults.BUSY),
        (OperationalError("database or disk is full"), faults.FULL),
        (OperationalError('could not extend file "base/1": No space left on device'), faults.FULL),
        (OSError(errno.ENOSPC, "No space left on device"), faults.FULL),
        (OperationalError("disk I/O error"), faults.BROKEN),
        (OperationalError("connection refused"), faults.BROKEN),
        (PermissionError(errno.EACCES, "Permission denied"), ""),
        (KeyError("points"), ""),
    ],
)
def test_each_fault_of_the_machine_has_its_words(error, said):
    assert faults.words_for(error) == said


def test_two_servers_on_one_database_lose_nothing(run):
    said = run(
        "tests.benchmarks.load",
        *("--servers", "2", "--people", "8", "--seconds", "5", "--pause", "0.3", "--points", "6"),
    )
    assert "errors 0, lost writes 0" in said, said


@pytest.mark.django_db
class TestSqliteIsSetUp:
    @pytest.fixture(autouse=True)
    def only_sqlite(self):
        if connection.vendor != "sqlite":
            pytest.skip("asks SQLite")

    def test_the_settings_lose_nothing(self):
        assert run_checks(tags=["database"], databases=["default"]) == []

    @pytest.mark.parametrize(
        ("pragma", "value", "said"),
        [
            ("journal_mode", "delete", "people wait for each other to read"),
            ("foreign_keys", 0, "links to what is not there are let in"),
            ("busy_timeout", 0, "is refused at once"),
            ("synchronous", 1, "a power cut can take what was confirmed"),
        ],
    )
    def test_a_connection_set_up_otherwise_is_an_error(self, pragma, value, said, monkeypatch):
        asked = checks._pragma
        monkeypatch.setattr(
            checks, "_pragma", lambda alias, name: value if name == pragma else asked(alias, name)
        )
        [problem] = checks.sqlite_loses_nothing(None, databases=["default"])
        assert said in problem.msg
