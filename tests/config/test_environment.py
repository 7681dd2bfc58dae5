"""Settings by environment variables: each has a safe default, and a wrong word stops the start."""

import json
import logging
import os
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.test import RequestFactory

from config import environment
from config.operations.logs import JsonLines

ROOT = Path(__file__).resolve().parents[2]
MANUAL = ROOT / "config" / "deployment" / "README.md"


@pytest.mark.parametrize(
    ("word", "means"),
    [("on", True), ("1", True), ("Yes", True), (" TRUE ", True), ("off", False), ("", False)],
)
def test_a_switch_takes_the_words_people_write(monkeypatch, word, means):
    monkeypatch.setenv("HTTPS", word)
    assert environment.switch("HTTPS", not means) is means


def test_a_switch_that_is_not_given_has_its_default(monkeypatch):
    monkeypatch.delenv("HTTPS", raising=False)
    assert environment.switch("HTTPS", True) is True


def test_a_wrong_word_says_what_to_write(monkeypatch):
    monkeypatch.setenv("HTTPS", "perhaps")
    with pytest.raises(ImproperlyConfigured, match="HTTPS is 'perhaps': write on or off"):
        environment.switch("HTTPS", True)
    monkeypatch.setenv("LOG_FORMAT", "xml")
    with pytest.raises(ImproperlyConfigured, match="LOG_FORMAT is 'xml': write one of line, json"):
        environment.one_of("LOG_FORMAT", ("line", "json"))


def test_a_list_is_parted_by_commas(monkeypatch):
    monkeypatch.setenv("ALLOWED_HOSTS", "points.example, www.points.example,")
    assert environment.words("ALLOWED_HOSTS", []) == ["points.example", "www.points.example"]


def test_the_secret_key_is_made_once_and_readable_by_its_owner_alone(tmp_path, monkeypatch):
    monkeypatch.delenv("SECRET_KEY", raising=False)
    first = environment.secret_key(tmp_path)
    assert len(first) >= 50
    assert environment.secret_key(tmp_path) == first
    assert stat.S_IMODE((tmp_path / "secret_key").stat().st_mode) == 0o600


def test_a_secret_key_that_is_given_goes_before_the_one_that_was_made(tmp_path, monkeypatch):
    monkeypatch.setenv("SECRET_KEY", "given")
    assert environment.secret_key(tmp_path) == "given"
    assert not (tmp_path / "secret_key").exists()


def test_the_data_folder_is_its_owners_alone(tmp_path, monkeypatch):
    monkeypatch.setenv("TOE_TO_HEEL_DATA", str(tmp_path / "below" / "data"))
    assert stat.S_IMODE(environment.data_folder().stat().st_mode) == 0o700


def test_a_data_folder_that_cannot_be_made_says_what_to_set(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("not a folder")
    monkeypatch.setenv("TOE_TO_HEEL_DATA", str(tmp_path / "file" / "data"))
    with pytest.raises(ImproperlyConfigured, match="set TOE_TO_HEEL_DATA to a folder"):
        environment.data_folder()


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"HTTPS": "perhaps"}, "HTTPS is 'perhaps': write on or off."),
        ({"LOG_LEVEL": "loud"}, "LOG_LEVEL is 'loud': write one of"),
    ],
)
def test_a_wrong_setting_stops_the_start_with_a_sentence(tmp_path, given, says):
    surroundings = {**os.environ, "TOE_TO_HEEL_DATA": str(tmp_path), **given}
    done = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=ROOT,
        env=surroundings,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode != 0
    assert says in done.stderr


def test_the_checks_for_a_real_server_find_nothing(tmp_path):
    surroundings = {
        **os.environ,
        "TOE_TO_HEEL_DATA": str(tmp_path),
        "ALLOWED_HOSTS": "points.example",
        "HTTPS": "on",
        "DEBUG": "off",
    }
    surroundings.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)  # for the browser tests, never a server
    done = subprocess.run(
        [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"],
        cwd=ROOT,
        env=surroundings,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, "no issues" in done.stdout + done.stderr) == (0, True)


def test_every_variable_that_is_read_stands_in_the_manual():
    sources = [ROOT / "config" / name for name in ("settings.py", "environment.py")]
    text = "".join(path.read_text(encoding="utf-8") for path in sources)
    called = r"""(?:switch|words|text|one_of|get)\(\s*"([A-Z_]+)\""""
    read = set(re.findall(called, text)) | {"DATABASE_URL"}
    assert read >= {"SECRET_KEY", "ALLOWED_HOSTS", "HTTPS", "TOE_TO_HEEL_DATA", "LOG_FORMAT"}
    manual = MANUAL.read_text(encoding="utf-8")
    assert [name for name in sorted(read) if f"`{name}`" not in manual] == []


def logged(**more) -> dict:
    record = logging.LogRecord("django.request", 30, __file__, 1, "Gone: %s", ("/x/",), None)
    for name, value in more.items():
        setattr(record, name, value)
    return json.loads(JsonLines().format(record))


def test_a_line_of_the_log_can_be_read_by_a_machine():
    line = logged()
    assert (line["level"], line["logger"], line["message"]) == (
        "WARNING",
        "django.request",
        "Gone: /x/",
    )
    assert line["time"].endswith("+00:00")


def test_a_line_about_a_request_says_which():
    line = logged(request=RequestFactory().get("/points/?q=secret"), status_code=404)
    assert (line["method"], line["path"], line["status"]) == ("GET", "/points/", 404)
    assert line["account"] is None


def test_a_line_about_a_failure_carries_its_trace_on_the_same_line():
    try:
        raise ValueError("made for a test\nwith two lines")
    except ValueError:
        line = logged(exc_info=sys.exc_info())
    assert "ValueError: made for a test" in line["trace"]
