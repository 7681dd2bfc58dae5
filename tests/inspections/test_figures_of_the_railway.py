"""The figures that the railway confirms: their page, what the database keeps, what goes stale."""

from dataclasses import replace
from datetime import date

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from assets.models import Points, RailwayFigure
from assets.register_facts import figures_in_force
from config.points import misfits, owed_kept
from config.points.reader import facts_of
from defects.models import Misfit
from inspections.models import Outlook
from tests import builders, workbooks
from tests.inspections.test_recording import fwc, record

pytestmark = pytest.mark.django_db
LIST = "inspections:figures"


def own(code: str, value: float, **fields) -> RailwayFigure:
    known = {"source": "letter 4", "confirmed_by": "Engineer C", "confirmed_on": date(2026, 5, 3)}
    return RailwayFigure.objects.create(code=code, value=value, **{**known, **fields})


def address(code: str) -> str:
    return reverse("inspections:figure_confirm", args=[code])


def page_of(response) -> str:
    assert response.status_code == 200
    return " ".join(response.content.decode().split())


def test_the_engineer_confirms_a_figure_and_the_page_says_by_whom_and_from_what(
    as_engineer, engineer
):
    before = page_of(as_engineer.get(reverse(LIST)))
    assert "0 of 21 are confirmed" in before
    assert "20 mm" in before
    sent = {"value": "1 3/8 in", "source": "letter 4 of 3 May"}
    answer = as_engineer.post(address("straight_space_mm"), sent)
    assert answer.url == reverse(LIST)
    figure = RailwayFigure.objects.get()
    assert figure.value == pytest.approx(34.925)
    assert figure.account == engineer
    assert figure.confirmed_on == timezone.localdate()
    told = page_of(as_engineer.get(reverse(LIST)))
    assert "1 of 21 are confirmed" in told
    assert f"confirmed by {figure.confirmed_by} on" in told
    assert "from letter 4 of 3 May" in told
    changed = as_engineer.post(
        address("straight_space_mm"), {"value": "40", "source": "letter 5"}, follow=True
    )
    assert "40 mm" in page_of(changed)
    assert [row.value for row in figure.history.order_by("history_id")] == [
        pytest.approx(34.925),
        40,
    ]


def test_a_figure_that_cannot_be_is_refused_with_what_it_can_be(as_engineer):
    answer = as_engineer.post(address("straight_space_mm"), {"value": "0", "source": "letter 4"})
    assert "This figure is between 1 and 200 mm." in page_of(answer)
    answer = as_engineer.post(address("straight_space_mm"), {"value": "30", "source": ""})
    assert "Fill this in." in page_of(answer)
    assert not RailwayFigure.objects.exists()


def test_a_confirmation_is_taken_back_and_its_history_stays(as_engineer):
    own("straight_space_mm", 35)
    withdraw = reverse("inspections:figure_withdraw", args=["straight_space_mm"])
    assert as_engineer.get(withdraw).status_code == 405
    assert "assumed figure is used again" in page_of(as_engineer.post(withdraw, follow=True))
    assert figures_in_force().told("straight_space_mm") == "20 mm (assumed)"
    assert RailwayFigure.history.count() == 2


def test_an_unknown_figure_is_no_page(as_engineer):
    assert as_engineer.get(address("luck")).status_code == 404


def test_a_technician_sees_the_figures_and_confirms_none(as_technician):
    assert "Confirm" not in page_of(as_technician.get(reverse(LIST))).split("<main", 1)[1]
    assert as_technician.get(address("straight_space_mm")).status_code == 403


def test_the_figures_page_asks_the_database_once(as_engineer, django_assert_max_num_queries):
    as_engineer.get(reverse(LIST))
    with django_assert_max_num_queries(4):  # the session, the account, its posts, the figures
        as_engineer.get(reverse(LIST))


