"""``python -m tests.tools.tour [FOLDER]``: the pictures of the README, by default in ``docs``.

Pages of the demo railway, in a register of its own for the while, are photographed in a headless
Chromium; the picture of the open switches is drawn from the arithmetic alone.
"""

import argparse
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Thread

from playwright.sync_api import sync_playwright

from tests.registers import make_register

ROOT = Path(__file__).resolve().parents[2]
PHONE, DESK = 390, 1100
DEEP = 2  # picture points to a CSS pixel on a phone, so that its small print can be read


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


def draw(folder: Path, chromium: str) -> list[Path]:
    """Draws every picture into ``folder`` from the demo railway in the register."""
    from tests.tools.open_switches import open_switches

    folder.mkdir(parents=True, exist_ok=True)
    switches = folder / "open_switches.svg"
    switches.write_text(open_switches(), encoding="utf-8")
    return [switches, *_photographs(folder, chromium)]


def _photographs(folder: Path, chromium: str) -> list[Path]:
    made = []
    seen = [(view, _session(view.user)) for view in VIEWS]  # no database beside the browser
    with _served() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
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
    from django.core.wsgi import get_wsgi_application
    from waitress.server import create_server

    server = create_server(get_wsgi_application(), host="127.0.0.1", port=0)
    Thread(target=server.run, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.effective_port}"
    finally:
        server.close()


def _session(username: str) -> dict[str, str]:
    """A cookie that is logged in as this demo account."""
    from django.conf import settings
    from django.contrib.auth import get_user_model
    from django.test import Client

    client = Client()
    client.force_login(get_user_model().objects.get(username=username))
    name = settings.SESSION_COOKIE_NAME
    return {"name": name, "value": client.cookies[name].value}


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.tools.tour", description=__doc__)
    asked.add_argument("folder", type=Path, nargs="?", default=ROOT / "docs")
    given = asked.parse_args()
    chromium = shutil.which("chromium")
    if chromium is None:
        asked.error("no Chromium on this machine (Debian: apt install chromium)")
    with tempfile.TemporaryDirectory(prefix="tour-") as register:
        make_register(register, sqlite=True)
        from config import demo

        demo.load()
        for path in draw(given.folder, chromium):
            print(f"{path.name}: {path.stat().st_size // 1024} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
