"""Starting a register: what is added, and what a railway's own rows keep."""

from io import StringIO

import pytest
from django.core.management import call_command

from assets.models import RailSection, SwitchDesign, WheelStandard
from config import reference
from defects.models import Route
from inspections.models import Limit

pytestmark = pytest.mark.django_db


def test_an_empty_register_gets_rails_designs_limits_and_routes():
    Route.objects.all().delete()
    added = reference.load()
    assert added == {
        "rail sections": 9,
        "switch designs": 10,
        "wheel standards": 3,
        "example test regimes": 6,
        "example limits": 15,
        "routes": Route.objects.count(),
    }
    assert Route.objects.count() > 30


def test_loading_again_adds_nothing():
    reference.load()
    before = [model.history.count() for model in (RailSection, SwitchDesign, Limit)]
    assert set(reference.load().values()) == {0}
    assert [model.history.count() for model in (RailSection, SwitchDesign, Limit)] == before


def test_what_the_railway_changed_is_left_as_it_stands():
    reference.load()
    rail = RailSection.objects.get(code="95RBH")
    rail.head_mm, rail.source = 68.5, "measured at Skelbeck"
    rail.save()
    reference.load()
    rail.refresh_from_db()
    assert (rail.head_mm, rail.source) == (68.5, "measured at Skelbeck")


def test_a_limit_the_railway_replaced_does_not_come_back():
    reference.load()
    example = Limit.objects.get(quantity="fwc", scope="railway")
    example.delete()
    Limit.objects.create(
        quantity="fwc", minimum=52, source="the railway's own", effective_from="2024-01-01"
    )
    reference.load()
    assert list(Limit.objects.filter(quantity="fwc", scope="railway").values_list("minimum")) == [
        (52,)
    ]


def test_every_example_limit_waits_to_be_confirmed():
    reference.load()
    assert not Limit.objects.filter(confirmed_on__isnull=False).exists()


def test_example_limits_are_intervention_limits_unless_their_source_says_otherwise():
    reference.load()
    others = Limit.objects.exclude(level="intervention").values_list("quantity", "level")
    assert set(others) == {
        ("residual_opening", "alert"),
        ("fwp", "alert"),
        ("track_gauge", "immediate"),
    }


def test_the_figures_of_common_practice():
    """Common practice in the trade, no source: kicker, clearance, opening, slips, bolts."""
    reference.load()
    figures = {
        (limit.quantity, limit.scope, limit.layout or str(limit.rail_section or "")): (
            limit.minimum,
            limit.nominal,
            limit.maximum,
        )
        for limit in Limit.objects.filter(source__contains="common practice")
    }
    assert figures == {
        ("kicker_clearance", "railway", ""): (3, None, 6),
        ("fwc", "railway", ""): (50, None, None),
        ("fwc", "rail_section", "60E1"): (60, None, None),
        ("switch_opening", "railway", ""): (102, 108, 120),
        ("switch_opening", "layout", "single_slip"): (92, None, 96),
        ("switch_opening", "layout", "double_slip"): (92, None, 96),
        ("switch_opening", "layout", "switch_diamond"): (92, None, 96),
        ("torque", "railway", ""): (200, None, 250),
    }


def test_no_wheels_are_in_force_until_the_railway_says_which():
    reference.load()
    assert not WheelStandard.objects.filter(in_force=True).exists()


def test_the_command_says_what_it_added_and_that_limits_are_examples():
    said = StringIO()
    call_command("start_register", stdout=said)
    assert "rail sections: 9 added" in said.getvalue()
    assert "the responsible engineer confirms or replaces each" in said.getvalue()
