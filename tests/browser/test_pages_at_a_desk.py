"""Every page at a desk, in dark colours: no accessibility rule is broken, none is too wide."""

from tests.browser.addresses import every_page
from tests.browser.conftest import DESK
from tests.browser.looking import wrong_on_every_page, wrong_on_the_pages_of_a_file


def test_no_page_breaks_an_accessibility_rule_or_runs_over_its_width(
    demo_railway, browser, live_server, log_in
):
    # One page of each kind: what differs between two of a kind does so at every width.
    pages = {name: addresses[:1] for name, addresses in every_page().items()}
    assert wrong_on_every_page(pages, browser, live_server, log_in, DESK, "dark") == []


def test_the_pages_of_a_file_that_was_sent_break_no_rule_either(
    demo_railway, browser, live_server, log_in
):
    assert wrong_on_the_pages_of_a_file(browser, live_server, log_in, DESK) == []
