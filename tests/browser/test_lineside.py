"""At the lineside: the inspection form on a phone, without signal, through restarts and log-ins."""

import re
from io import BytesIO

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import expect

from assets.fitting import fit, take_out
from assets.models import Points
from inspections.models import Examination, Inspection, Reading
from inspections.verdicts.finding import Bound, QuantityLimits, judge
from inspections.words import Level
from tests import builders
from tests.browser.conftest import CHROMIUM, PHONE
from tests.pictures import GPS, make_picture

pytestmark = pytest.mark.django_db(transaction=True)

PICTURE = {
    "name": "rod.jpg",
    "mimeType": "image/jpeg",
    "buffer": make_picture(1200, 900, with_place=True),
}


@pytest.fixture
def points():
    builders.set_limit("fwc", minimum=50)
    return builders.make_rigged_points("12")


def fwc(points, order: int = 1, lie: str = "left_closed") -> str:
    return f'[name="r-fwc-{points.positions.get(order=order).pk}--{lie}"]'


def look_of(points, item: str = "fixings", order: int = 1) -> str:
    return f"e-{item}-{points.positions.get(order=order).pk}"


def open_form(page, number: str = "12"):
    page.goto(f"/points/SKB/{number}/inspect/")
    page.wait_for_selector("form[data-ready=yes]")


def verdict_beside(page, box: str):
    return page.locator(".box", has=page.locator(box)).locator("output")


def until_kept(page):
    expect(page.locator("#kept-said")).to_contain_text("Saved on this phone")


def open_note(page, look: str):
    page.locator(".look", has=page.locator(f'[name="{look}"]')).locator("summary").first.click()


def find_defective(page, points, picture=None, item: str = "fixings"):
    look = look_of(points, item)
    page.check(f'[name="{look}"][value=defective]')
    if picture:
        open_note(page, look)
        page.set_input_files(f'[name="p{look[1:]}"]', picture)
        expect(page.locator(".look .shot img")).to_be_visible()


def ready_for_no_signal(page):
    page.evaluate("navigator.serviceWorker.ready")
    page.wait_for_function("navigator.serviceWorker.controller !== null")


def take_along(page, *numbers: str):
    page.goto("/take/?" + "&".join(f"points=SKB+{number}" for number in numbers))
    ready_for_no_signal(page)
    page.get_by_role("button", name="Save the ticked points to this phone").click()
    expect(page.locator("#take-said")).to_contain_text(
        "on this phone, with the limits now in force", timeout=15_000
    )


# With signal


def test_the_verdict_shows_in_words_while_typing_with_its_limit(phone, points):
    open_form(phone)
    box = fwc(points)
    shown = verdict_beside(phone, box)
    expect(shown).to_be_hidden()
    for typed, words, kind in [
        ("49.9", "out of limits: too small by 0.1 mm · limit not confirmed", "intervention"),
        ("50", "within limits · limit not confirmed", "within"),
        ("1 31/32 in", "within limits · limit not confirmed", "within"),  # 50.006 mm
        (
            "1 15/16 in",
            "out of limits: too small by 0.788 mm · limit not confirmed",
            "intervention",
        ),
        ("900", "cannot be right: 0 to 250 mm", "alert"),
        ("fifty", '"fifty" is not a length: write one figure, like 52.5 mm or 4 1/4 in.', "alert"),
        ("52,5", '"52,5" has a comma: write a decimal point, and no thousands.', "alert"),
    ]:
        phone.fill(box, typed)
        expect(shown).to_have_text(words)
        expect(shown).to_have_class(f"verdict {kind}")
    expect(phone.locator("#progress")).to_contain_text("1 of")
    phone.fill(box, "")
    expect(shown).to_be_hidden()
    expect(phone.locator("#progress")).to_contain_text("0 of")


VALUES = [39.9, 40, 44.9, 45, 49.9, 50, 60, 60.1]


def test_the_phone_judges_as_the_server_does(phone):
    phone.goto("/queue/")
    limits = QuantityLimits(
        alert=Bound(Level.ALERT, minimum=50, maximum=60),
        intervention=Bound(Level.INTERVENTION, minimum=45),
        immediate=Bound(Level.IMMEDIATE, minimum=40),
    )
    here = [
        {"verdict": b.level.value, "least": b.minimum, "most": b.maximum} for b in limits.levels
    ]
    there = phone.evaluate(
        """async ([values, limits]) => {
            const { judge } = await import("/static/inspections/figures.js");
            return values.map((value) => judge(value, limits).verdict);
        }""",
        [VALUES, here],
    )
    assert there == [judge(value, limits).verdict.value for value in VALUES]


