"""What every page is looked at for, at one width: accessible, within it, from one origin.

The two widths stand in files of their own, so that two processors share them.
"""

from axe_playwright_python.base import AXE_SCRIPT

EVERY_RULE = {"resultTypes": ["violations"]}
CONTRAST = {**EVERY_RULE, "runOnly": {"type": "rule", "values": ["color-contrast"]}}


def browse(browser, live_server, log_in, size, username="engineer"):
    context = browser.new_context(viewport=size, base_url=live_server.url)
    context.set_default_timeout(20_000)
    log_in(context, username)
    return context.new_page()


def wrong_on_every_page(pages, browser, live_server, log_in, size, scheme: str) -> list[str]:
    """axe-core's rules (WCAG 2.2 A and AA and its best practices); pages that run over the width;
    what was asked of another origin; errors of scripts. Colours are the same at every width, so
    that each width looks at one ``scheme`` of them, light or dark."""
    page = browse(browser, live_server, log_in, size)
    abroad, errors, found = set(), [], []
    page.on("request", lambda request: abroad.add(request.url.split("/", 3)[2]))
    page.on("pageerror", lambda error: errors.append(f"{page.url}: {error}"))
    page.on("console", lambda said: said.type == "error" and errors.append(said.text))
    for address in [address for group in pages.values() for address in group]:
        page.emulate_media(color_scheme=scheme)
        answer = page.goto(address)
        found += [] if answer.status in (200, 404) else [f"{address} answers {answer.status}"]
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        found += violations(page, scheme)
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > size["width"]:
            found.append(f"{address} is {width} wide")
    found += [f"{host} was asked" for host in abroad - {live_server.url.split("/")[2]}]
    # The one page that is not there is said to be so in the console.
    return found + [words for words in errors if "404" not in words]


def wrong_on_the_pages_of_a_file(browser, live_server, log_in, size) -> list[str]:
    """The same of the plan of a workbook and of matching the columns of a spreadsheet."""
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
        found += violations(page, "light")
        page.emulate_media(color_scheme="dark")
        found += violations(page, "dark", CONTRAST)
        page.emulate_media(color_scheme="light")
        width = page.evaluate("document.documentElement.scrollWidth")
        found += [f"{page.url} is {width} wide"] if width > size["width"] else []
    return found


def violations(page, scheme: str, options: dict = EVERY_RULE) -> list[str]:
    # Only what is broken comes back: of a long page, all that is well is megabytes.
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    broken = page.evaluate("(options) => axe.run(options).then((all) => all.violations)", options)
    return [
        f"{page.url} ({scheme}) {rule['id']}: {node['target']} {node.get('failureSummary', '')}"
        for rule in broken
        for node in rule["nodes"][:3]
    ]
