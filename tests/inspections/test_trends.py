"""Where readings are going: cuts, slopes and the days on which a limit is reached."""

import subprocess
import sys
from datetime import date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.upcoming.trend import HORIZON_DAYS, Reach, Taken, cut, trend_of
from inspections.verdicts.finding import Bound, QuantityLimits
from inspections.words import Level

FIRST = date(2025, 1, 1)
LIMITS = QuantityLimits(
    alert=Bound(Level.ALERT, minimum=55, maximum=70),
    intervention=Bound(Level.INTERVENTION, minimum=50),
)


def readings(values, every: int = 100, rod: int = 1, first: date = FIRST) -> list[Taken]:
    return [taken_on(first + timedelta(days=every * n), v, rod) for n, v in enumerate(values)]


def taken_on(day: date, value: float, rod: int = 1, hour: int = 10) -> Taken:
    return Taken(datetime.combine(day, time(hour)), value, rod)


def written(amount: float) -> str:
    return f"{amount:g} mm"


def test_a_steady_fall_reaches_the_limit_on_the_day_of_the_line():
    # 1 mm in 100 days from 62 mm: 55 mm after 700 days.
    trend = trend_of(readings([62, 61, 60, 59, 58]), LIMITS)
    assert trend.slope.slope == pytest.approx(-0.01)
    assert trend.reach.bound.level == Level.ALERT
    assert trend.reach.limit == 55
    assert trend.reach.soonest == trend.reach.likely == FIRST + timedelta(days=700)


def test_a_rise_is_followed_to_the_greatest_value_allowed():
    trend = trend_of(readings([61, 62, 63, 64, 65]), LIMITS)
    assert (trend.reach.limit, trend.reach.likely) == (70, FIRST + timedelta(days=900))


def test_the_next_limit_not_yet_broken_is_the_one_ahead():
    trend = trend_of(readings([58, 57, 56, 55, 54]), LIMITS)
    assert trend.reach.bound.level == Level.INTERVENTION
    assert trend.reach.likely == FIRST + timedelta(days=800)


def test_readings_already_out_of_every_limit_reach_none():
    assert trend_of(readings([49, 48, 47, 46, 45]), LIMITS).reach is None


def test_a_limit_that_is_passed_on_the_way_is_said_to_be_passed():
    trend = trend_of(readings([58, 57, 56, 55, 54]), LIMITS)
    assert (trend.passed.bound.level, trend.passed.limit) == (Level.ALERT, 55)
    worst = trend_of(readings([53, 52, 51, 50, 49]), LIMITS).passed
    assert (worst.bound.level, worst.limit) == (Level.INTERVENTION, 50)


def test_a_limit_that_the_readings_come_back_to_is_not_passed():
    assert trend_of(readings([48, 49, 50, 51, 52]), LIMITS).passed is None
    assert trend_of(readings([63, 62, 61, 60, 59]), LIMITS).passed is None


@pytest.mark.parametrize(
    ("soonest", "latest", "words", "span"),
    [
        (date(2026, 10, 5), date(2027, 3, 1), "between now and March 2027", "now to Mar 2027"),
        (date(2026, 10, 5), date(2026, 11, 1), "about now", "now"),
        (date(2026, 10, 5), None, "now at the earliest", "now to later"),
        (date(2027, 1, 5), None, "in January 2027 at the earliest", "Jan 2027 to later"),
        (date(2027, 1, 5), date(2027, 1, 9), "about January 2027", "Jan 2027"),
    ],
)
def test_a_range_of_days_that_is_partly_behind_begins_now(soonest, latest, words, span):
    reach = Reach(LIMITS.alert, 55, soonest, latest, latest)
    today = date(2026, 11, 25)
    assert (reach.words(today), reach.span(today)) == (words, span)


def test_a_fall_with_scatter_gives_a_range_of_days_with_the_likely_one_inside():
    trend = trend_of(readings([62, 61.2, 59.9, 59.2, 57.8, 57.1]), LIMITS)
    assert trend.reach.soonest < trend.reach.likely < trend.reach.latest
    assert trend.reach.soonest >= trend.last_piece[-1].on


def test_readings_that_go_up_and_down_have_no_trend():
    trend = trend_of(readings([60, 61, 59, 60.5, 60, 59.5]), LIMITS)
    assert not trend.is_moving
    assert trend.reach is None
    assert trend.words(written) == "no trend"