def test_what_was_typed_is_there_again_after_a_reload_and_after_going_back(phone, points):
    open_form(phone)
    phone.fill(fwc(points), "47.5")
    phone.select_option('[name="reason"]', "joint_visit")
    find_defective(phone, points, PICTURE)
    until_kept(phone)
    phone.reload()
    expect(phone.locator("#restored")).to_be_visible()
    expect(phone.locator(fwc(points))).to_have_value("47.5")
    expect(phone.locator(".look .shot img")).to_be_visible()
    phone.goto("/points/")
    phone.go_back()
    expect(phone.locator(fwc(points))).to_have_value("47.5")
    expect(phone.locator('[name="reason"]')).to_have_value("joint_visit")
    phone.get_by_role("button", name="Save the visit").click()
    phone.wait_for_url("**/visits/*/")
    visit = Inspection.objects.get()
    assert (visit.reason, visit.readings.get().value) == ("joint_visit", 47.5)
    assert visit.examinations.get().photos.count() == 1
    open_form(phone)
    expect(phone.locator("#restored")).to_be_hidden()


def test_a_photograph_leaves_the_phone_without_its_place(phone, points):
    open_form(phone)
    find_defective(phone, points, PICTURE)
    sent = phone.evaluate(
        """async () => {
            const store = await import("/static/inspections/store.js");
            const [draft] = await store.all("drafts");
            return [...new Uint8Array(await draft.photos[0].blob.arrayBuffer())];
        }"""
    )
    picture = Image.open(BytesIO(bytes(sent)))
    assert picture.size == (1200, 900)
    assert not picture.getexif().get_ifd(GPS)


def test_what_is_refused_is_said_beside_the_box_and_stays_typed(phone, points):
    open_form(phone)
    phone.fill(fwc(points), "900")
    phone.get_by_role("button", name="Save the visit").click()
    summary = phone.locator("#refused")
    expect(summary).to_contain_text("Not saved yet")
    expect(summary.get_by_role("link")).to_contain_text("First stretcher: Left closed: 900 mm")
    expect(phone.locator(".box.wrong")).to_contain_text("cannot be right")
    expect(phone.locator(fwc(points))).to_have_value("900")
    phone.fill(fwc(points), "52")
    phone.get_by_role("button", name="Save the visit").click()
    phone.wait_for_url("**/visits/*/")
    assert Reading.objects.get().verdict == "within"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("900", "900 mm cannot be right: 0 to 250 mm. Measure again"),
        ("52,5", '"52,5" has a comma: write a decimal point'),
    ],
)
def test_a_slip_is_stopped_in_its_box_without_signal(phone, points, typed, said):
    take_along(phone, "12")
    open_form(phone)
    phone.context.set_offline(True)
    phone.fill(fwc(points), typed)
    phone.get_by_role("button", name="Save the visit").click()
    expect(phone.locator(".box.wrong")).to_contain_text(said)
    expect(phone.locator(fwc(points))).to_be_focused()
    assert (
        phone.evaluate(
            """async () => (await import("/static/inspections/store.js")).all("queue")"""
        )
        == []
    )


def test_a_rod_changed_since_the_form_was_opened_is_said_before_saving(phone, points):
    open_form(phone)
    phone.fill(fwc(points), "52")
    swap(points)
    phone.get_by_role("button", name="Save the visit").click()
    expect(phone.locator("#refused")).to_contain_text("What is fitted has changed")
    assert not Inspection.objects.exists()
    phone.get_by_role("button", name="Save the visit").click()
    phone.wait_for_url("**/visits/*/")
    assert Reading.objects.get().stretcher.tag == "ST-099"


def swap(points, order: int = 1):
    place = points.positions.get(order=order)
    old, today = place.fittings.current().get(), timezone.localdate()
    take_out(old, on=today, by="Lineman B", reason="cracked")
    fit(builders.make_stretcher("ST-099"), place, on=today, by="Lineman B")


# Without signal


