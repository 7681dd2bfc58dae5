"""The pictures of the README, drawn by the program itself from the demo railway.

Pages are photographed in a headless browser; the picture of the open switches is drawn from the
arithmetic alone.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY, get_user_model
from django.contrib.sessions.backends.db import SessionStore
from django.core.wsgi import get_wsgi_application

from .open_switches import open_switches

PHONE, DESK = 390, 1100
DEEP = 2  # picture points to a CSS pixel on a phone, so that its small print can be read


class TourFailed(Exception):
    """The pictures were not made; the message says what is missing."""


@dataclass(frozen=True)
class View:
    """One picture: what of which page, seen by whom, how wide, how tall (CSS pixels)."""

    name: str
    path: str
    user: str
    width: int
    height: int


VIEWS = (
    View("home", "/", "technician", DESK, 760),
    View("points", "/points/SKB/12/", "technician", PHONE, 1500),
    View("suits", "/points/SKB/12/2/suits/", "technician", PHONE, 1500),
    View("inspect", "/points/SKB/12/inspect/", "technician", PHONE, 1500),
    View("switch", "/points/TRN/5/switch/", "technician", DESK, 900),
    View("spares", "/spares/", "technician", DESK, 900),
    View("pway", "/defects/queue/permanent_way/", "ganger", DESK, 760),
)


def draw(folder: Path) -> list[Path]:
    """Draws every picture into ``folder`` from the demo railway in the register."""
    folder.mkdir(parents=True, exist_ok=True)
    switches = folder / "open_switches.svg"
    switches.write_text(open_switches(), encoding="utf-8")
    return [switches, *_photographs(folder)]


def _photographs(folder: Path) -> list[Path]:
    try:
        from playwright.sync_api import sync_playwright
    except ImportError as problem:
        raise TourFailed("Playwright is missing: install requirements.txt.") from problem
    browser_path = shutil.which("chromium")
    if browser_path is None:
        raise TourFailed("There is no Chromium on this machine.")
    made = []
    seen = [(view, _session(view.user)) for view in VIEWS]  # no database beside the browser
    with _served() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=browser_path, args=["--no-sandbox"])
        for view, cookie in seen:
            context = browser.new_context(
                viewport={"width": view.width, "height": view.height},
                device_scale_factor=DEEP if view.width == PHONE else 1,
            )
            context.add_cookies([{**cookie, "url": address}])
            page = context.new_page()
            page.goto(f"{address}{view.path}")
            path = folder / f"{view.name}.png"
            page.screenshot(path=path)
            made.append(path)
            context.close()
        browser.close()
    return made


@contextmanager
def _served() -> Iterator[str]:
    """The program on a free port of the loopback address."""
    from waitress.server import create_server

    server = create_server(get_wsgi_application(), host="127.0.0.1", port=0)
    Thread(target=server.run, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}"
    finally:
        server.close()


def _session(username: str) -> dict[str, str]:
    """A cookie that is logged in as this demo account."""
    user = get_user_model().objects.filter(username=username).first()
    if user is None:
        raise TourFailed("The register is not the demo railway: run manage.py demo --no-serve.")
    session = SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = settings.AUTHENTICATION_BACKENDS[-1]
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.save()
    return {"name": settings.SESSION_COOKIE_NAME, "value": session.session_key}