def test_readings_that_never_change_have_no_trend():
    assert not trend_of(readings([60] * 8), LIMITS).is_moving


def test_four_readings_are_too_few_whatever_they_say():
    trend = trend_of(readings([62, 57, 52, 47]), LIMITS)
    assert trend.slope is None
    assert trend.words(written) == "too few readings since the last change: 4 of the 5 needed"


def test_five_readings_of_one_moment_have_no_slope():
    trend = trend_of(readings([60, 61, 59, 62, 60], every=0), LIMITS)
    assert trend.slope is None
    assert trend.words(written) == "no trend"


def test_nothing_read_is_nothing_said():
    assert trend_of([], LIMITS).pieces == ()


def test_work_on_the_points_cuts_the_series_and_the_reading_of_that_visit_is_after_it():
    taken = readings([62, 60, 58, 56, 63, 62, 61, 60, 59])
    trend = trend_of(taken, LIMITS, work=[taken[4].at])
    assert [len(piece) for piece in trend.pieces] == [4, 5]
    assert trend.slope.slope == pytest.approx(-0.01)


def test_work_between_two_visits_cuts_though_nothing_was_read_here_that_day():
    taken = readings([62, 61, 60, 59, 58])
    when = taken[2].at + timedelta(days=3)
    assert [len(piece) for piece in cut(taken, [when])] == [3, 2]


def test_what_was_read_before_the_work_of_the_same_day_belongs_to_what_was_before():
    """Measured, adjusted, measured again on one day."""
    taken = [*readings([62, 61]), taken_on(date(2025, 9, 1), 60, hour=9)]
    taken += [taken_on(date(2025, 9, 1), 64, hour=14)]
    assert [len(piece) for piece in cut(taken, [taken[-1].at])] == [3, 1]


def test_a_change_of_rod_cuts_the_series():
    taken = [*readings([62, 61]), *readings([60, 59], rod=2, first=date(2025, 9, 1))]
    assert [len(piece) for piece in cut(taken, [])] == [2, 2]


def test_one_wild_reading_does_not_turn_the_slope():
    trend = trend_of(readings([62, 61, 60, 20, 58, 57, 56, 55.5]), LIMITS)
    assert trend.slope.slope == pytest.approx(-0.01, rel=0.1)


def test_a_limit_further_off_than_five_years_is_not_foretold():
    trend = trend_of(readings([62, 61.99, 61.98, 61.97, 61.96]), LIMITS)
    assert trend.is_moving
    assert trend.reach is None


def test_the_words_give_the_amount_a_year_with_its_unit():
    trend = trend_of(readings([62, 61, 60, 59, 58]), LIMITS)
    assert trend.words(lambda amount: f"{amount:.3g} mm") == (
        "falling by 3.65 mm a year (3.65 mm to 3.65 mm)"
    )


@given(
    st.lists(
        st.tuples(
            st.integers(0, 4000),
            st.floats(0, 1e9, allow_nan=False),
            st.integers(1, 3),
        ),
        max_size=25,
    ),
    st.lists(st.integers(0, 4000), max_size=4),
)
def test_whatever_was_read_no_day_foretold_lies_before_the_last_reading_or_too_far(rows, work):
    taken = [taken_on(FIRST + timedelta(days=d), v, rod) for d, v, rod in sorted(rows)]
    first = datetime.combine(FIRST, time(10))
    trend = trend_of(taken, LIMITS, [first + timedelta(days=d) for d in work])
    assert sum(len(piece) for piece in trend.pieces) == len(taken)
    trend.words(written)
    if trend.reach:
        last = taken[-1].on
        days = [d for d in (trend.reach.soonest, trend.reach.likely, trend.reach.latest) if d]
        assert days == sorted(days)
        assert all(0 <= (day - last).days <= HORIZON_DAYS for day in days)


def test_following_readings_loads_no_numerical_library():
    code = (
        "import os, sys, django; os.environ['DJANGO_SETTINGS_MODULE'] = 'config.settings';"
        "django.setup(); import inspections.upcoming.history, inspections.views.trends;"
        "print([m for m in ('numpy', 'scipy', 'networkx') if m in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "[]"
