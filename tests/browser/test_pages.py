"""Pages in a browser: all of them known, the first load light, a visit made by keyboard alone."""

import pytest
from playwright.sync_api import expect

from config.access import ADDRESSES
from tests.browser.addresses import NOT_PAGES, OF_A_FILE, every_page
from tests.browser.conftest import DESK, PHONE
from tests.browser.looking import browse


@pytest.fixture
def pages(demo_railway):
    return every_page()


def test_every_address_is_a_page_that_is_looked_at_or_known_to_be_none(pages):
    assert set(ADDRESSES) - set(pages) == NOT_PAGES | OF_A_FILE


@pytest.mark.parametrize(
    ("address", "most"), [("/", 100_000), ("/points/SKB/12/", 150_000)], ids=["home", "points"]
)
def test_the_first_load_of_a_page_is_light(
    demo_railway, browser, live_server, log_in, address, most
):
    """Everything that is transferred, the scripts and the picture of the tab included."""
    page = browse(browser, live_server, log_in, PHONE, "technician")
    network = page.context.new_cdp_session(page)
    network.send("Network.enable")
    sizes = []
    network.on("Network.loadingFinished", lambda event: sizes.append(event["encodedDataLength"]))
    page.goto(address, wait_until="networkidle")
    assert 5_000 < sum(sizes) < most, sum(sizes)


def test_a_visit_is_made_with_the_keyboard_alone(demo_railway, browser, live_server, log_in):
    page = browse(browser, live_server, log_in, DESK, "technician")
    page.goto("/points/")
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.keyboard.press("Enter")
    _tab_to(page, "SKB 12")
    page.keyboard.press("Enter")
    page.wait_for_url("**/points/SKB/12/")
    _tab_to(page, "Inspect")
    page.keyboard.press("Enter")
    page.wait_for_selector("form[data-ready=yes]")
    _tab_to(page, name="r-switch_opening-toe--left_closed")
    page.keyboard.type("121")
    expect(page.locator("output:visible")).to_contain_text("out of limits: too ")
    # Enter in a box saves the visit, as in any form.
    page.keyboard.press("Enter")
    page.wait_for_url("**/visits/*/")
    expect(page.locator("main")).to_contain_text("1 reading out of limits")


def _tab_to(page, words: str = "", name: str = "") -> None:
    """Presses Tab until what has the focus is that; its outline must show."""
    for _ in range(150):
        page.keyboard.press("Tab")
        here = page.evaluate(
            """() => {
                const at = document.activeElement, style = getComputedStyle(at);
                const box = at.getBoundingClientRect();
                return { words: at.textContent.trim(), name: at.name ?? "",
                         outline: parseFloat(style.outlineWidth),
                         seen: box.bottom > 0 && box.top < innerHeight };
            }"""
        )
        assert here["outline"] >= 2, here
        assert here["seen"], here
        if (name and here["name"] == name) or (words and here["words"] == words):
            return
    raise AssertionError(f"the keyboard does not reach {words or name}")
