"""Recording points as installed on a phone: how many touches it takes, and that nothing is lost."""

import pytest
from playwright.sync_api import expect

from assets.models import Fitting, LostMotionFitting, Machine, Stretcher
from tests import builders
from tests.browser.conftest import CHROMIUM, PHONE

pytestmark = pytest.mark.django_db(transaction=True)

PAGE = "/points/SKB/12/as-installed/"
MOST_TAPS = 35


class Hand:
    """Touches keys and boxes of the survey and counts the touches; what is typed is not counted."""

    def __init__(self, page):
        self.page, self.taps = page, 0
        page.goto(PAGE)
        page.wait_for_selector("form[data-ready=yes]")

    def key(self, name: str, value: str) -> None:
        self._tap(f'.key:has([name="{name}"][value="{value}"])')

    def write(self, name: str, words: str) -> None:
        self._tap(f'[name="{name}"]')
        self.page.keyboard.type(words)

    def same(self, place: int, as_what: str) -> None:
        self._tap(f'details:has([name="rods-{place}-tag"]) [data-same={as_what}]')

    def record(self) -> None:
        self._tap("button.main")

    def _tap(self, there: str) -> None:
        self.page.locator(there).first.tap()
        self.taps += 1


def touch_three_rods_and_a_machine(hand: Hand) -> None:
    hand.write("rods-0-distance_mm", "200")
    hand.write("rods-0-tag", "ST-100")
    for fact, value in [
        ("generation", "yellow"),
        ("adjustability", "adjustable"),
        ("form", "straight"),
        ("insulation_side", "left"),
        ("insulation_kind", "bush_and_plates"),
        ("left_shoe", "bullhead"),
        ("left_fixings", "full_and_half_nut"),
    ]:
        hand.key(f"rods-0-{fact}", value)
    hand.same(0, "left")
    for fact, value in [("kicker", "false"), ("drive_lug", "none"), ("notches", "cut")]:
        hand.key(f"rods-0-{fact}", value)
    hand.key("rods-0-condition", "good")

    hand.key("rods-1-role", "drive")
    hand.write("rods-1-distance_mm", "950")
    hand.write("rods-1-tag", "ST-101")
    hand.same(1, "before")
    for fact, value in [("kicker", "true"), ("kicker_end", "both")]:
        hand.key(f"rods-1-{fact}", value)
    for fact, value in [("drive_lug", "plain"), ("lug_end", "left"), ("condition", "good")]:
        hand.key(f"rods-1-{fact}", value)

    hand.key("rods-2-role", "back")
    hand.write("rods-2-distance_mm", "3900")
    hand.write("rods-2-tag", "ST-102")
    hand.same(2, "before")
    for fact, value in [("kicker", "false"), ("drive_lug", "none"), ("condition", "worn")]:
        hand.key(f"rods-2-{fact}", value)

    hand.write("machine-tag", "MC-1")
    hand.key("machine-at", "1")
    hand.key("machine-kind", "rodding")
    hand.record()


def test_three_rods_and_a_machine_take_few_touches(phone):
    points = builders.make_points("12")
    hand = Hand(phone)
    touch_three_rods_and_a_machine(hand)
    phone.wait_for_url(f"**{points.get_absolute_url()}")
    print(f"three rods and a machine: {hand.taps} touches")
    assert hand.taps <= MOST_TAPS
    fitted = Fitting.objects.current().filter(stretcher__isnull=False)
    assert {f.position.order: f.part.tag for f in fitted} == {
        0: "ST-100",
        1: "ST-101",
        2: "ST-102",
    }
    lock, drive, back = (Stretcher.objects.get(tag=f"ST-10{n}") for n in range(3))
    for rod in (lock, drive, back):
        assert (rod.generation, rod.adjustability, rod.form) == ("yellow", "adjustable", "straight")
        assert (rod.insulation_side, rod.insulation_kind) == ("left", "bush_and_plates")
        assert rod.left_shoe == rod.right_shoe == "bullhead"
        assert rod.left_fixings == rod.right_fixings == "full_and_half_nut"
        assert (rod.gooseneck_towards, rod.depth, rod.welded) == ("unknown", "unknown", None)
    assert (lock.notches, drive.notches, back.notches) == ("cut", "unknown", "unknown")
    assert (drive.kicker, drive.kicker_end, drive.drive_lug, drive.lug_end) == (
        (True, "both", "plain", "left")
    )
    for rod in (lock, back):
        assert (rod.kicker, rod.kicker_end, rod.drive_lug, rod.lug_end) == (
            (False, "none", "none", "none")
        )
    assert [rod.condition for rod in (lock, drive, back)] == ["good", "good", "worn"]
    machine = Machine.objects.get(tag="MC-1")
    assert (machine.kind, machine.current_fitting().position.order) == ("rodding", 1)


