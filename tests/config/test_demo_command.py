"""``manage.py demo`` and ``manage.py serve`` as a person starts them, each with its own data."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from io import StringIO
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command
from django.core.management.base import OutputWrapper

from assets.models import Points
from config import demo
from config.management.commands.serve import proxy_options
from tests import builders

MANAGE = str(Path(settings.BASE_DIR) / "manage.py")


@pytest.fixture
def own_data(tmp_path):
    """An environment whose register is in a folder of its own, with the safe settings."""
    kept = {k: v for k, v in os.environ.items() if k not in ("DATABASE_URL", "HTTPS", "DEBUG")}
    return {**kept, "TOE_TO_HEEL_DATA": str(tmp_path / "data")}


def run(own_data, *words: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, MANAGE, *words],
        env=own_data,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


def page(address: str) -> str:
    """The page at an address, once the server answers."""
    for _ in range(150):
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:
                return answer.read().decode()
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    raise AssertionError(f"Nothing answered at {address}")


@pytest.mark.own_sqlite
def test_it_loads_serves_and_ends_quietly_when_interrupted(own_data):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        busy = taken.getsockname()[1]
        server = subprocess.Popen(
            [sys.executable, MANAGE, "demo", "--port", str(busy)],
            env=own_data,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        said = ""
        while "Serving on" not in said:
            line = server.stdout.readline()
            assert line, server.stderr.read()
            said += line
    address = said.split("Serving on ")[1].split()[0]
    assert f"Port {busy} is taken by another program" in said
    assert f":{busy}/" not in address
    assert "points-and-rods-7" in said
    assert "technician" in said
    assert "Log in" in page(address)
    server.send_signal(signal.SIGINT)
    _, complaints = server.communicate(timeout=20)
    assert complaints == ""
    again = run(own_data, "demo", "--no-serve")
    assert "Already loaded, nothing changed: 15 sets of points, 67 stretchers." in again.stdout


@pytest.mark.django_db
def test_a_railway_of_its_own_is_neither_loaded_over_nor_emptied():
    builders.make_points("7", builders.make_location("OWN"))
    for reset in (False, True):
        with pytest.raises(CommandError, match="TOE_TO_HEEL_DATA"):
            call_command("demo", no_serve=True, reset=reset, stdout=OutputWrapper(StringIO()))
    assert [points.key for points in Points.objects.all()] == ["OWN 7"]


@pytest.mark.django_db
def test_a_register_that_has_only_accounts_is_not_given_the_demo_ones():
    builders.make_user("chief", "responsible engineer")
    with pytest.raises(demo.OtherRailwayError):
        demo.load()


@pytest.mark.django_db(transaction=True)
def test_reset_empties_the_demo_and_loads_it_anew():
    demo.load()
    Points.objects.filter(number="12").update(note="scribbled on")
    said = StringIO()
    call_command("demo", no_serve=True, reset=True, stdout=said)
    assert "Loaded: 15 sets of points" in said.getvalue()
    assert not Points.objects.filter(note="scribbled on").exists()


@pytest.mark.own_sqlite
def test_serving_on_a_port_that_is_taken_says_so(own_data):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        result = run(own_data, "serve", "--port", str(taken.getsockname()[1]))
    assert result.returncode == 1
    assert "Cannot listen on 127.0.0.1 port" in result.stderr


def test_a_proxy_in_front_is_believed_only_where_the_settings_say_that_there_is_one(settings):
    settings.SECURE_PROXY_SSL_HEADER = None
    assert proxy_options() == {}
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    assert "x-forwarded-proto" in proxy_options()["trusted_proxy_headers"]
