"""A register whose machine fails: what a person is answered, and what is there afterwards.

``python -m tests.config.failing`` works in a folder of its own, with SQLite, and prints JSON: by
scene, the status and the words of the answer and what was found before and after.
"""

import errno
import json
import os
import re
import resource
import sqlite3
import sys
import tempfile
from contextlib import closing, contextmanager, redirect_stderr, redirect_stdout
from html import unescape
from io import StringIO
from pathlib import Path
from unittest import mock
from uuid import uuid4

from tests.benchmarks.people import hidden
from tests.registers import make_register


@contextmanager
def somebody_saving(database: Path):
    """Another connection in the middle of a long transaction; ours soon gives up waiting."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout = 50")
    with closing(sqlite3.connect(database, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


@contextmanager
def no_more_pages():
    """A database that cannot grow, as on a full disk."""
    from django.db import connection

    with connection.cursor() as cursor:
        cursor.execute("PRAGMA page_count")
        pages = cursor.fetchone()[0]
        cursor.execute(f"PRAGMA max_page_count = {pages}")
        yield
        cursor.execute("PRAGMA max_page_count = 1000000")


@contextmanager
def half_a_file():
    """The disk of the photographs is full after a few bytes of one."""

    def half(content, size=None):
        yield content.read(500)
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with mock.patch("django.core.files.base.ContentFile.chunks", half):
        yield


@contextmanager
def files_at_most(size: int):
    """No file of this process may grow beyond so many bytes: writing on fails as on a full disk."""
    usual = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, usual[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, usual)


def answer_of(response) -> dict:
    main = response.content.decode().partition("<main")[2].partition("</main>")[0]
    said = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", unescape(f"<{main}")))
    return {"status": response.status_code, "said": said, "retry": response.get("Retry-After", "")}


def visit_form(client, address: str) -> dict[str, str]:
    """The form as it came, filled in."""
    page = client.get(address).content.decode()
    openings = {f"r-switch_opening-toe--{lie}_closed": "108" for lie in ("left", "right")}
    return {
        **hidden(page, action="data-key"),
        **openings,
        "at": "2025-06-01T12:00",
        "reason": "routine",
    }


def another(form: dict[str, str]) -> dict[str, str]:
    """One more visit, with a long note."""
    return {**form, "client_id": str(uuid4()), "note": "a long note " * 400}


def said_by(*command: str) -> str:
    """What manage.py says of a command that cannot be done."""
    import manage

    usual = sys.argv
    sys.argv = ["manage.py", *command, "--verbosity=0"]
    said = StringIO()
    try:
        with redirect_stderr(said), redirect_stdout(StringIO()):
            manage.main()
    except SystemExit as ended:
        return f"{said.getvalue()}{ended}"
    finally:
        sys.argv = usual
    return "no error"


def whole(database: Path) -> str:
    with closing(sqlite3.connect(database)) as file:
        return file.execute("PRAGMA integrity_check").fetchone()[0]


def scenes(folder: Path) -> dict:
    from django.db import connection
    from django.test import Client

    from assets.models import Photo, Stretcher
    from config.workbook import register
    from inspections.models import Inspection, Reading
    from tests.builders import make_rigged_points, make_stretcher, make_user
    from tests.pictures import upload

    database = folder / "register.sqlite3"
    points = make_rigged_points("12")
    rod = make_stretcher("ST-900")
    client = Client(raise_request_exception=False)
    client.force_login(
        make_user("technician", "signalling"), "django.contrib.auth.backends.ModelBackend"
    )
    inspect = f"{points.get_absolute_url()}inspect/"
    counts = lambda: [Inspection.objects.count(), Reading.objects.count()]  # noqa: E731
    found = {}

    form = visit_form(client, inspect)
    with somebody_saving(database):
        refused = answer_of(client.post(inspect, form))
        reading = client.get(points.get_absolute_url()).status_code
        home = client.get("/").status_code
    found["busy"] = {**refused, "read meanwhile": [reading, home], "during": counts()}
    client.post(inspect, form)
    again = client.post(inspect, form).status_code  # sent once more, not knowing
    found["busy"] |= {"after": counts(), "again": again}

    book = folder / "rods.xlsx"
    register.save(str(book))
    Stretcher.objects.filter(pk=rod.pk).update(note="changed since")
    book_of_changes = folder / "changed.xlsx"
    register.save(str(book_of_changes))
    Stretcher.objects.filter(pk=rod.pk).update(note="")
    with somebody_saving(database):
        found["command"] = said_by("load_workbook", str(book_of_changes))

    before = counts()
    with no_more_pages():
        for _ in range(200):
            kept = counts()
            answer = client.post(inspect, another(form))
            if answer.status_code != 302:
                break
        found["full"] = answer_of(answer) | {"kept": kept == counts(), "read": None}
        found["full"]["read"] = client.get(points.get_absolute_url()).status_code
    found["full"] |= {
        "before": before,
        "after": client.post(inspect, another(form)).status_code,
    }

    address = f"{rod.get_absolute_url()}photograph/"
    media = folder / "photographs"
    with half_a_file():
        refused = client.post(address, {"photographs": [upload()], "caption": "The shoe"})
    files = [path.name for path in media.rglob("*") if path.is_file()]
    found["photograph"] = answer_of(refused) | {"rows": Photo.objects.count(), "files": files}
    client.post(address, {"photographs": [upload()], "caption": "The shoe"})
    found["photograph"]["rows after"] = Photo.objects.count()

    with files_at_most(1_000):
        found["save"] = said_by("save_workbook", str(folder / "all.xlsx"))
    connection.close()
    found["whole"] = whole(database)
    return found


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="failing-") as folder:
        os.environ["LOG_LEVEL"] = "CRITICAL"
        make_register(folder, sqlite=True)
        print(json.dumps(scenes(Path(folder))))


if __name__ == "__main__":
    sys.exit(main())