def test_three_sets_inspected_without_signal_through_a_restart_arrive_once(
    playwright, live_server, log_in, tmp_path, points
):
    for number in ("14", "16"):
        builders.make_rigged_points(number)
    sets = {number: builders.Points.objects.get(number=number) for number in ("12", "14", "16")}

    def start():
        return playwright.chromium.launch_persistent_context(
            tmp_path / "profile",
            executable_path=CHROMIUM,
            args=["--no-sandbox"],
            viewport=PHONE,
            base_url=live_server.url,
        )

    context = start()
    log_in(context, "technician")
    page = context.pages[0]
    take_along(page, "12", "14", "16")
    context.set_offline(True)
    for value, (number, at) in zip((46, 55, 61), sets.items(), strict=True):
        page.goto(f"/points/SKB/{number}/")
        expect(page.locator("h1")).to_contain_text(f"SKB {number} points")
        page.get_by_role("link", name="Inspect", exact=True).click()
        page.wait_for_selector("form[data-ready=yes]")
        page.fill(fwc(at), str(value))
        expect(verdict_beside(page, fwc(at))).to_contain_text(
            "out of limits" if value < 50 else "within limits"
        )
        if number != "16":
            find_defective(page, at, PICTURE)
        page.get_by_role("button", name="Save the visit").click()
        page.wait_for_url("**/queue/")
        expect(page.locator("#queue .verdict").first).to_have_text("waiting for signal")
    expect(page.locator("#queue > li")).to_have_count(3)
    page.goto("/parts/stretcher/")  # was not taken along
    expect(page.locator("#not-here")).to_be_visible()
    assert not Inspection.objects.exists()
    context.close()

    context = start()  # with signal, and the session still stands
    page = context.pages[0]
    page.goto("/queue/")
    for number in sets:
        expect(page.locator("#said")).to_contain_text(f"SKB {number} is recorded")
    expect(page.locator("#queue > li")).to_have_count(0)
    expect(page.locator("#waits")).to_be_hidden()
    found = {
        visit.points.number: (visit.readings.get().value, visit.readings.get().verdict)
        for visit in Inspection.objects.select_related("points")
    }
    assert found == {
        "12": (46, "intervention"),
        "14": (55, "within"),
        "16": (61, "within"),
    }
    assert Inspection.objects.count() == 3
    assert [look.photos.count() for look in Examination.objects.all()] == [1, 1]
    context.close()


def test_the_kept_plan_shows_the_lie_that_is_asked_for(phone, points):
    place = points.positions.get(order=1)
    readings = [
        ("fwc", place, 61, {"lie": "left_closed"}),
        ("fwc", place, 62, {"lie": "right_closed"}),
    ]
    builders.make_visit(points, readings=readings)
    take_along(phone, "12")
    phone.context.set_offline(True)
    phone.goto("/points/SKB/12/")
    for lie, shown, hidden in (
        ("right_closed", "FWC 62 mm", "FWC 61 mm"),
        ("left_closed", "FWC 61 mm", "FWC 62 mm"),
        ("right_closed", "FWC 62 mm", "FWC 61 mm"),
    ):
        phone.locator(f'a[href*="lie={lie}"]').click()
        phone.wait_for_url(f"**/points/SKB/12/?lie={lie}#plan")
        chosen = phone.locator('a[href*="lie="][aria-current="true"]')
        expect(chosen).to_have_attribute("href", f"?lie={lie}#plan")
        expect(phone.locator("main")).to_contain_text(shown)
        expect(phone.locator("main")).not_to_contain_text(hidden)


def test_another_query_than_was_kept_is_not_answered_with_what_was(phone, points):
    take_along(phone, "12")
    phone.context.set_offline(True)
    phone.goto("/limits/?past")
    expect(phone.locator("#not-here")).to_be_visible()
    phone.goto("/limits/")
    expect(phone.locator("h1")).to_have_text("Limits")


def test_the_kept_form_takes_its_reason_from_the_link_that_led_to_it(phone, points):
    take_along(phone, "12")
    phone.context.set_offline(True)
    phone.goto("/points/SKB/12/inspect/?reason=after_work&for=fwc/1/left_closed")
    phone.wait_for_selector("form[data-ready=yes]")
    expect(phone.locator("[name=reason]")).to_have_value("after_work")


def test_with_one_page_of_the_points_the_kept_ones_beside_it_are_renewed(phone, points):
    place = points.positions.get(order=1)
    take_along(phone, "12")
    builders.make_visit(points, readings=[("fwc", place, 62, {"lie": "right_closed"})])
    phone.goto("/points/SKB/12/")
    phone.evaluate(
        """async () => {
            for (let tries = 0; tries < 100; tries++) {
                const kept = await caches.match("/points/SKB/12/?lie=right_closed");
                if ((await kept.text()).includes("FWC 62 mm")) return;
                await new Promise((resolve) => setTimeout(resolve, 100));
            }
        }"""
    )
    phone.context.set_offline(True)
    phone.goto("/points/SKB/12/?lie=right_closed")
    expect(phone.locator("main")).to_contain_text("FWC 62 mm")


