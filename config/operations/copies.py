"""Copies of the whole register, made while it is in use, verified, and put back.

A copy is a folder: the database (SQLite's own online backup, or PostgreSQL's dump), the photographs
and a manifest with the number of rows of each table and the SHA-256 of each file. It is made under
a name of its own and takes its final name only when it has been verified.
"""

import hashlib
import json
import shutil
import sqlite3
import subprocess
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection, connections

MANIFEST = "manifest.json"
SQLITE = "register.sqlite3"
DUMP = "register.dump"
PHOTOGRAPHS = "photographs"


class CopyFailed(Exception):
    """A copy could not be made, verified or put back; the message says what to do."""


@dataclass(frozen=True)
class Copy:
    """A verified copy."""

    folder: Path
    rows: int
    files: int


def row_counts() -> dict[str, int]:
    """Rows of each table of the present database."""
    with connection.cursor() as cursor:
        tables = sorted(connection.introspection.table_names(cursor))
        counts = {}
        for table in tables:
            cursor.execute(f"SELECT COUNT(*) FROM {connection.ops.quote_name(table)}")
            counts[table] = cursor.fetchone()[0]
    return counts


def make_copy(into: Path, now: datetime, keep: int | None = None) -> Copy:
    """Makes a copy in a folder below ``into`` named by the time; keeps the latest ``keep``."""
    into.mkdir(parents=True, exist_ok=True)
    final = into / now.strftime("%Y-%m-%dT%H%M%S")
    if final.exists():
        raise CopyFailed(f"There is a copy named {final.name} already: wait a second.")
    making = into / f".{final.name}.making"
    shutil.rmtree(making, ignore_errors=True)
    making.mkdir()
    try:
        counts = _save_database(making)
        if Path(settings.MEDIA_ROOT).is_dir():
            shutil.copytree(settings.MEDIA_ROOT, making / PHOTOGRAPHS)
        _write_manifest(making, counts)
        copy = verify(making)
        making.rename(final)
    except (OSError, sqlite3.Error, subprocess.SubprocessError) as problem:
        raise CopyFailed(f"The copy was not made: {problem}.") from problem
    finally:
        shutil.rmtree(making, ignore_errors=True)
    if keep is not None:
        _drop_oldest(into, keep)
    return Copy(final, copy.rows, copy.files)


def verify(folder: Path) -> Copy:
    """Compares a copy with its manifest and asks the database file whether it is whole."""
    try:
        manifest = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    except (OSError, ValueError) as problem:
        raise CopyFailed(f"{folder} is not a copy of the register: {problem}.") from problem
    for name, digest in manifest["files"].items():
        path = folder / name
        if not path.is_file() or _digest(path) != digest:
            raise CopyFailed(f"{name} in {folder} is missing or not as it was saved.")
    if (folder / SQLITE).exists():
        counts = _sqlite_counts(folder / SQLITE)
        if counts != manifest["rows"]:
            raise CopyFailed(f"The rows in {folder} are not those that were counted.")
    return Copy(folder, sum(manifest["rows"].values()), len(manifest["files"]))


def put_back(folder: Path) -> Copy:
    """Puts a verified copy in place of the present register."""
    copy = verify(folder)
    kind = SQLITE if connection.vendor == "sqlite" else DUMP
    if not (folder / kind).exists():
        raise CopyFailed(
            f"{folder} was made from another kind of database: point DATABASE_URL at that kind, "
            "put it back there, and use move_register."
        )
    _load_database(folder / kind)
    media = Path(settings.MEDIA_ROOT)
    if (folder / PHOTOGRAPHS).is_dir():
        shutil.copytree(folder / PHOTOGRAPHS, media, dirs_exist_ok=True)
    return copy


def _save_database(folder: Path) -> dict[str, int]:
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        with closing(sqlite3.connect(folder / SQLITE)) as target:
            connection.connection.backup(target)
            # One file and no side files, which come and go with whoever opens it.
            target.execute("PRAGMA journal_mode=DELETE")
        return _sqlite_counts(folder / SQLITE)
    counts = row_counts()
    _run("pg_dump", "--format=custom", f"--file={folder / DUMP}", *_postgres_options())
    return counts


def _load_database(saved: Path) -> None:
    if connection.vendor == "sqlite":
        connection.ensure_connection()
        with closing(sqlite3.connect(saved)) as source:
            source.backup(connection.connection)
        return
    connections.close_all()
    _run(
        "pg_restore", "--clean", "--if-exists", "--single-transaction", *_postgres_options(), saved
    )


def _sqlite_counts(path: Path) -> dict[str, int]:
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as file:
        [(whole,)] = file.execute("PRAGMA integrity_check(1)").fetchall()
        if whole != "ok":
            raise CopyFailed(f"The database in {path} is damaged: {whole}.")
        names = file.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        ).fetchall()
        return {
            name: file.execute(f'SELECT COUNT(*) FROM "{name}"').fetchone()[0]
            for (name,) in sorted(names)
        }


def _postgres_options() -> list[str]:
    given = settings.DATABASES["default"]
    name = connection.settings_dict["NAME"]
    options = [f"--dbname={name}"]
    for flag, key in (("--host", "HOST"), ("--port", "PORT"), ("--username", "USER")):
        if given.get(key):
            options.append(f"{flag}={given[key]}")
    return options


def _run(program: str, *options) -> None:
    environment = {"PGPASSWORD": settings.DATABASES["default"].get("PASSWORD") or ""}
    path = shutil.which(program)
    if path is None:
        raise CopyFailed(f"{program} is not installed here: it comes with PostgreSQL's client.")
    done = subprocess.run(
        [path, *map(str, options)], capture_output=True, text=True, env=environment, check=False
    )
    if done.returncode:
        raise CopyFailed(f"{program} failed: {done.stderr.strip()}")


def _write_manifest(folder: Path, counts: dict[str, int]) -> None:
    files = {
        str(path.relative_to(folder)): _digest(path)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
    manifest = {"rows": counts, "files": files}
    (folder / MANIFEST).write_text(json.dumps(manifest, indent=1), encoding="utf-8")


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _drop_oldest(into: Path, keep: int) -> None:
    copies = sorted(path for path in into.iterdir() if (path / MANIFEST).is_file())
    for old in copies[: max(0, len(copies) - keep)]:
        shutil.rmtree(old)
