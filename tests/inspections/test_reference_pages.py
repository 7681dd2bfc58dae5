"""Instruments, the page of inspections due, and seasons."""

from datetime import date, timedelta
from html import unescape

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Instrument, Season
from tests import builders, pages

pytestmark = pytest.mark.django_db


def page_of(response) -> str:
    return unescape(pages.shown(response))


def test_an_instrument_is_entered_changed_and_shown_past_its_check(as_technician):
    new = reverse("inspections:instrument_new")
    yesterday = timezone.localdate() - timedelta(days=1)
    as_technician.post(new, {"tag": " RULE  1 ", "kind": "rule", "check_due": yesterday})
    instrument = Instrument.objects.get()
    assert instrument.tag == "RULE 1"
    listing = reverse("inspections:instruments")
    assert "check overdue" in page_of(as_technician.get(listing))
    edit = reverse("inspections:instrument_edit", args=[instrument.pk])
    as_technician.post(edit, {"tag": "RULE 1", "kind": "rule", "check_due": ""})
    assert "not known" in page_of(as_technician.get(listing))


def test_two_instruments_with_one_tag_are_refused(as_technician):
    builders.make_instrument("RULE-1")
    new = reverse("inspections:instrument_new")
    page = page_of(as_technician.post(new, {"tag": "RULE-1", "kind": "rule"}))
    assert "already exists" in page


def test_a_viewer_sees_instruments_and_cannot_change_them(client, viewer):
    client.force_login(viewer)
    instrument = builders.make_instrument()
    assert "RULE-1" in page_of(client.get(reverse("inspections:instruments")))
    edit = reverse("inspections:instrument_edit", args=[instrument.pk])
    assert client.post(edit, {"tag": "X", "kind": "rule"}).status_code == 403


def test_the_page_of_what_is_due_names_points_and_how_they_stand(as_technician):
    points = builders.make_rigged_points("12")
    page = page_of(as_technician.get(reverse("inspections:due")))
    assert "never inspected" in page
    assert reverse("inspections:inspect", args=["SKB", points.number]) in page


def test_the_page_of_what_is_due_takes_the_same_queries_for_many_points(
    as_technician, django_assert_max_num_queries
):
    for _ in range(8):
        builders.make_rigged_points()
    with django_assert_max_num_queries(7):
        as_technician.get(reverse("inspections:due"))


def test_the_engineer_enters_a_season_and_a_backward_one_is_refused(as_engineer):
    new = reverse("inspections:season_new")
    season = {"name": "2027", "first_use": "2027-03-27", "last_use": "2027-03-26"}
    assert "cannot end before it begins" in page_of(as_engineer.post(new, season))
    as_engineer.post(new, season | {"last_use": "2027-10-30"})
    stored = Season.objects.get()
    assert stored.last_use == date(2027, 10, 30)
    edit = reverse("inspections:season_edit", args=[stored.pk])
    as_engineer.post(edit, season | {"last_use": "2027-10-31"})
    stored.refresh_from_db()
    assert stored.last_use == date(2027, 10, 31)


@pytest.mark.parametrize("who", ["technician", "ganger", "viewer"])
def test_others_cannot_change_the_seasons(client, request, who):
    client.force_login(request.getfixturevalue(who))
    assert client.get(reverse("inspections:season_new")).status_code == 403