@pytest.mark.parametrize(
    "fields",
    [
        {"value": 0.5},
        {"value": float("inf")},
        {"value": 30, "source": ""},
        {"value": 30, "confirmed_by": ""},
        {"code": "luck", "value": 1},
    ],
)
def test_the_database_refuses_what_no_such_figure_can_be(fields):
    with pytest.raises(IntegrityError), transaction.atomic():
        own(**{"code": "straight_space_mm", **fields})


def test_a_figure_is_confirmed_once():
    own("straight_space_mm", 30)
    with pytest.raises(IntegrityError), transaction.atomic():
        own("straight_space_mm", 35)


def test_the_model_names_the_range():
    figure = RailwayFigure(code="shim_most_mm", value=31)
    with pytest.raises(ValidationError, match="between 0 and 30 mm"):
        figure.clean()


def misfit_reasons() -> list[str]:
    misfits.keep_up(timezone.localdate())
    return list(Misfit.objects.filter(rule="timber space").values_list("reason", flat=True))


def test_a_confirmed_figure_makes_what_is_kept_of_fitted_rods_stale():
    points = builders.make_points()
    place = builders.make_position(points, order=1, space_ahead_mm=30, space_behind_mm=30)
    builders.make_fitting(builders.make_stretcher(form="straight"), place)
    assert misfit_reasons() == []
    figure = own("straight_space_mm", 35)
    [reason] = misfit_reasons()
    assert "needs 35 mm (letter 4)" in reason
    figure.delete()
    assert misfit_reasons() == []


def test_a_confirmed_figure_makes_what_is_owed_stale(technician):
    points = builders.make_points()
    builders.make_position(points, order=1)
    record(points, [fwc(points, 52)])
    owed_kept.keep_up()
    assert not Outlook.objects.owed_stale().exists()
    own("torque_again_days", 7)
    assert Outlook.objects.owed_stale().exists()


def test_how_much_of_a_visit_is_an_inspection_is_the_railways_figure():
    points = builders.make_points()
    builders.make_position(points, order=1)
    assert record(points, [fwc(points, 52)]).partial
    own("visit_share", 0.05)
    other = replace(fwc(points, 52), lie="right_closed", name="other")
    assert not record(points, [fwc(points, 52), other]).partial


def test_the_rules_get_the_figures_with_the_facts():
    builders.make_points()
    own("gooseneck_space_mm", 80)
    [facts] = facts_of(Points.objects.with_places())
    assert facts.assumed.gooseneck_space_mm == 80
    assert facts.assumed.straight_space_mm == 20


def test_the_guide_shows_the_figure_in_force(as_engineer):
    assert "20 mm (assumed)" in page_of(as_engineer.get(reverse("guide")))
    own("straight_space_mm", 35)
    told = page_of(as_engineer.get(reverse("guide")))
    assert "35 mm (letter 4)" in told
    assert "{" not in told.split("<main", 1)[1].split("How parts are judged")[-1]


def sheet(figure: str, value: str) -> dict:
    heads = ["Figure", "Value", "Source", "Confirmed by", "Confirmed on"]
    return {"Figures": [heads, [figure, value, "letter 6", "Engineer C", "3 May 2026"]]}


def test_a_workbook_confirms_a_figure_for_the_account_that_loads_it(engineer):
    plan = workbooks.load(sheet("space from a stretcher to the timbers", "35 mm"), engineer)
    assert workbooks.totals(plan) == (1, 0, 0, 0, 0)
    figure = RailwayFigure.objects.get()
    assert (figure.code, figure.value, figure.account) == ("straight_space_mm", 35, engineer)
    assert workbooks.load(workbooks.saved(), engineer).can_be_applied


def test_a_workbook_confirms_no_figure_that_cannot_be_and_none_for_a_technician(
    engineer, technician
):
    plan = workbooks.load(sheet("space from a stretcher to the timbers", "900"), engineer)
    assert workbooks.reason(plan) == "This figure is between 1 and 200 mm."
    plan = workbooks.load(sheet("space from a stretcher to the timbers", "35"), technician)
    assert "which your post does not include" in workbooks.reason(plan)
    assert not RailwayFigure.objects.exists()
