"""A workbook saved by an early version still loads: so a railway brings its register along."""

from pathlib import Path

import pytest
from django.core.management import call_command

from assets.models import Fitting, Points, Stretcher
from defects.models import Defect
from inspections.models import Examination, Limit, Reading

SAVED = Path(__file__).with_name("saved_before.xlsx")  # November 2026, before the tables changed


@pytest.mark.django_db
def test_it_loads_whole_but_for_what_was_done_to_its_defects(capsys):
    call_command("load_workbook", str(SAVED))
    said = capsys.readouterr().out
    assert "0 refused, 0 conflict, 1 left out" in said
    assert "Sheet Machines, Lever ratio: not read. It is of the place now" in said
    assert "It is closed. A workbook raises defects and closes none" in said
    assert [points.key for points in Points.objects.all()] == ["SKB 12"]
    assert sorted(Stretcher.objects.values_list("tag", flat=True)) == [
        "ST-099", "ST-1-0", "ST-1-1", "ST-1-2",
    ]  # fmt: skip
    assert list(Fitting.objects.filter(taken_out_on__isnull=False).values_list(
        "stretcher__tag", "taken_out_on__year")) == [("ST-099", 2025)]  # fmt: skip
    assert Limit.objects.filter(minimum=50, quantity="fwc").exists()
    assert list(Reading.objects.order_by("value").values_list("value", "verdict", "way")) == [
        (46.0, "intervention", "below"),
        (55.0, "within", ""),
    ]
    assert Examination.objects.get().item == "ballast"
    assert [(d.title, d.state) for d in Defect.objects.all()] == [
        ("Timber fouls the rod", "raised")
    ]


@pytest.mark.django_db
def test_loaded_again_nothing_is_new(capsys):
    call_command("load_workbook", str(SAVED))
    capsys.readouterr()
    call_command("load_workbook", str(SAVED))
    assert "0 new, 0 changed" in capsys.readouterr().out
