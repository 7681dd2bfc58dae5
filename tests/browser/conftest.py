"""A real Chromium against the program, with the demo railway or a small register behind it."""

import os
import shutil

import pytest

# The browser's driver runs an event loop in this process, and Django guards against that.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

CHROMIUM = shutil.which("chromium")


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


@pytest.fixture
def demo_railway(transactional_db):
    """The demo railway in the database behind the live server."""
    from config import demo

    return demo.load()


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
