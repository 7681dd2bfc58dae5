"""Fitting, moving and taking out from their pages: the result, the work, what is left to do."""

from html import unescape

import pytest
from django.urls import reverse

from assets import fitting as service
from assets.engineering.suitability import Outcome
from assets.models import Fitting, Stretcher
from config.suiting.judging import judge
from tests.builders import (
    make_defect,
    make_fitting,
    make_lost_motion_fitting,
    make_machine,
    make_points,
    make_position,
    make_stretcher,
)

pytestmark = pytest.mark.django_db
GIVEN = {"on": "2025-06-01", "by": "Lineman A"}


@pytest.fixture
def points():
    """Two places; the rod at the first is insulated on the right."""
    points = make_points("12", track_circuited=True)
    make_fitting(make_stretcher("ST-001", insulation_side="right"), make_position(points, 1))
    make_position(points, 2, separation_mm=1250)
    return points


def text_of(response) -> str:
    assert response.status_code == 200
    return " ".join(unescape(response.content.decode()).split())


def said(response) -> str:
    [message] = response.context["messages"]
    return str(message)


def fit_at_2(client, **given):
    sent = {"part": "ST-014", **GIVEN, **given}
    return client.post("/points/SKB/12/2/fit/stretcher/", sent, follow=True)


def test_without_a_part_only_the_part_is_asked(as_technician, points):
    make_stretcher("ST-014")
    page = text_of(as_technician.get("/points/SKB/12/2/fit/stretcher/"))
    assert "Show the result" in page
    assert "Record as fitted" not in page


def test_the_result_stands_first_and_a_spare_to_be_turned_is_fitted_in_three_taps(
    as_technician, points
):
    """Fit it, turned, record: the day, the name and the part are there."""
    make_stretcher("ST-014", insulation_side="left", can_be_turned=True)
    page = text_of(as_technician.get("/points/SKB/12/2/suits/"))
    assert "/points/SKB/12/2/fit/stretcher/?part=ST-014" in page
    page = text_of(as_technician.get("/points/SKB/12/2/fit/stretcher/?part=ST-014"))
    assert page.index("turn it end for end") < page.index("Turned end for end")
    assert '<input type="hidden" name="part" value="ST-014"' in page
    told = said(fit_at_2(as_technician, turned="on"))
    assert told.startswith("ST-014 is recorded as fitted at SKB 12, second stretcher: ")
    assert "turn it end for end" not in told
    rod = Stretcher.objects.get(tag="ST-014")
    assert rod.insulation_side == "right"
    assert rod.fittings.get().work_done == "turned end for end"
    assert rod.history.first().history_user.username == "technician"
    assert "turned end for end" in text_of(as_technician.get(rod.get_absolute_url()))


def test_work_left_undone_is_told(as_technician, points):
    make_stretcher("ST-014", insulation_side="left", can_be_turned=True)
    _, left = said(fit_at_2(as_technician)).split("Still to do: ")
    assert "turn it end for end" in left


def test_a_foot_without_its_shoe_is_asked_about(as_technician, points):
    make_stretcher("ST-014")
    page = text_of(fit_at_2(as_technician, left_foot="140"))
    assert "Say for which rail the new shoe is." in page
    assert not Fitting.objects.filter(stretcher__tag="ST-014").exists()


def test_refused_it_is_shown_as_it_was_before_the_work(as_technician, points):
    make_stretcher("ST-014", insulation_side="left", condition="scrap")
    page = text_of(fit_at_2(as_technician, turned="on"))
    assert "ST-014 does not suit SKB 12, second stretcher. Condition: " in page
    assert "insulated: left" in page
    assert Stretcher.objects.get(tag="ST-014").insulation_side == "left"


def test_a_misfit_is_listed_until_the_engineer_agrees(as_technician, points, engineer, client):
    make_stretcher("ST-014", condition="scrap")
    page = text_of(fit_at_2(as_technician, reason="a trial, points secured"))
    assert "It stays marked until the responsible engineer agrees to it." in page
    assert "did not suit when fitted" in page
    assert "Not agreed by the responsible engineer." in page
    fitted = Fitting.objects.against_the_verdict().get()
    agree = reverse("assets:agree", args=[fitted.pk])
    assert agree not in page
    assert as_technician.post(agree, {"words": "x"}).status_code == 403
    assert "ST-014" in text_of(as_technician.get(reverse("assets:against")))
    client.force_login(engineer)
    assert agree in text_of(client.get("/points/SKB/12/"))
    assert "Fill this in." in text_of(client.post(agree, {"words": ""}))
    page = text_of(client.post(agree, {"words": "until the next spare comes"}, follow=True))
    assert "Agreed by Engineer C on" in page
    assert "until the next spare comes" in page
    assert "No part is fitted against the result" in text_of(client.get(reverse("assets:against")))


