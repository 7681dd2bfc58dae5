"""The demo railway as a workbook: away, back, and into an empty database."""

import pytest
from openpyxl import load_workbook

from assets.models import Location, Points, Stretcher
from assets.sheets.loading import Choice
from defects.models import Defect, Event
from tests import workbooks

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("demo_railway")]


def test_saved_and_loaded_again_it_changes_nothing():
    plan = workbooks.load(workbooks.saved())
    assert plan.rows == []
    assert plan.totals["same"] > 7_000


def test_loaded_into_an_empty_database_all_but_what_was_done_is_the_same_field_by_field():
    file, before = workbooks.saved(), workbooks.everything()
    still_open = list(Defect.objects.open().order_by("number").values_list("number", flat=True))
    measures = set(Defect.objects.with_measure().values_list("number", "temporary_measure"))
    closed = Defect.objects.filter(state="closed").count()
    assert closed == 4
    workbooks.empty_the_register()
    assert not Location.objects.exists()
    assert not Event.objects.exists()

    plan = workbooks.load(file)

    assert workbooks.refusals(plan) == []
    after = workbooks.everything()
    assert after.keys() == before.keys()
    for name in before.keys() - {"Defect", "Event"}:
        assert after[name] == before[name], name
    assert len(after["Reading"]) > 3_000
    assert set(Defect.objects.values_list("state", flat=True)) == {"raised"}
    raised = list(Defect.objects.order_by("number").values_list("number", flat=True))
    assert raised == still_open
    assert set(Defect.objects.with_measure().values_list("number", "temporary_measure")) == measures
    assert plan.totals["left_out"] >= closed
    assert any("Sheet Events is for reading only" in note for note in plan.notes)


def test_the_histories_begin_with_the_loading():
    file = workbooks.saved()
    workbooks.empty_the_register()
    workbooks.load(file)
    assert Stretcher.history.count() == Stretcher.objects.count()
    assert Stretcher.history.first().history_change_reason.startswith("workbook of ")


def test_some_points_come_with_all_that_belongs_to_them_and_no_more():
    chosen = Points.objects.by_key("SKB 14")
    book = load_workbook(workbooks.saved(Choice(points=frozenset([chosen.pk]))))
    points = [row[:2] for row in book["Points"].iter_rows(min_row=2, values_only=True)]
    assert points == [("SKB", "14")]
    for name in ("Places", "Fittings", "Visits", "Readings", "Examinations"):
        headings = [cell.value for cell in book[name][1]]
        at = headings.index("Points")
        found = {row[at] for row in book[name].iter_rows(min_row=2, values_only=True)}
        assert found == {"SKB 14"}, name


def test_some_parts_come_with_their_fittings_alone():
    rod = Stretcher.objects.fitted().first()
    book = load_workbook(workbooks.saved(Choice(part_field="stretcher", parts=frozenset([rod.pk]))))
    assert book.sheetnames == ["Read me", "Stretchers", "Fittings", "Lists"]
    assert [row[0] for row in book["Stretchers"].iter_rows(min_row=2, values_only=True)] == [
        rod.tag
    ]


def test_saving_asks_the_same_number_of_times_however_much_there_is(
    django_assert_max_num_queries,
):
    with django_assert_max_num_queries(70):
        workbooks.saved()
