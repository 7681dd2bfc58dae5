"""Every page in a browser: accessible, within the width of a phone, light, from one origin."""

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import expect

from config.access import ADDRESSES
from tests.browser.addresses import NOT_PAGES, OF_A_FILE, every_page
from tests.browser.conftest import DESK, PHONE

EVERY_RULE = {"resultTypes": ["violations"]}
CONTRAST = {**EVERY_RULE, "runOnly": {"type": "rule", "values": ["color-contrast"]}}


@pytest.fixture
def pages(demo_railway):
    return every_page()


def browse(browser, live_server, log_in, size, username="engineer"):
    context = browser.new_context(viewport=size, base_url=live_server.url)
    context.set_default_timeout(20_000)
    log_in(context, username)
    return context.new_page()


def test_every_address_is_a_page_that_is_looked_at_or_known_to_be_none(pages):
    assert set(ADDRESSES) - set(pages) == NOT_PAGES | OF_A_FILE


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_no_page_breaks_an_accessibility_rule_or_runs_over_its_width(
    pages, browser, live_server, log_in, size
):
    """axe-core's rules (WCAG 2.2 A and AA and its best practices), light and dark."""
    page = browse(browser, live_server, log_in, size)
    abroad, errors, found = set(), [], []
    page.on("request", lambda request: abroad.add(request.url.split("/", 3)[2]))
    page.on("pageerror", lambda error: errors.append(f"{page.url}: {error}"))
    page.on("console", lambda said: said.type == "error" and errors.append(said.text))
    for address in [address for group in pages.values() for address in group]:
        page.emulate_media(color_scheme="light")
        answer = page.goto(address)
        assert answer.status in (200, 404), address
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        found += _violations(page, "light")
        page.emulate_media(color_scheme="dark")
        found += _violations(page, "dark", CONTRAST)
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > size["width"]:
            found.append(f"{address} is {width} wide")
    assert found == []
    assert abroad == {live_server.url.split("/")[2]}
    # The one page that is not there is said to be so in the console.
    assert [words for words in errors if "404" not in words] == []


def _violations(page, scheme: str, options: dict = EVERY_RULE) -> list[str]:
    # Only what is broken comes back: of a long page, all that is well is megabytes.
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    broken = page.evaluate("(options) => axe.run(options).then((all) => all.violations)", options)
    return [
        f"{page.url} ({scheme}) {rule['id']}: {node['target']} {node.get('failureSummary', '')}"
        for rule in broken
        for node in rule["nodes"][:3]
    ]


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_pages_of_a_file_that_was_sent_break_no_rule_either(
    demo_railway, browser, live_server, log_in, size
):
    page = browse(browser, live_server, log_in, size)
    whole = page.request.get("/workbook/save/").body()
    own = b"Rod number,Paint,Shop\nR1,yellow,old\nR2,red,new\n"
    found = []
    for name, data, matched in [("whole.xlsx", whole, False), ("own.csv", own, True)]:
        page.goto("/workbook/")
        page.set_input_files("[name=file]", {"name": name, "mimeType": "", "buffer": data})
        page.get_by_role("button", name="Show what would change").click()
        page.wait_for_url("**/workbook/file/**")
        if matched:
            page.get_by_role("link", name="Match its columns").click()
            page.wait_for_url("**/match/")
        page.wait_for_load_state("networkidle")
        found += _violations(page, "light")
        page.emulate_media(color_scheme="dark")
        found += _violations(page, "dark", CONTRAST)
        page.emulate_media(color_scheme="light")
        width = page.evaluate("document.documentElement.scrollWidth")
        found += [f"{page.url} is {width} wide"] if width > size["width"] else []
    assert found == []


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
