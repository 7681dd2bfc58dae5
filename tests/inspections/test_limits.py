"""Which limit judges, and the verdict at, just inside and just outside it."""

from datetime import date

import pytest

from assets.engineering.figures import figure
from inspections.models import Limit
from inspections.verdicts.finding import Bound, QuantityLimits, judge
from inspections.verdicts.limits import LimitBook, limits_for
from inspections.words import Level, Verdict
from tests import builders

DAY = date(2026, 5, 4)
LEVELS = QuantityLimits(
    alert=Bound(Level.ALERT, minimum=55, maximum=120),
    intervention=Bound(Level.INTERVENTION, minimum=50, maximum=125),
    immediate=Bound(Level.IMMEDIATE, minimum=44),
)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        (120, Verdict.WITHIN),
        (55, Verdict.WITHIN),
        (54.99, Verdict.ALERT),
        (50, Verdict.ALERT),
        (49.99, Verdict.INTERVENTION),
        (44, Verdict.INTERVENTION),
        (43.99, Verdict.IMMEDIATE),
        (0, Verdict.IMMEDIATE),
        (120.01, Verdict.ALERT),
        (125.01, Verdict.INTERVENTION),
        (None, Verdict.NOT_TAKEN),
    ],
)
def test_the_worst_level_that_a_value_breaks_is_its_verdict(value, verdict):
    assert judge(value, LEVELS).verdict == verdict


def test_the_limit_that_decided_is_named():
    assert judge(43, LEVELS).bound.level == Level.IMMEDIATE
    assert judge(80, LEVELS).bound.level == Level.ALERT
    assert judge(None, LEVELS).bound is None


def test_without_a_limit_nothing_is_said_to_be_within():
    assert judge(52, QuantityLimits()).verdict == Verdict.NO_LIMIT


@pytest.mark.parametrize("verdict", list(Verdict))
def test_out_begins_at_intervention(verdict):
    assert verdict.is_out is (verdict in (Verdict.INTERVENTION, Verdict.IMMEDIATE))


def test_a_verdict_is_confirmed_only_where_its_limit_is():
    limits = QuantityLimits(
        intervention=Bound(Level.INTERVENTION, minimum=50, confirmed=True),
        immediate=Bound(Level.IMMEDIATE, minimum=40),
    )
    assert judge(45, limits).confirmed
    assert not judge(39, limits).confirmed
    assert not judge(39, QuantityLimits()).confirmed


def test_four_and_a_quarter_inches_is_exactly_at_a_limit_of_107_95():
    limits = QuantityLimits(intervention=Bound(Level.INTERVENTION, minimum=107.95))
    assert judge(figure("4 1/4 in", "mm"), limits).verdict == Verdict.WITHIN


@pytest.mark.django_db
def test_the_most_specific_scope_wins_and_each_level_on_its_own():
    points = builders.make_points()
    builders.set_limit("fwc", 40, level="immediate")
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 51, scope="rail_section", rail_section=points.rail_section)
    builders.set_limit("fwc", 52, scope="layout", layout="turnout")
    builders.set_limit("fwc", 53, scope="design", design=points.design)
    own = builders.set_limit("fwc", 54, scope="points", points=points, reason="a tight curve")
    minima = []
    for scope in ("points", "design", "layout", "rail_section", "railway"):
        limits = limits_for(points, DAY).of("fwc")
        minima.append((limits.intervention.scope.value, limits.intervention.minimum))
        assert limits.immediate.minimum == 40
        Limit.objects.filter(scope=scope, level="intervention").delete()
    assert minima == [
        ("points", 54),
        ("design", 53),
        ("layout", 52),
        ("rail_section", 51),
        ("railway", 50),
    ]
    assert own.scope_key == str(points.pk)


@pytest.mark.django_db
def test_a_limit_of_other_points_or_another_rail_does_not_judge_these():
    points = builders.make_points()
    other = builders.make_points(rail_section=builders.make_rail("60E1", "flat_bottom"))
    builders.set_limit("fwc", 60, scope="rail_section", rail_section=other.rail_section)
    builders.set_limit("fwc", 61, scope="points", points=other, reason="its own")
    assert limits_for(points, DAY).of("fwc").levels == ()


@pytest.mark.django_db
def test_the_limit_in_force_on_the_day_judges():
    points = builders.make_points()
    builders.set_limit("fwc", 50, effective_from=date(2026, 1, 1))
    builders.set_limit("fwc", 52, effective_from=date(2026, 5, 4))

    def least(day):
        bound = limits_for(points, day).of("fwc").intervention
        return bound and bound.minimum

    assert least(date(2025, 12, 31)) is None
    assert least(date(2026, 5, 3)) == 50
    assert least(date(2026, 5, 4)) == 52


@pytest.mark.django_db
def test_an_empty_limit_ends_the_one_before_and_the_wider_one_judges_again():
    points = builders.make_points()
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 60, scope="layout", layout="turnout")
    builders.set_limit("fwc", scope="layout", layout="turnout", effective_from=date(2026, 3, 1))
    assert limits_for(points, date(2026, 2, 28)).of("fwc").intervention.minimum == 60
    assert limits_for(points, DAY).of("fwc").intervention.minimum == 50


@pytest.mark.django_db
def test_points_whose_rail_is_unknown_fall_under_no_rail_section():
    points = builders.make_points(rail_section=None)
    builders.set_limit("fwc", 51, scope="rail_section", rail_section=builders.make_rail())
    assert limits_for(points, DAY).of("fwc").levels == ()


@pytest.mark.django_db
def test_one_query_reads_the_limits_of_a_set_of_points(django_assert_num_queries):
    points = builders.make_points()
    for quantity in ("fwc", "torque", "residual_opening"):
        builders.set_limit(quantity, 1)
    with django_assert_num_queries(1):
        limits_for(points, DAY).judge("fwc", 0)


@pytest.mark.django_db
def test_a_book_of_limits_agrees_with_asking_for_each_set_of_points():
    ours = builders.make_points()
    theirs = builders.make_points(layout="trap", design=None)
    builders.set_limit("fwc", 50)
    builders.set_limit("fwc", 45, scope="layout", layout="trap")
    builders.set_limit("fwc", 55, scope="points", points=ours, reason="its own")
    book = LimitBook.of(Limit.objects.all(), DAY)
    for points in (ours, theirs):
        assert book.for_points(points) == limits_for(points, DAY)
