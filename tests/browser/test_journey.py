"""The whole loop by two people: suit, fit, inspect, raise, mend, return, measure again, close."""

from datetime import timedelta

from django.utils import timezone
from playwright.sync_api import expect

KICKER_RIGHT = "r-kicker_clearance-{position}-right-"


def inspect(page, field: str, value: str, at=None) -> None:
    """One reading at SKB 12, from its page."""
    page.goto("/points/SKB/12/")
    page.get_by_role("link", name="Inspect", exact=True).click()
    if at is not None:
        page.locator("[name=at]").fill(f"{at:%Y-%m-%dT%H:%M}")
    page.locator(f"[name='{field}']").fill(value)
    page.get_by_role("button", name="Save the visit").click()
    expect(page.locator(".messages")).to_contain_text("The visit to SKB 12 on")


def test_a_fault_goes_from_one_department_to_the_other_and_back_to_a_proven_close(
    demo_railway, person
):
    from assets.models import Points, Stretcher
    from defects.models import Defect

    technician, ganger = person("technician"), person("ganger")

    # At the bench: find the points, ask what suits the second position, fit that spare.
    technician.get_by_role("link", name="Points", exact=True).click()
    technician.get_by_role("link", name="SKB 12", exact=True).click()
    place = technician.get_by_role("row", name="2 · Second stretcher")
    place.get_by_role("link", name="What suits here?").click()
    best = technician.locator("article.offer").first
    expect(best).to_contain_text("ST-014")
    expect(best.locator(".verdict").first).to_have_text("suits")
    technician.get_by_role("link", name="Fit ST-014 here").click()
    technician.get_by_role("button", name="Record as fitted").click()
    expect(technician.locator(".messages")).to_contain_text(
        "ST-014 is recorded as fitted at SKB 12, second stretcher"
    )
    assert str(Stretcher.objects.get(tag="ST-014").current_fitting().position.order) == "2"

    # On the ground: a kicker too close to the rail foot is for the P-way to cure.
    points = Points.objects.by_key("SKB 12")
    field = KICKER_RIGHT.format(position=points.positions.get(order=1).pk)
    inspect(technician, field, "2", at=timezone.localtime() - timedelta(hours=2))
    expect(technician.locator("main")).to_contain_text("1 reading out of limits")
    technician.get_by_role("link", name="Raise what was found").click()
    expect(technician.locator("[name$=-mends]")).to_have_value("permanent_way")
    technician.get_by_role("button", name="Save these decisions").click()
    defect = Defect.objects.order_by("-number").first()
    assert (defect.owner, defect.checks) == ("permanent_way", "signalling")
    assert defect.title.startswith("Kicker clearance 2 mm at the first stretcher")

    # The ganger sees it in the list, accepts it, mends it and gives it back to be checked.
    ganger.goto("/defects/queue/permanent_way/")
    ganger.get_by_role("link", name=f"{defect.number} ·").click()
    ganger.get_by_role("button", name="Accept").click()
    ganger.get_by_label("What was done").fill("Timbers lifted and packed at the first stretcher.")
    ganger.get_by_role("button", name="Record the work").click()
    expect(ganger.locator("main")).to_contain_text("work done")
    defect.refresh_from_db()
    assert (defect.state, defect.owner) == ("work_done", "signalling")

    # Signalling may not close it on the word of another: it measures again.
    technician.goto(f"/defects/{defect.number}/")
    expect(technician.locator("main")).to_contain_text("kicker clearance")
    inspect(technician, field, "4.5")
    technician.goto(f"/defects/{defect.number}/")
    technician.get_by_label("Kicker clearance 4.5 mm at the first stretcher").check()
    technician.get_by_role("button", name="Close").click()
    expect(technician.locator("main")).to_contain_text("closed")
    defect.refresh_from_db()
    closing = defect.events.get(move="close")
    assert defect.state == "closed"
    assert closing.reading.value == 4.5
    assert closing.by == "Lineman A"
    assert [event.move for event in defect.events.in_time()] == [
        "raise",
        "accept",
        "work_done",
        "close",
    ]
