"""No control character reaches the register, whichever way a text comes."""

import uuid

import pytest
from django import forms
from django.apps import apps
from django.db import models
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from assets.models import Location, Machine, Matching, Points, Stretcher
from assets.models.fields import LongText, PlainData, Text
from assets.plain_text import PlainText
from assets.workbook.texts import LONGEST_TEXT, fits_a_cell, plain
from defects.models import Defect
from inspections.models import Inspection
from tests import builders, workbooks

NASTY = "Lock\x00 rod\x0bbent\x0c,\x1f worn\x7f\x85and\ud800\ufffe\uffff dirty\r\nat\tthe end\r."
PLAIN = "Lock rod\nbent\n, worn\nand dirty\nat\tthe end\n."
SENT = NASTY.replace("\ud800", "")  # no browser sends half a character
OWN = ("assets", "inspections", "defects")


@given(st.text())
def test_plain_text_has_only_what_a_workbook_and_a_database_hold(text):
    clean = plain(text)
    assert plain(clean) == clean
    assert all(sign in "\t\n" or sign.isprintable() or ord(sign) > 0x9F for sign in clean)
    clean.encode("utf-8")  # no half characters


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        (NASTY, PLAIN),
        ("", ""),
        ("\x01", ""),
        ("52½ mm – Ω 🚂\u2028", "52½ mm – Ω 🚂\u2028"),
        ("a\r\n\r\nb", "a\n\nb"),
    ],
)
def test_control_characters_go_and_everything_else_stays(text, kept):
    assert plain(text) == kept


@pytest.mark.parametrize(
    ("text", "fits"),
    [("x" * LONGEST_TEXT, True), ("x" * (LONGEST_TEXT + 1), False), ("🚂" * 16_384, False)],
)
def test_a_text_fits_a_cell_by_the_units_that_a_cell_counts(text, fits):
    """A locomotive is two units of UTF-16."""
    assert fits_a_cell(text) is fits


def own_models():
    """The tables of the three apps with their histories."""
    return [model for model in apps.get_models() if model._meta.app_label in OWN]


def test_every_text_of_the_register_is_kept_by_a_field_that_keeps_it_plain():
    looked_at = 0
    for model in own_models():
        for field in model._meta.concrete_fields:
            if field.name.startswith("history_") or isinstance(field, models.FileField):
                continue
            if isinstance(field, models.CharField | models.TextField):
                assert isinstance(field, Text | LongText), field
                looked_at += 1
            if isinstance(field, models.JSONField):
                assert isinstance(field, PlainData), field
    assert looked_at > 100


def forms_of(base=forms.BaseForm):
    for form in base.__subclasses__():
        yield form
        yield from forms_of(form)


def test_every_box_for_text_in_every_form_of_the_three_apps_keeps_it_plain():
    import inspections.forms.correction
    import inspections.forms.limit
    import inspections.forms.visit  # noqa: F401

    looked_at = 0
    for form in forms_of():
        if form.__module__.split(".")[0] in OWN:
            for name, field in form.base_fields.items():
                if type(field) is forms.CharField:
                    raise AssertionError(f"{form.__name__}.{name}")
                looked_at += isinstance(field, PlainText)
    assert looked_at > 30


@pytest.mark.django_db
def test_every_way_of_writing_keeps_it_plain():
    saved = Stretcher.objects.create(tag="ST-1", note=NASTY)
    assert saved.note == PLAIN  # what is at hand is what was kept
    (many,) = Machine.objects.bulk_create([Machine(tag="MC-1", note=NASTY)])
    changed = Machine.objects.create(tag="MC-2")
    Machine.objects.filter(pk=changed.pk).update(note=NASTY)
    at_once = Machine.objects.create(tag="MC-3")
    at_once.note = NASTY
    Machine.objects.bulk_update([at_once], ["note"])
    for part in (saved, many, changed, at_once):
        part.refresh_from_db()
        assert part.note == PLAIN
    assert saved.history.get().note == PLAIN
    assert Stretcher.objects.filter(note=NASTY).exists()  # looked for as it is kept


@pytest.mark.django_db
def test_kept_layouts_hold_no_control_characters():
    layout = {"grid": "a\x00b", "sources": [{"words": {"\x0bx": "y\x01"}}], "rows": 2}
    from django.utils import timezone

    Matching.objects.create(name="ours", layout=layout, made_at=timezone.now())
    kept = Matching.objects.get().layout
    assert kept == {"grid": "ab", "sources": [{"words": {"\nx": "y"}}], "rows": 2}


@pytest.mark.django_db
def test_forms_take_a_pasted_text_without_what_nobody_sees(as_technician):
    points = builders.make_rigged_points("12")
    answer = as_technician.post(
        f"{reverse('defects:raise')}?points=SKB+12",
        {"title": "Lock\x0brod\x01 bent", "found": "", "urgency": "planned", "mends": "signalling",
         "checks": "signalling", "description": SENT},
    )  # fmt: skip
    assert answer.status_code == 302, answer.context["form"].errors
    defect = Defect.objects.get(points=points)
    assert (defect.title, defect.description) == ("Lock\nrod bent", PLAIN)


@pytest.mark.django_db
def test_a_text_of_nothing_but_control_characters_is_a_blank_one(as_technician):
    address = reverse("assets:part_new", args=["machine"])
    answer = as_technician.post(address, {"tag": "\x01\x0b", "kind": "motor", "condition": "good"})
    assert answer.status_code == 200
    assert answer.context["form"].errors["tag"] == ["Fill this in."]


@pytest.mark.django_db
def test_a_visit_sent_by_a_phone_is_received_without_them(as_technician):
    builders.make_rigged_points("12")
    page = as_technician.get("/points/SKB/12/inspect/")
    form = page.context["form"]
    given = {name: form[name].value() or "" for name in ("at", "reason", "rods")}
    given["at"] = "2026-05-04T12:00"
    look = next(name for name in form.fields if name.startswith("e-"))
    answer = as_technician.post(
        "/points/SKB/12/inspect/send/",
        {
            **given,
            "by": "Line\x00man A\x0b",
            "note": SENT,
            look: "good",
            "queued": "yes",
            "client_id": str(uuid.uuid4()),
        },
    )
    assert answer.status_code == 201, answer.content
    visit = Inspection.objects.get()
    assert (visit.by, visit.note) == ("Lineman A", PLAIN)


@pytest.mark.django_db
def test_a_workbook_is_loaded_without_them_and_once_only():
    rows = {
        "Locations": [["Code", "Name", "Mileage"], ["SKB", "Skel_x000B_beck_x0001_", 0]],
        "Points": [["Location", "Number", "Note"], ["SKB", "1_x0001_2", "one_x000B_two_x001F_"]],
    }
    assert workbooks.refusals(workbooks.load(rows)) == []
    assert Location.objects.get().name in ("Skel beck", "Skel\nbeck")
    points = Points.objects.get()
    assert (points.number, points.note) == ("12", "one\ntwo")
    assert workbooks.totals(workbooks.load(rows)) == (0, 0, 2, 0, 0)


@pytest.mark.django_db
def test_a_text_longer_than_a_cell_holds_is_refused_on_the_way_in(as_technician):
    long = "x" * (LONGEST_TEXT + 1)
    address = reverse("assets:part_new", args=["machine"])
    answer = as_technician.post(
        address, {"tag": "MC-1", "kind": "motor", "condition": "good", "note": long}
    )
    assert answer.context["form"].errors["note"] == ["This is too long: at most 32767 characters."]
    assert not Machine.objects.exists()
