"""The register as each release of the program left it, kept as SQL, to be brought up to date.

    python -m tests.config.releases keep 1.0.0     keeps what this version makes, once, at release

writes ``1.0.0.sql``, a small SQLite register, and ``1.0.0.json``, what is recorded in it.
"""

import json
import os
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
FOLDER = Path(__file__).resolve().parent
DATABASE = "register.sqlite3"


def kept() -> list[str]:
    """The versions that are kept."""
    return sorted(path.stem for path in FOLDER.glob("*.sql"))


def manage(data: Path, *words: str) -> str:
    """Runs a command of the program on the register in a folder; returns what it prints."""
    return _run(data, "manage.py", *words)


def facts_of(data: Path) -> dict:
    """What is recorded in the register in a folder, asked of this version of the program."""
    return json.loads(_run(data, "-m", "tests.config.releases", "facts"))


def keep(version: str, folder: Path = FOLDER) -> None:
    """Makes a small register with this version and keeps it with what is recorded in it."""
    with tempfile.TemporaryDirectory() as made:
        data = Path(made)
        manage(data, "migrate", "--verbosity", "0")
        manage(data, "start_register")
        _run(data, "-m", "tests.config.releases", "fill")
        facts = facts_of(data)
        with closing(sqlite3.connect(data / DATABASE)) as register:
            lines = "\n".join(register.iterdump())
    (folder / f"{version}.sql").write_text(f"{lines}\n", encoding="utf-8")
    written = json.dumps(facts, indent=1, ensure_ascii=False)
    (folder / f"{version}.json").write_text(f"{written}\n", encoding="utf-8")


def put(version: str, data: Path, folder: Path = FOLDER) -> dict:
    """Puts the register of a release in a data folder; returns what was recorded in it."""
    with closing(sqlite3.connect(data / DATABASE)) as register:
        register.executescript((folder / f"{version}.sql").read_text(encoding="utf-8"))
    return json.loads((folder / f"{version}.json").read_text(encoding="utf-8"))


def _run(data: Path, *words: str) -> str:
    surroundings = {**os.environ, "TOE_TO_HEEL_DATA": str(data), "HTTPS": "off"}
    surroundings.pop("DATABASE_URL", None)
    done = subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        env=surroundings,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise RuntimeError(f"{' '.join(words)} failed:\n{done.stderr}")
    return done.stdout