def test_a_misfit_moved_in_needs_no_other_reason_and_is_marked(as_technician, points):
    fitted = make_fitting(make_stretcher("ST-014", condition="scrap"), make_position(points, 3))
    to = points.positions.get(order=2)
    sent = {**GIVEN, "to": to.pk, "reason": "swapped"}
    page = text_of(as_technician.post(f"/fittings/{fitted.pk}/move/", sent, follow=True))
    assert "ST-014 is recorded as moved to SKB 12, second stretcher: does not suit." in page
    assert "Missing at SKB 12 now: There is no third stretcher." in page
    assert Fitting.objects.against_the_verdict().get().position == to


def test_the_one_that_comes_out_is_put_away_in_the_same_act(as_technician, points):
    make_stretcher("ST-014", insulation_side="right")
    sent = {"part": "ST-014", **GIVEN, "replacing": "cracked", "kept_at": "Shed B",
            "condition": "scrap", "set_aside": "on"}  # fmt: skip
    as_technician.post("/points/SKB/12/1/fit/stretcher/", sent)
    old = Stretcher.objects.get(tag="ST-001")
    assert (old.kept_at, old.condition, old.quarantined) == ("Shed B", "scrap", True)
    assert old.fittings.get().taken_out_reason == "cracked"


def test_taking_out_says_what_is_missing_and_asks_where_it_is_put(as_technician, points):
    fitted = points.positions.get(order=1).fittings.get()
    address = reverse("assets:take_out", args=[fitted.pk])
    page = text_of(as_technician.get(address))
    assert "There is no first stretcher." in page
    assert "No stretcher, not counting the lock stretcher; at least 2 are needed." in page
    assert "Where it is put" in page
    sent = {**GIVEN, "reason": "cracked", "kept_at": "Shed B", "condition": "repair"}
    page = text_of(as_technician.post(address, sent, follow=True))
    assert "ST-001 is recorded as taken out, kept at Shed B." in page
    assert "Missing at SKB 12 now: There is no first stretcher." in page
    rod = Stretcher.objects.get(tag="ST-001")
    assert (rod.kept_at, rod.condition) == ("Shed B", "repair")


def test_a_part_that_is_set_aside_already_is_not_asked(as_technician, points):
    Stretcher.objects.update(quarantined=True)
    fitted = points.positions.get(order=1).fittings.get()
    page = text_of(as_technician.get(reverse("assets:take_out", args=[fitted.pk])))
    assert "Set aside" not in page


def test_a_lost_motion_fitting_asks_only_what_it_is_set_to(as_technician, points):
    make_machine("MC-1")
    make_lost_motion_fitting("LM-1", lost_motion_min_mm=20, lost_motion_max_mm=60)
    page = text_of(as_technician.get("/points/SKB/12/1/fit/lost_motion_fitting/?part=LM-1"))
    assert "Lost motion set to (mm)" in page
    assert "Turned end for end" not in page
    page = text_of(as_technician.get("/points/SKB/12/1/fit/machine/?part=MC-1"))
    assert "Work done to it" not in page


def test_judged_alike_once_and_with_its_defects(points, monkeypatch):
    """The same fact at the same place is asked about once, however many fittings there are."""
    from config.suiting import judging

    asked = []
    real = judging.JUDGES["stretcher"]
    monkeypatch.setitem(
        judging.JUDGES, "stretcher", lambda *facts: asked.append(facts) or real(*facts)
    )
    place = points.positions.get(order=2)
    rods = [make_stretcher(f"ST-2{n}", insulation_side="right") for n in range(3)]
    make_defect(points, part=rods[2], title="Bush cracked")
    judged = judge([Fitting(position=place, stretcher=rod) for rod in rods])
    assert len(asked) == 2
    assert judged[0] == judged[1] != judged[2]


def test_a_reason_of_blanks_is_none():
    """Fitted a stretcher against the verdict by whatever did not come through a form."""
    position = make_position(make_points(), 1)
    fitting = Fitting(stretcher=make_stretcher(), position=position, fitted_reason="  \n ")
    judged = service.Judged(Outcome.DOES_NOT_SUIT, "Condition: Scrap.")
    assert service.without_a_reason(fitting, judged)
    fitting.fitted_reason = "a trial, points secured"
    assert service.without_a_reason(fitting, judged) == ""
