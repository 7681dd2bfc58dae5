"""A real Chromium against the program, with the demo railway or a small register behind it."""

import os
import shutil
import sqlite3
import time
from contextlib import closing

import pytest
from django.conf import settings
from django.contrib.contenttypes.models import ContentType
from django.db import connection
from django.test import Client
from playwright.sync_api import expect

from tests import builders

# The browser's driver runs an event loop in this process, and Django guards against that.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

expect.set_options(timeout=20_000)  # ms: a busy machine is slow, not wrong

CHROMIUM = shutil.which("chromium")
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}
POST_OF = {
    "technician": ("signalling", "Lineman A"),
    "ganger": ("permanent way", "Ganger B"),
    "engineer": ("responsible engineer", "Engineer C"),
    "viewer": ("viewer", "Visitor D"),
}


def pytest_collection_modifyitems(items):
    """Every test in this folder drives a browser; where there is none it says so."""
    missing = pytest.mark.skip(reason="no Chromium on this machine (Debian: apt install chromium)")
    for item in items:
        if "/browser/" in item.path.as_posix():
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(missing)


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args):
    return {**browser_type_launch_args, "executable_path": CHROMIUM, "args": ["--no-sandbox"]}


@pytest.fixture(autouse=True)
def photographs_folder(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "photographs"


@pytest.fixture
def log_in(live_server):
    """``log_in(context, "technician")`` gives a browser the session of a user, made if need be."""

    def give(context, username: str):
        user = builders.make_user(username, *POST_OF[username])
        client = Client()
        client.force_login(user)
        session = client.cookies["sessionid"].value
        cookie = {"name": "sessionid", "value": session, "url": live_server.url}
        # Like the one that the server itself gives, it outlives a restart.
        expires = time.time() + settings.SESSION_COOKIE_AGE
        context.add_cookies([{**cookie, "expires": expires, "httpOnly": True}])
        return user

    return give


@pytest.fixture
def phone(browser, live_server, log_in):
    """A phone on which the technician is logged in; an error in a script fails the test."""
    context = browser.new_context(viewport=PHONE, base_url=live_server.url, has_touch=True)
    context.set_default_timeout(10_000)
    log_in(context, "technician")
    page = context.new_page()
    errors = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    context.close()
    assert not errors


@pytest.fixture(scope="session")
def kept_demo(tmp_path_factory):
    """Where the database with the demo railway is kept once a test has loaded it."""
    return tmp_path_factory.mktemp("demo") / "kept.sqlite3"


@pytest.fixture
def demo_railway(transactional_db, kept_demo):
    """The demo railway in the database behind the live server: loaded once, then put back."""
    from config import demo

    if connection.vendor != "sqlite":
        demo.load()
        return
    connection.ensure_connection()
    database = connection.connection
    if not kept_demo.exists():
        demo.load()
        with closing(sqlite3.connect(kept_demo)) as kept:
            database.backup(kept)
    else:
        with closing(sqlite3.connect(kept_demo)) as kept:
            kept.backup(database)
        ContentType.objects.clear_cache()


@pytest.fixture
def person(browser, live_server):
    """Opens a page of its own, on a phone, for somebody who has logged in."""
    contexts = []

    def log_in(username: str, width: int = 390):
        context = browser.new_context(
            viewport={"width": width, "height": 844}, base_url=live_server.url
        )
        context.set_default_timeout(10_000)
        contexts.append(context)
        page = context.new_page()
        page.goto("/login/")
        page.get_by_label("Username").fill(username)
        page.get_by_label("Password").fill("points-and-rods-7")
        page.get_by_role("button", name="Log in").click()
        page.wait_for_url("**/")
        return page

    yield log_in
    for context in contexts:
        context.close()
