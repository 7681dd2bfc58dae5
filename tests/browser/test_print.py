"""What is printed: on A4, within the margins, on as many sheets as it should take."""

import re

import pytest

from tests.browser.addresses import every_page
from tests.browser.conftest import DESK

A4_MM = (210, 297)
WITHIN_MARGINS = 688  # CSS pixels: 210 mm less twice 14 mm, at 96 to the inch

# Address name to the most sheets that its pages may take with the demo railway.
SHEETS = {
    "assets:points": 5,  # with what is owed after work, and what does not suit as fitted
    "assets:points_labels": 1,
    "assets:label_sheet": 4,
    "inspections:inspection": 4,
    "inspections:setting_up": 1,
    "inspections:due": 1,
    "defects:queue": 3,
    "defects:handover": 1,
    "defects:defect": 2,
}

BEYOND = """(most) => [...document.querySelectorAll("main *")]
    .filter((at) => !at.closest(".sr, .hidden, [hidden]"))
    .filter((at) => !(at instanceof SVGElement) || at instanceof SVGSVGElement)
    .filter((at) => at.getClientRects().length && at.getBoundingClientRect().right > most + 1)
    .map((at) => `${at.tagName}.${at.className}: ${at.textContent.trim().slice(0, 40)}`)"""


@pytest.fixture
def pages(demo_railway):
    return every_page()


def sheets_of(pdf: bytes) -> tuple[int, set[tuple[int, int]]]:
    """How many pages a PDF has, and their sizes in mm."""
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)", pdf)
    sizes = {tuple(round(float(side) / 72 * 25.4) for side in box) for box in boxes}
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)), sizes


def test_every_printed_page_is_a4_within_its_margins_and_wastes_no_sheet(
    pages, browser, live_server, log_in
):
    context = browser.new_context(viewport=DESK, base_url=live_server.url)
    log_in(context, "engineer")
    page = context.new_page()
    found = []
    for name, most in SHEETS.items():
        for address in pages[name]:
            page.set_viewport_size(DESK)
            page.emulate_media(media="print")
            page.goto(address)
            count, sizes = sheets_of(page.pdf(prefer_css_page_size=True, print_background=True))
            if not 1 <= count <= most:
                found.append(f"{address} takes {count} sheets")
            if sizes != {A4_MM}:
                found.append(f"{address} is printed on {sizes} mm")
            if name in ("assets:points_labels", "assets:label_sheet"):
                continue  # labels fill the whole sheet, margins and all
            page.set_viewport_size({"width": WITHIN_MARGINS, "height": 1017})
            found += [f"{address} {beyond}" for beyond in page.evaluate(BEYOND, WITHIN_MARGINS)]
    assert found == []
