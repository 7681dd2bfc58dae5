"""Who may use what: every address, by every post, for reading and for sending.

The letters are the railway's expectation, written here independently of config.access:
S signalling, P permanent way, E responsible engineer, V viewer; * is anyone at all.
"""

from uuid import UUID

import pytest
from django.urls import NoReverseMatch, reverse

from config.access import ADDRESSES
from config.checks import view_names
from tests import builders

EVERYBODY = "SPEV"
EXPECTED = {
    "login": "*",
    "logout": "*",
    "health": "*",
    "service_worker": "*",
    "password_change": EVERYBODY,
    "password_change_done": EVERYBODY,
    "home": EVERYBODY,
    "guide": EVERYBODY,
    "assets:points_list": EVERYBODY,
    "assets:points": EVERYBODY,
    "assets:plan": EVERYBODY,
    "assets:what_if": EVERYBODY,
    "assets:points_new": "SE",
    "assets:points_edit": "SE",
    "assets:points_as_installed": "SE",
    "assets:position_new": "SE",
    "assets:position_edit": "SE",
    "assets:part_list": EVERYBODY,
    "assets:part": EVERYBODY,
    "assets:part_new": "SE",
    "assets:part_edit": "SE",
    "assets:part_photo": "SPE",
    "assets:photo": EVERYBODY,
    "assets:photo_small": EVERYBODY,
    "assets:photo_take_down": "E",
    "assets:fit": "SE",
    "assets:take_out": "SE",
    "assets:move": "SE",
    "assets:against": EVERYBODY,
    "assets:agree": "E",
    "assets:suits_position": EVERYBODY,
    "assets:suits_part": EVERYBODY,
    "assets:label_sheet": EVERYBODY,
    "assets:points_labels": EVERYBODY,
    "assets:spares_table": EVERYBODY,
    "assets:spares_table_workbook": EVERYBODY,
    "assets:best_use": EVERYBODY,
    "assets:location_list": EVERYBODY,
    "assets:location_new": "SE",
    "assets:location_edit": "SE",
    "inspections:list": EVERYBODY,
    "inspections:inspect": "SPE",
    "inspections:inspection": EVERYBODY,
    "inspections:receive": "SPE",
    "inspections:difference": "SPE",
    "inspections:take": "SPE",
    "inspections:queue": "*",
    "inspections:token": EVERYBODY,
    "inspections:reading_correct": "SPE",
    "inspections:examination_correct": "SPE",
    "inspections:due": EVERYBODY,
    "inspections:season_new": "E",
    "inspections:season_edit": "E",
    "inspections:trends": EVERYBODY,
    "inspections:trend": EVERYBODY,
    "inspections:limits": EVERYBODY,
    "inspections:figures": EVERYBODY,
    "inspections:figure_confirm": "E",
    "inspections:figure_withdraw": "E",
    "inspections:limit_new": "E",
    "inspections:limit_edit": "E",
    "inspections:limit_confirm": "E",
    "inspections:switch": EVERYBODY,
    "inspections:setting_up": EVERYBODY,
    "inspections:instruments": EVERYBODY,
    "inspections:instrument": EVERYBODY,
    "inspections:check_new": "SPE",
    "inspections:check_correct": "SPE",
    "inspections:instrument_new": "SPE",
    "inspections:instrument_edit": "SPE",
    "defects:list": EVERYBODY,
    "defects:queue": EVERYBODY,
    "defects:queue_workbook": EVERYBODY,
    "defects:defect": EVERYBODY,
    "defects:raise": "SPE",
    "defects:move": "SPE",
    "defects:edit": "SPE",
    "defects:photo": "SPE",
    "defects:proposals": "SPE",
    "defects:routes": EVERYBODY,
    "defects:route_edit": "E",
    "defects:register_check": "SPE",
    "defects:handover": EVERYBODY,
    "workbook": EVERYBODY,
    "workbook_save": EVERYBODY,
    "workbook_columns": EVERYBODY,
    "workbook_visit_sheet": EVERYBODY,
    "workbook_load": "SPE",
    "workbook_plan": "SPE",
    "workbook_apply": "SPE",
    "workbook_notes": "SPE",
    "workbook_match": "SPE",
    "workbook_forget_matching": "SPE",
}
METHODS = ["get", "post", "put", "delete"]
VISITORS = {
    "S": "signalling",
    "P": "permanent way",
    "E": "responsible engineer",
    "V": "viewer",
    "-": None,  # an account without a post
}


@pytest.fixture
def addresses(db):
    """A path for each named address, on a small register."""
    position = builders.make_position(builders.make_points("12"), 1)
    fitting = builders.make_fitting(builders.make_stretcher("ST-014"), position)
    reading = builders.make_reading(builders.make_inspection(position.points), position, 46)
    defect = builders.make_defect(reading=reading)
    given = {
        "code": "SKB",
        "number": "12",
        "order": 1,
        "kind": "stretcher",
        "tag": "ST-014",
        "pk": fitting.pk,
        "quantity": "fwc",
        "department": "signalling",
        "move": "accept",
        "found": "fwc.below",
        "name": "register",
        "token": "0" * 22,
    }

    def path_of(name: str) -> str:
        if name.startswith("defects:") and name != "defects:raise":
            given["number"] = defect.number
        else:
            given["number"] = "12"
        for names in _argument_names(name):
            for other in (1, UUID(int=1)):
                try:
                    return reverse(name, kwargs={key: given.get(key, other) for key in names})
                except NoReverseMatch:
                    continue
        raise AssertionError(f"no path for {name}")

    return path_of


def _argument_names(name: str):
    from django.urls import get_resolver

    *namespaces, last = name.split(":")
    resolver = get_resolver()
    for namespace in namespaces:
        resolver = resolver.namespace_dict[namespace][1]
    for possibilities, *_ in resolver.reverse_dict.getlist(last):
        for _path, names in possibilities:
            yield names


def test_every_address_is_expected_and_no_other():
    assert set(EXPECTED) == view_names()
    assert set(EXPECTED) == set(ADDRESSES)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("letter", VISITORS)
def test_each_post_reaches_what_it_may_and_nothing_else(client, addresses, letter, method):
    user = builders.make_user(f"visitor-{method}", VISITORS[letter], "Visitor")
    wrong = []
    for name, letters in EXPECTED.items():
        client.force_login(user)
        response = getattr(client, method)(addresses(name))
        allowed = letters == "*" or letter in letters
        # What a person may do to one defect is decided further in, with a 403 of its own.
        if name in ("defects:move", "defects:edit") and allowed:
            continue
        if (response.status_code != 403) != allowed:
            wrong.append(f"{name}: {response.status_code}")
        if response.status_code >= 500:
            wrong.append(f"{name}: {response.status_code}")
    assert wrong == []


@pytest.mark.parametrize("method", METHODS)
def test_nobody_gets_anywhere_without_logging_in(client, addresses, method):
    for name, letters in EXPECTED.items():
        response = getattr(client, method)(addresses(name))
        if letters != "*":
            assert response.status_code == 302, name
            assert response["Location"].startswith("/login/?next="), name


def test_the_pages_of_reference_data_are_the_engineers(client, db):
    for letter, post in VISITORS.items():
        client.force_login(builders.make_user(f"visitor-{letter}", post))
        found = client.get("/admin/assets/railsection/").status_code
        assert found == (200 if letter == "E" else 403), letter


def test_login_does_not_send_people_to_other_sites(client, technician):
    sent = {"username": "technician", "password": "points-and-rods-7"}
    answer = client.post("/login/?next=https://elsewhere.example/", sent)
    assert answer["Location"] == "/"
