"""What nobody has said of a part is unknown, whichever way the part comes into the register."""

from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection, models
from django.urls import reverse
from openpyxl import load_workbook

from assets.engineering.words import DriveLug, Role
from assets.models import LostMotionFitting, Stretcher
from assets.register_facts import part_facts
from assets.sheets import register as sheets
from tests import workbooks
from tests.builders import make_lost_motion_fitting, make_stretcher

BOXES = {
    Stretcher: ("for_lock", "for_drive", "for_intermediate", "for_back"),
    LostMotionFitting: ("suits_plain", "suits_thin", "suits_raised_head"),
}
# Yes is something that somebody did or decided; until then the answer is no.
ACTS = {
    "quarantined",
    "found_fitted",
    "in_force",
    "from_memory",
}


def test_no_fact_of_the_ground_is_no_until_somebody_says_so():
    for model in apps.get_app_config("assets").get_models():
        for field in model._meta.get_fields():
            if isinstance(field, models.BooleanField) and field.name not in ACTS:
                assert field.null, f"{model.__name__}.{field.name}"
                assert field.get_default() is None, f"{model.__name__}.{field.name}"


def values(part) -> list[bool | None]:
    return [getattr(part, box) for box in BOXES[type(part)]]


@pytest.mark.django_db
def test_a_part_of_which_nothing_is_said_answers_nothing():
    rod = part_facts(Stretcher.objects.create(tag="ST-1"))
    assert [rod.made_for.answer(role) for role in Role] == [None] * 4
    fitting = part_facts(LostMotionFitting.objects.create(tag="LM-1"))
    assert [fitting.suits_lugs.answer(lug) for lug in DriveLug] == [None] * 5


@pytest.mark.django_db
def test_yes_no_and_unknown_reach_the_rules_apart():
    rod = Stretcher(tag="ST-1", for_lock=False, for_drive=True)
    made_for = part_facts(rod).made_for
    assert (made_for.yes, made_for.no) == ({Role.DRIVE}, {Role.LOCK})
    fitting = LostMotionFitting(tag="LM-1", suits_thin=True, suits_plain=False)
    lugs = part_facts(fitting).suits_lugs
    assert (lugs.yes, lugs.no) == ({DriveLug.THIN}, {DriveLug.PLAIN})


@pytest.mark.django_db
@pytest.mark.parametrize("kind", BOXES)
def test_the_form_asks_with_three_answers_and_keeps_each(as_technician, kind):
    address = reverse("assets:part_new", args=[kind._meta.model_name])
    form = as_technician.get(address).context["form"]
    first, second, *rest = BOXES[kind]
    for box in BOXES[kind]:
        assert [value for value, _ in form.fields[box].choices] == ["", "true", "false"]
    given = {name: form[name].value() or "" for name in form.fields}
    answer = as_technician.post(address, {**given, "tag": "X-1", first: "true", second: "false"})
    assert answer.status_code == 302
    assert values(kind.objects.get()) == [True, False, *(None for _ in rest)]


@pytest.mark.django_db
def test_a_blank_cell_is_unknown_and_unknown_is_a_blank_cell():
    make_stretcher("ST-1", for_lock=None, for_drive=True, for_intermediate=None, for_back=False)
    file = workbooks.saved_sheets(sheets.STRETCHERS)
    headings, row = load_workbook(file)["Stretchers"].iter_rows(values_only=True)
    cells = dict(zip(headings, row, strict=True))
    titles = [sheets.STRETCHERS.sheet.by_field[box].title for box in BOXES[Stretcher]]
    assert [cells[title] for title in titles] == [None, "yes", None, "no"]
    plan = workbooks.load(
        {
            "Stretchers": [["Tag", *titles], ["ST-2", None, "yes", "unknown", "no"]],
            "Lost-motion fittings": [["Tag", "Suits a thin lug"], ["LM-2", "yes"]],
        }
    )
    assert workbooks.refusals(plan) == []
    assert values(Stretcher.objects.get(tag="ST-2")) == [None, True, None, False]
    assert values(LostMotionFitting.objects.get(tag="LM-2")) == [None, True, None]


@pytest.mark.django_db
def test_bringing_a_register_up_to_date_forgets_only_boxes_that_nobody_filled_in():
    no = dict.fromkeys(BOXES[Stretcher], False)
    empty = make_stretcher("ST-1", **no)
    filled = make_stretcher("ST-2", **{**no, "for_back": True})
    fitting = make_lost_motion_fitting("LM-1", **dict.fromkeys(BOXES[LostMotionFitting], False))
    plain = make_lost_motion_fitting("LM-2")
    step = import_module("assets.migrations.0007_unsaid_is_not_no")
    step.forget(apps, SimpleNamespace(connection=connection))
    for part, expected in (
        (empty, [None] * 4),
        (filled, [False, False, False, True]),
        (fitting, [None] * 3),
        (plain, [True, False, False]),
    ):
        part.refresh_from_db()
        assert values(part) == expected
        assert values(part.history.get().instance) == expected
    step.call_it_no(apps, SimpleNamespace(connection=connection))
    empty.refresh_from_db()
    assert values(empty) == [False] * 4