def save_without_signal(phone, points, value: str = "46", box: str = ""):
    """Leaves one visit waiting on the phone."""
    take_along(phone, points.number)
    phone.context.set_offline(True)
    open_form(phone, points.number)
    phone.fill(box or fwc(points), value)
    phone.get_by_role("button", name="Save the visit").click()
    phone.wait_for_url("**/queue/")
    expect(phone.locator("#queue > li")).to_have_count(1)


def test_a_session_that_ended_meanwhile_loses_nothing(phone, points, log_in):
    save_without_signal(phone, points)
    phone.context.clear_cookies()
    phone.context.set_offline(False)
    phone.goto("/queue/")
    expect(phone.locator("#said")).to_contain_text("log in first")
    expect(phone.locator("#queue > li")).to_have_count(1)
    assert not Inspection.objects.exists()
    phone.get_by_role("link", name="Log in to send").click()
    phone.fill("#id_username", "technician")
    phone.fill("#id_password", "points-and-rods-7")
    phone.get_by_role("button", name="Log in").click()
    phone.wait_for_url("**/queue/")
    expect(phone.locator("#said")).to_contain_text("SKB 12 is recorded: 1 reading out of limits")
    assert Inspection.objects.count() == 1


def test_a_server_in_trouble_leaves_the_visit_on_the_phone(phone, points):
    save_without_signal(phone, points)
    phone.context.route("**/inspect/send/", lambda route: route.fulfill(status=503, body="busy"))
    phone.context.set_offline(False)
    phone.goto("/queue/")
    expect(phone.locator("#said")).to_contain_text("is not answering properly")
    expect(phone.locator("#queue > li")).to_have_count(1)
    phone.context.unroute("**/inspect/send/")
    phone.get_by_role("button", name="Send now").click()
    expect(phone.locator("#queue > li")).to_have_count(0)
    assert Inspection.objects.count() == 1


def test_an_answer_that_never_came_back_does_not_make_a_second_visit(phone, points):
    save_without_signal(phone, points)

    def lose_the_answer(route):
        route.fetch()
        route.abort()

    phone.context.route("**/inspect/send/", lose_the_answer)
    phone.context.set_offline(False)
    phone.goto("/queue/")
    expect(phone.locator("#said")).to_contain_text("no signal yet")
    assert Inspection.objects.count() == 1
    expect(phone.locator("#queue > li")).to_have_count(1)
    phone.context.unroute("**/inspect/send/")
    phone.get_by_role("button", name="Send now").click()
    expect(phone.locator("#queue > li")).to_have_count(0)
    assert Inspection.objects.count() == 1


def test_an_answer_that_does_not_name_the_visit_is_not_believed(phone, points):
    save_without_signal(phone, points)
    phone.context.route(
        "**/inspect/send/",
        lambda route: route.fulfill(status=201, json={"recorded": "another"}),
    )
    phone.context.set_offline(False)
    phone.goto("/queue/")
    expect(phone.locator("#said")).to_contain_text("Nothing is lost")
    expect(phone.locator("#queue > li")).to_have_count(1)


def test_a_rod_changed_meanwhile_keeps_the_reading_and_asks_a_person(phone, points):
    save_without_signal(phone, points)
    old = points.positions.get(order=1).fittings.current().get().stretcher
    swap(points)
    phone.context.set_offline(False)
    phone.goto("/queue/")
    expect(phone.locator("#said")).to_contain_text("a stretcher was changed in the meantime")
    phone.get_by_role("link", name="Open the visit to SKB 12").click()
    expect(phone.locator(".caution", has_text="Which stretcher was it?")).to_contain_text(
        f"the form was for {old}, ST-099 is recorded there"
    )
    assert Reading.objects.get().stretcher == old


def test_what_the_register_refuses_comes_back_into_the_form(phone, points):
    # The gauge of the points was put right in the register while the visit waited.
    gauge = '[name="r-track_gauge-toe--left_closed"]'
    save_without_signal(phone, points, value="1435", box=gauge)
    Points.objects.update(gauge_mm=1067)
    phone.context.set_offline(False)
    phone.goto("/queue/")
    row = phone.locator("#queue > li")
    expect(row).to_contain_text("1435 mm cannot be right")
    row.get_by_role("button", name="Open and correct").click()
    phone.wait_for_selector("form[data-ready=yes]")
    expect(phone.locator(".box.wrong")).to_contain_text("cannot be right")
    phone.fill(gauge, "1060")
    phone.get_by_role("button", name="Save the visit").click()
    phone.wait_for_url("**/visits/*/")
    assert Reading.objects.get().value == 1060


