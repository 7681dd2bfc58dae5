"""Guide, login and the pages that say what went wrong."""

import html
import re

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from assets.engineering.assumed import NOTHING_CONFIRMED
from assets.engineering.suitability import FITTING_RULES, MACHINE_RULES, RULES, Outcome
from assets.engineering.words import Generation
from inspections.catalogue.looks import ITEMS
from inspections.catalogue.quantities import QUANTITIES

pytestmark = pytest.mark.django_db


def test_the_guide_says_how_every_quantity_is_measured_and_every_thing_examined(as_technician):
    page = as_technician.get(reverse("guide")).content.decode()
    for entry in [*QUANTITIES.values(), *ITEMS.values()]:
        assert entry.how in page


def test_the_guide_cautions_that_points_move_and_that_nothing_is_declared_fit(as_technician):
    page = as_technician.get(reverse("guide")).content.decode()
    assert "Points can move without warning" in page
    assert "never declares points fit for traffic" in page


def test_rules_of_thumb_without_a_source_say_so(as_technician):
    page = as_technician.get(reverse("guide")).content.decode()
    assert "CP is common practice in the trade: no published source was found for it." in page
    assert page.count('<abbr title="common practice, no source">CP</abbr>') == 9


def test_the_guide_says_of_every_rule_when_it_gives_which_answer(as_technician):
    page = html.unescape(as_technician.get(reverse("guide")).content.decode())
    tables = [*(rule.truth for rule in RULES)]
    tables += [rule.truth for rule in (*MACHINE_RULES.values(), *FITTING_RULES.values())]
    told = [NOTHING_CONFIRMED.filled(truth.of(one)) for truth in tables for one in Outcome]
    said = [words for words in told if words]
    assert [words for words in said if words not in page] == []
    assert page.count("<summary>") == len(tables)


def test_no_colour_is_said_to_be_adjustable_or_fixed(as_technician):
    """Abstract of NR/SIN/126: fixed full-depth bars are known as black or yellow."""
    page = as_technician.get(reverse("guide")).content.decode()
    assert "The colour does not tell whether a stretcher is adjustable" in page
    for word in Generation:
        assert "adjustable" not in word.label
        assert "fixed" not in word.label


FIRST_HOURS = ("Technician", "Ganger", "Responsible engineer", "Volunteer with a spreadsheet")


def test_the_guide_has_a_first_hour_for_each_post_whose_steps_lead_to_pages(client, engineer):
    client.force_login(engineer)
    page = client.get(reverse("guide")).content.decode()
    hours = page[page.index('id="first-hour"') : page.index('id="rules"')]
    assert re.findall("<h3[^>]*>(.*?)</h3>", hours) == list(FIRST_HOURS)
    assert [hour.count("<li>") for hour in hours.split("<h3")[1:]] == [5, 5, 5, 5]
    addresses = {address.partition("#")[0] for address in re.findall('href="(.*?)"', hours)}
    assert len(addresses) >= 10
    for address in addresses:
        assert client.get(address).status_code == 200, address


def test_logging_in_leads_to_the_page_that_was_asked_for(client, technician):
    first = client.get(reverse("guide"))
    assert first.url == f"{reverse('login')}?next={reverse('guide')}"
    sent = {"username": "technician", "password": "points-and-rods-7", "next": reverse("guide")}
    assert client.post(reverse("login"), sent).url == reverse("guide")


def test_a_wrong_password_is_said_above_the_form(client, technician):
    sent = {"username": "technician", "password": "no", "next": ""}
    page = client.post(reverse("login"), sent).content.decode()
    assert 'role="alert"' in page
    assert "correct username and password" in page


def test_too_many_wrong_passwords_shut_the_name_for_a_while(client, technician, settings):
    settings.AXES_FAILURE_LIMIT = 2
    sent = {"username": "technician", "password": "no", "next": ""}
    client.post(reverse("login"), sent)
    answer = client.post(reverse("login"), sent)
    assert answer.status_code == 429
    assert "Too many tries" in answer.content.decode()


def test_a_password_can_be_changed(as_technician, technician):
    sent = {
        "old_password": "points-and-rods-7",
        "new_password1": "kickers-and-shoes-9",
        "new_password2": "kickers-and-shoes-9",
    }
    answer = as_technician.post(reverse("password_change"), sent, follow=True)
    assert "Password changed" in answer.content.decode()
    technician.refresh_from_db()
    assert technician.check_password("kickers-and-shoes-9")


def test_a_weak_new_password_is_refused_beside_its_box(as_technician):
    sent = {"old_password": "points-and-rods-7", "new_password1": "short", "new_password2": "short"}
    page = as_technician.post(reverse("password_change"), sent).content.decode()
    assert "at least 10 characters" in page


def test_an_account_without_a_post_is_told_who_gives_posts(client, outsider):
    client.force_login(outsider)
    answer = client.get(reverse("home"))
    assert answer.status_code == 403
    assert "ask your railway" in answer.content.decode()


def test_an_unknown_address_leads_to_the_lists(as_technician):
    answer = as_technician.get("/guide/")
    assert answer.status_code == 200
    page = render_to_string("404.html", {"request_path": "/nowhere/", "exception": "Resolver404"})
    assert "There is no page at /nowhere/" in page
    assert reverse("assets:points_list") in page


@pytest.mark.parametrize("name", ["400.html", "500.html"])
def test_the_pages_for_failures_need_nothing_to_be_drawn(name):
    """They are drawn when the program has failed: without a request, a user or the database."""
    assert "saved" in render_to_string(name)


def test_a_form_sent_from_a_stale_page_is_explained(technician):
    from django.test import Client

    client = Client(enforce_csrf_checks=True)
    answer = client.post(reverse("login"), {"username": "technician", "password": "x"})
    assert answer.status_code == 403
    assert "Nothing was saved" in answer.content.decode()
