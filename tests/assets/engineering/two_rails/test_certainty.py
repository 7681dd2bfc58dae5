"""Clear or too close to call, against the formulas of JCGM 106:2012 and scipy's normal."""

from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import norm

from assets.engineering.cannot_say import CannotSay
from assets.engineering.two_rails.certainty import Instrument, Sure, decide, reading_sigma_mm

FIGURES = st.floats(40, 130)
SIGMAS = st.floats(0.05, 3)


@given(FIGURES, SIGMAS)
def test_the_chance_of_a_least_limit_is_the_conformance_probability(figure, sigma):
    """JCGM 106:2012: with one limit below, Φ((y - T) / u)."""
    found = decide(figure, sigma, least_mm=50)
    assert found.chance_within == pytest.approx(norm.cdf((figure - 50) / sigma), abs=1e-12)


@given(FIGURES, SIGMAS)
def test_the_chance_of_two_limits_is_the_conformance_probability(figure, sigma):
    """JCGM 106:2012: with both limits, Φ((T_U - y) / u) - Φ((T_L - y) / u)."""
    found = decide(figure, sigma, least_mm=102, most_mm=120)
    expected = norm.cdf((120 - figure) / sigma) - norm.cdf((102 - figure) / sigma)
    assert found.chance_within == pytest.approx(expected, abs=1e-12)


@given(FIGURES, SIGMAS)
def test_what_is_clear_of_one_limit_has_at_most_one_chance_in_twenty_of_being_wrong(figure, sigma):
    found = decide(figure, sigma, least_mm=50)
    wrong = 1 - found.chance_within if found.within else found.chance_within
    assume(abs(abs(figure - 50) / sigma - 1.645) > 1e-6)
    clear = bool(wrong < norm.sf(1.645))
    assert (found.sure == Sure.CLEAR) is clear
    assert found.clearly_within is (clear and figure >= 50)


@pytest.mark.parametrize(
    ("figure", "within", "sure"),
    [
        (50.0, True, Sure.TOO_CLOSE),  # what equals a limit is within it
        (50.8, True, Sure.TOO_CLOSE),
        (50.9, True, Sure.CLEAR),  # 1.645 · 0.5 = 0.82
        (49.3, False, Sure.TOO_CLOSE),
        (49.1, False, Sure.CLEAR),
    ],
)
def test_a_figure_near_its_limit_is_too_close_to_call_on_either_side(figure, within, sure):
    found = decide(figure, 0.5, least_mm=50)
    assert (found.within, found.sure) == (within, sure)


def test_a_figure_between_two_limits_must_be_clear_of_both():
    assert decide(119.5, 0.5, 102, 120).sure == Sure.TOO_CLOSE
    assert decide(102.5, 0.5, 102, 120).sure == Sure.TOO_CLOSE
    assert decide(111, 0.5, 102, 120).clearly_within
    assert decide(122, 0.5, 102, 120).sure == Sure.CLEAR
    assert not decide(122, 0.5, 102, 120).within


def test_without_a_limit_all_is_within_and_without_doubt_nothing_is_too_close():
    assert decide(3, 10).clearly_within
    assert decide(50, 0, least_mm=50).chance_within == 1
    assert decide(49.9, 0, least_mm=50).chance_within == 0


def test_a_reading_is_as_sure_as_instrument_resolution_and_repeating_together():
    """A step of 1 mm spreads evenly: σ² = 1/12 (JCGM 100:2008, 4.3.7)."""
    found = reading_sigma_mm(Instrument(0.3, 1.0), repeat_mm=0.4)
    assert found == pytest.approx(sqrt(0.09 + 1 / 12 + 0.16))


def test_an_instrument_whose_repeatability_was_found_counts_once():
    assert reading_sigma_mm(Instrument(0.3, repeats=True), 0.4) == 0.4


def test_a_negative_uncertainty_is_refused():
    with pytest.raises(CannotSay, match="the uncertainty of the instrument"):
        reading_sigma_mm(Instrument(-0.1), 0.5)
