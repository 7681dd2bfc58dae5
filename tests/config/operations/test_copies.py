"""Copies are whole, verified, and can be put back: the restore is rehearsed."""

import json
import os
import subprocess
import sys
from datetime import datetime
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from assets.models import Points, Stretcher
from config.operations import copies
from tests.builders import make_points, make_stretcher

ROOT = Path(__file__).resolve().parents[3]
NIGHT = datetime(2026, 3, 1, 2, 30)


@pytest.fixture
def photographs(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "photographs"
    settings.MEDIA_ROOT.mkdir()
    (settings.MEDIA_ROOT / "rod.jpg").write_bytes(b"a picture")
    return settings.MEDIA_ROOT


@pytest.mark.django_db(transaction=True)
def test_a_copy_put_back_gives_the_same_register(tmp_path, photographs):
    make_points("12")
    make_stretcher("ST-014")
    copy = copies.make_copy(tmp_path / "kept", NIGHT)
    assert copy.folder.name == "2026-03-01T023000"
    before = copies.row_counts()
    Stretcher.objects.all().delete()
    (photographs / "rod.jpg").unlink()
    copies.put_back(copy.folder)
    assert copies.row_counts() == before
    assert Points.objects.by_key("SKB 12").track_circuited is True
    assert (photographs / "rod.jpg").read_bytes() == b"a picture"


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("name", ["photographs/rod.jpg", copies.MANIFEST])
def test_a_spoilt_copy_is_refused_and_the_register_stays(tmp_path, photographs, name):
    make_stretcher("ST-014")
    copy = copies.make_copy(tmp_path / "kept", NIGHT)
    (copy.folder / name).write_bytes(b"spoilt")
    with pytest.raises(copies.CopyFailed):
        copies.put_back(copy.folder)
    assert Stretcher.objects.get().tag == "ST-014"


@pytest.mark.django_db(transaction=True)
def test_a_copy_that_fails_leaves_nothing_behind(tmp_path, photographs, monkeypatch):
    def full(*args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(copies, "_write_manifest", full)
    with pytest.raises(copies.CopyFailed, match="No space left on device"):
        copies.make_copy(tmp_path / "kept", NIGHT)
    assert list((tmp_path / "kept").iterdir()) == []


@pytest.mark.django_db(transaction=True)
def test_only_the_latest_copies_are_kept(tmp_path, photographs):
    for day in (1, 2, 3):
        copies.make_copy(tmp_path, NIGHT.replace(day=day), keep=2)
    kept = sorted(path.name for path in tmp_path.iterdir() if (path / copies.MANIFEST).exists())
    assert kept == ["2026-03-02T023000", "2026-03-03T023000"]


@pytest.mark.django_db(transaction=True)
def test_the_command_will_not_replace_a_register_unasked(tmp_path, photographs):
    make_points("12")
    out = StringIO()
    call_command("keep_copy", tmp_path / "kept", stdout=out)
    assert out.getvalue().startswith("Kept and verified")
    [folder] = (tmp_path / "kept").iterdir()
    with pytest.raises(CommandError, match="register is not empty"):
        call_command("restore_copy", folder)
    call_command("restore_copy", folder, "--check-only", stdout=out)
    call_command("restore_copy", folder, "--replace", stdout=out)
    assert "Put back" in out.getvalue()


@pytest.mark.django_db(transaction=True)
def test_the_manifest_counts_the_rows(tmp_path, photographs):
    make_points("12")
    copy = copies.make_copy(tmp_path, NIGHT)
    rows = json.loads((copy.folder / copies.MANIFEST).read_text())["rows"]
    assert rows["assets_points"] == 1
    assert connection.vendor in ("sqlite", "postgresql")


@pytest.mark.own_sqlite
def test_a_copy_of_a_register_in_use_is_one_file_that_can_be_put_back_again_and_again(tmp_path):
    """With a database in a file, as a railway has it; the others here have theirs in memory."""
    surroundings = {**os.environ, "TOE_TO_HEEL_DATA": str(tmp_path / "data"), "HTTPS": "off"}
    surroundings.pop("DATABASE_URL", None)

    def manage(*words) -> str:
        command = [sys.executable, "manage.py", *map(str, words)]
        done = subprocess.run(
            command, cwd=ROOT, env=surroundings, capture_output=True, text=True, check=True
        )
        return done.stdout

    manage("migrate", "--verbosity", 0)
    manage("keep_copy", tmp_path / "kept")
    (copy,) = (tmp_path / "kept").iterdir()
    assert {path.name for path in copy.iterdir()} == {copies.SQLITE, copies.MANIFEST}
    assert "1 files" in manage("restore_copy", copy)
    assert "1 files" in manage("restore_copy", copy, "--replace")
    assert "1 files" in manage("restore_copy", copy, "--check-only")