def test_only_what_arises_is_asked(phone):
    builders.make_points("12")
    hand = Hand(phone)
    towards = phone.locator('[data-fact="gooseneck_towards"]').first
    stroke = phone.locator('[data-fact="stroke_mm"]')
    expect(towards).to_be_hidden()
    expect(stroke).to_be_hidden()
    hand.key("rods-0-form", "gooseneck")
    expect(towards).to_be_visible()
    hand.key("rods-0-gooseneck_towards", "heel")
    hand.key("rods-0-form", "straight")
    expect(towards).to_be_hidden()
    hand.key("machine-kind", "motor")
    expect(stroke).to_be_visible()
    hand.key("machine-kind", "unknown")
    expect(stroke).to_be_hidden()
    hand.write("rods-0-tag", "ST-100")
    hand.record()
    phone.wait_for_url("**/points/SKB/12/")
    rod = Stretcher.objects.get()
    assert (rod.form, rod.gooseneck_towards) == ("straight", "unknown")


def test_the_machines_own_facts_without_a_tag_are_asked_about(phone):
    builders.make_points("12")
    hand = Hand(phone)
    hand.key("machine-kind", "motor")
    hand.record()
    expect(phone.locator("#refused")).to_be_focused()
    expect(phone.locator(".field.wrong")).to_contain_text("Give the tag of the machine")
    expect(phone.locator('[name="machine-kind"][value=motor]')).to_be_checked()


def test_a_page_that_is_killed_finds_its_draft_again(
    browser_type, browser_type_launch_args, tmp_path, live_server, log_in
):
    builders.make_points("12")

    def start():
        context = browser_type.launch_persistent_context(
            tmp_path / "phone",
            viewport=PHONE,
            base_url=live_server.url,
            has_touch=True,
            executable_path=CHROMIUM,
            args=browser_type_launch_args["args"],
        )
        context.set_default_timeout(10_000)
        return context

    context = start()
    log_in(context, "technician")
    hand = Hand(context.new_page())
    hand.write("rods-0-tag", "ST-100")
    hand.key("rods-0-generation", "red")
    hand.write("lost_motion-tag", "LM-9")
    expect(hand.page.locator("#kept-said")).to_contain_text("Saved on this phone")
    context.close()

    context = start()
    page = context.new_page()
    page.goto("/queue/")
    expect(page.locator("#drafts")).to_contain_text("SKB 12 as installed")
    hand = Hand(page)
    expect(page.locator("#restored")).to_be_visible()
    expect(page.locator('[name="rods-0-tag"]')).to_have_value("ST-100")
    expect(page.locator('[name="rods-0-generation"][value=red]')).to_be_checked()
    hand.key("lost_motion-at", "0")
    hand.key("lost_motion-kind", "escapement")
    hand.record()
    page.wait_for_url("**/points/SKB/12/")
    assert Stretcher.objects.get().generation == "red"
    assert LostMotionFitting.objects.get().kind == "escapement"
    page.goto(PAGE)
    page.wait_for_selector("form[data-ready=yes]")
    expect(page.locator("#restored")).to_be_hidden()
    context.close()


def test_without_signal_nothing_is_lost_and_it_is_said(phone):
    builders.make_points("12")
    hand = Hand(phone)
    hand.write("rods-0-tag", "ST-100")
    phone.context.set_offline(True)
    hand.record()
    expect(phone.locator("#kept-said")).to_contain_text("Not recorded yet: no signal yet.")
    phone.context.set_offline(False)
    hand.record()
    phone.wait_for_url("**/points/SKB/12/")
    assert Stretcher.objects.get().tag == "ST-100"


def test_what_the_register_says_stands_beside_the_box_until_another_tag_is_typed(phone):
    points = builders.make_points("12")
    position = builders.make_position(points, 1)
    rod = builders.make_stretcher("ST-014", generation="yellow")
    builders.make_fitting(rod, position)
    hand = Hand(phone)
    place = phone.locator('details:has([name="rods-1-tag"])').first
    place.evaluate("(details) => { details.open = true; }")
    says = place.locator('[data-fact="generation"] .says')
    expect(says).to_have_text("register: yellow")
    phone.fill('[name="rods-1-tag"]', "ST-999")
    expect(says).to_be_hidden()
    phone.fill('[name="rods-1-tag"]', "ST-014")
    hand.key("rods-1-generation", "red")
    hand.record()
    expect(phone.locator("#refused")).to_contain_text("the register says otherwise")
    expect(place.locator('[data-fact="generation"]')).to_contain_text(
        "The register says yellow. Look again."
    )
    rod.refresh_from_db()
    assert rod.generation == "yellow"
    hand.record()
    phone.wait_for_url("**/points/SKB/12/")
    rod.refresh_from_db()
    assert rod.generation == "red"
