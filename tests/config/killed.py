"""A process killed with SIGKILL in the middle of its work, again and again, and what it leaves.

``python -m tests.config.killed import|photograph|migration|visits [--times N]`` works in a folder
of its own and prints JSON: how often it was killed, and every problem found. Work is done in a
forked child that kills itself at its nth statement, or is killed from outside at a random moment:
then the moment may lie inside a statement or a commit, as in a power cut.
"""

import argparse
import json
import os
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path
from random import Random

from tests.registers import make_register

RODS = 40
READINGS = 4  # of each visit
WRITES = ("INSERT", "UPDATE", "DELETE", "CREATE", "ALTER", "DROP")


class Rig:
    """A register in a folder, put back as it was before each death."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.database = folder / "register.sqlite3"
        self.problems: list[str] = []
        self.killed = 0

    def keep(self) -> None:
        from django.db import connections

        connections.close_all()
        with closing(sqlite3.connect(self.database)) as file:
            file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        shutil.copy(self.database, self.folder / "as-it-was")

    def put_back(self) -> None:
        from django.db import connections

        connections.close_all()
        for side in ("", "-wal", "-shm"):
            Path(f"{self.database}{side}").unlink(missing_ok=True)
        shutil.copy(self.folder / "as-it-was", self.database)

    def run(self, work: Callable[[], None], nth: int = 0) -> int:
        """Work in a child that dies at its nth write; gives how many writes it lived through."""
        from django.db import connections

        connections.close_all()
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            _die_at(nth, work, writing)
        os.close(writing)
        with os.fdopen(reading, "rb") as told:
            writes = len(told.read())
        _, status = os.waitpid(child, 0)
        if os.WIFSIGNALED(status):
            self.killed += 1
        elif status:
            self.problems.append(f"the work failed before write {nth}")
        return writes

    def check(self, when: str) -> None:
        """The file is whole, and no row refers to one that is not there."""
        with closing(sqlite3.connect(self.database)) as file:
            whole = file.execute("PRAGMA integrity_check").fetchone()[0]
            broken = file.execute("PRAGMA foreign_key_check").fetchall()
        if whole != "ok" or broken:
            self.problems.append(f"{when}: {whole}, {len(broken)} links broken")


def _die_at(nth: int, work: Callable[[], None], tell: int) -> None:
    from django.db import connection

    count = 0

    def counting(execute, sql, params, many, context):
        nonlocal count
        if str(sql).lstrip().upper().startswith(WRITES):
            count += 1
            os.write(tell, b".")
            if count == nth:
                os.kill(os.getpid(), signal.SIGKILL)
        return execute(sql, params, many, context)

    status = 1
    try:
        with connection.execute_wrapper(counting):
            work()
        status = 0
    finally:
        os._exit(status)


def points_of_death(writes: int, times: int) -> list[int]:
    """So many writes, spread over the work."""
    return [max(1, writes * n // (times + 1)) for n in range(1, times + 1)]


def during_import(rig: Rig, times: int) -> None:
    """A workbook of rods: after each death there are none of them, and then they load."""
    from assets.models import Stretcher
    from config.workbook import register
    from tests.builders import make_stretcher

    rig.keep()
    for number in range(RODS):
        make_stretcher(f"ST-{number:03}")
    book = rig.folder / "rods.xlsx"
    register.save(str(book))
    rig.put_back()

    def load() -> None:
        from django.core.management import call_command

        call_command("load_workbook", str(book), verbosity=0, stdout=StringIO())

    for nth in points_of_death(rig.run(load), times):
        rig.put_back()
        rig.run(load, nth)
        rig.check(f"killed at write {nth}")
        if found := Stretcher.objects.count():
            rig.problems.append(f"killed at write {nth}: {found} of {RODS} rods are there")
        rig.run(load)
        if Stretcher.objects.count() != RODS:
            rig.problems.append(f"after write {nth} the workbook does not load")


def during_photograph(rig: Rig, times: int) -> None:
    """A photograph of a rod: a row has its files whole, or there is no row."""
    from django.conf import settings
    from django.test import Client

    from assets.models import PartPhoto, Photo
    from tests.builders import make_stretcher, make_user
    from tests.pictures import upload

    client = Client()
    client.force_login(
        make_user("technician", "signalling"), "django.contrib.auth.backends.ModelBackend"
    )
    address = f"{make_stretcher('ST-001').get_absolute_url()}photograph/"
    rig.keep()

    def send() -> None:
        answer = client.post(address, {"photographs": [upload()], "caption": "The shoe"})
        assert answer.status_code == 302, answer.status_code

    for nth in points_of_death(rig.run(send), times):
        rig.put_back()
        shutil.rmtree(settings.MEDIA_ROOT, ignore_errors=True)
        rig.run(send, nth)
        rig.check(f"killed at write {nth}")
        if Photo.objects.count() != PartPhoto.objects.count():
            rig.problems.append(f"killed at write {nth}: a photograph of nothing")
        rig.run(send)
        for photo in Photo.objects.all():
            if not all(file.is_file() and file.stat().st_size for file in photo.files):
                rig.problems.append(f"killed at write {nth}: a photograph without its files")
        if not Photo.objects.exists():
            rig.problems.append(f"after write {nth} the photograph is not taken")


def during_migration(rig: Rig, times: int) -> None:
    """Making the tables: after each death the same command finishes the work."""
    from django.core.management import call_command
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    from assets.triggers import PREFIX

    rig.database.unlink()
    rig.database.touch()
    rig.keep()

    def migrate() -> None:
        call_command("migrate", verbosity=0)

    for nth in points_of_death(rig.run(migrate), times):
        rig.put_back()
        rig.run(migrate, nth)
        rig.check(f"killed at write {nth}")
        rig.run(migrate)
        rig.check(f"finished after write {nth}")
        executor = MigrationExecutor(connection)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            rig.problems.append(f"after write {nth} some migrations are still to be made")
        with connection.cursor() as cursor:
            cursor.execute("SELECT COUNT(*) FROM sqlite_master WHERE name LIKE %s", [f"{PREFIX}%"])
            if not cursor.fetchone()[0]:
                rig.problems.append(f"after write {nth} the database keeps no rules")


def during_visits(rig: Rig, times: int) -> None:
    """Visits recorded one after another until the power goes: those told of are there, whole."""
    from inspections.models import Inspection
    from tests.builders import make_rigged_points

    points = make_rigged_points("12")
    chance = Random(1884)
    told: set[str] = set()
    for _ in range(times):
        told |= _record_until_killed(rig, points, chance.uniform(0.002, 0.06))
        rig.check(f"after {rig.killed} deaths")
        with closing(sqlite3.connect(rig.database)) as file:
            halves = file.execute(
                "SELECT COUNT(*) FROM (SELECT v.id FROM inspections_inspection v LEFT JOIN "
                "inspections_reading r ON r.inspection_id = v.id GROUP BY v.id "
                f"HAVING COUNT(r.id) <> {READINGS})"
            ).fetchone()[0]
        if halves:
            rig.problems.append(f"after {rig.killed} deaths {halves} visits are half written")
    kept = {str(key) for key in Inspection.objects.values_list("client_id", flat=True)}
    if told - kept:
        rig.problems.append(f"{len(told - kept)} visits that were confirmed are lost")
    if len(told) < times:
        rig.problems.append(f"only {len(told)} visits in {times} lives: nothing was tried")


def _record_until_killed(rig: Rig, points, seconds: float) -> set[str]:
    from django.db import connections

    connections.close_all()
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            _record_for_ever(points, writing)
        finally:
            os._exit(1)
    os.close(writing)
    with os.fdopen(reading, "rb") as told:
        first = told.read(37)  # it works: from now on it may die
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
        lines = (first + told.read()).decode().splitlines()
    os.waitpid(child, 0)
    rig.killed += 1
    return {line for line in lines if len(line) == 36}


def _record_for_ever(points, tell: int) -> None:
    from inspections.recording.entries import ReadingEntry
    from inspections.recording.visit import record_inspection

    at = datetime(2026, 1, 1, tzinfo=UTC)
    places = list(points.positions.filter(order__gte=1)[: READINGS // 2])
    while True:
        at += timedelta(minutes=1)
        visit = record_inspection(
            points=points,
            at=at,
            by="Lineman A",
            user=None,
            reason="routine",
            readings=[
                ReadingEntry("fwc", 60, position, lie=lie)
                for position in places
                for lie in ("left_closed", "right_closed")
            ],
            examinations=[],
        )
        os.write(tell, f"{visit.client_id}\n".encode())


WORK = {
    "import": during_import,
    "photograph": during_photograph,
    "migration": during_migration,
    "visits": during_visits,
}


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("work", choices=WORK)
    asked.add_argument("--times", type=int, default=4)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory(prefix="killed-") as folder:
        make_register(folder, sqlite=True)
        rig = Rig(Path(folder))
        WORK[given.work](rig, given.times)
        print(json.dumps({"killed": rig.killed, "problems": rig.problems}))
    return 1 if rig.problems else 0


if __name__ == "__main__":
    sys.exit(main())