def test_logging_out_takes_the_pages_off_the_phone_and_leaves_what_waits(phone, points):
    save_without_signal(phone, points)
    assert kept_pages(phone) == [
        "/limits/",
        "/points/SKB/12/",
        "/points/SKB/12/?lie=left_closed",
        "/points/SKB/12/?lie=right_closed",
        "/points/SKB/12/inspect/",
    ]
    phone.context.route("**/inspect/send/", lambda route: route.abort())
    phone.context.set_offline(False)
    phone.goto("/points/")
    phone.get_by_role("button", name="Log out").click()
    phone.wait_for_url("**/login/")
    assert kept_pages(phone) == []
    phone.context.set_offline(True)
    phone.goto("/points/SKB/12/")
    expect(phone.locator("#not-here")).to_be_visible()
    expect(phone.locator("#queue > li")).to_have_count(1)


def kept_pages(page) -> list[str]:
    return page.evaluate(
        """async () => {
            const found = [];
            for (const name of await caches.keys()) {
                if (!name.startsWith("taken-")) continue;
                const requests = await (await caches.open(name)).keys();
                const addresses = requests.map((request) => new URL(request.url));
                found.push(...addresses.map(({ pathname, search }) => pathname + search));
            }
            return found.sort();
        }"""
    )


def test_somebody_else_at_the_phone_sends_it_only_when_asked(phone, points, log_in):
    save_without_signal(phone, points)
    phone.context.clear_cookies()
    log_in(phone.context, "ganger")
    phone.context.set_offline(False)
    phone.goto("/queue/")
    row = phone.locator("#queue > li")
    expect(row).to_contain_text("entered while someone else was logged in")
    assert kept_pages(phone) == []
    assert not Inspection.objects.exists()
    row.get_by_role("button", name="Send it anyway").click()
    expect(phone.locator("#said")).to_contain_text("SKB 12 is recorded")
    visit = Inspection.objects.get()
    assert (visit.by, visit.recorded_by.username) == ("Lineman A", "ganger")


def test_two_forms_of_one_kept_page_are_two_visits(phone, points):
    save_without_signal(phone, points)
    open_form(phone)
    expect(phone.locator("#restored")).to_be_hidden()
    phone.fill(fwc(points), "47")
    phone.get_by_role("button", name="Save the visit").click()
    phone.wait_for_url("**/queue/")
    expect(phone.locator("#queue > li")).to_have_count(2)
    phone.context.set_offline(False)
    phone.goto("/queue/")
    expect(phone.locator("#said")).to_contain_text("is recorded")
    expect(phone.locator("#queue > li")).to_have_count(0)
    assert sorted(Reading.objects.values_list("value", flat=True)) == [46, 47]


# Without scripts


def test_the_form_works_with_scripts_off_photographs_too(browser, live_server, log_in, points):
    context = browser.new_context(
        viewport=PHONE, base_url=live_server.url, java_script_enabled=False
    )
    log_in(context, "technician")
    page = context.new_page()
    page.goto("/points/SKB/12/inspect/")
    expect(page.locator("#progress")).to_have_text(re.compile(r"\d+ readings, \d+ things"))
    page.fill(fwc(points), "46")
    look = look_of(points)
    page.check(f'[name="{look}"][value=defective]')
    open_note(page, look)
    page.set_input_files(f'[name="p{look[1:]}"]', PICTURE)
    page.get_by_role("button", name="Save the visit").click()
    page.wait_for_url("**/visits/*/")
    expect(page.locator("td .verdict.intervention")).to_have_text(
        "out of limits: too small by 4 mm"
    )
    assert Examination.objects.get().photos.count() == 1
    context.close()


def test_a_day_long_ago_is_asked_about_before_it_is_recorded_for_ever(phone, points):
    open_form(phone)
    phone.locator("[name=at]").fill("2019-05-04T10:30")
    phone.locator(fwc(points)).fill("52")
    asked = []

    def answer(dialog, yes: bool):
        asked.append(dialog.message)
        dialog.accept() if yes else dialog.dismiss()

    phone.once("dialog", lambda dialog: answer(dialog, yes=False))
    phone.get_by_role("button", name="Save the visit").click()
    expect(phone.locator("[name=at]")).to_be_focused()
    assert not Inspection.objects.exists()
    phone.once("dialog", lambda dialog: answer(dialog, yes=True))
    phone.get_by_role("button", name="Save the visit").click()
    expect(phone.locator(".messages")).to_contain_text("The visit to SKB 12 on 4 May 2019")
    assert len(asked) == 2
    assert re.match(r"This visit is dated \d{4} days ago\.", asked[0])
