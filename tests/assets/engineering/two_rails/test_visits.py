"""How often a visit's verdict is right, with noise on every reading of it."""

import numpy as np
import pytest

from assets.engineering.two_rails.certainty import Sure, decide
from tests.assets.engineering.switches import clearances
from tests.assets.engineering.two_rails.test_combining import (
    GAUGE,
    OFF_HOME,
    combine,
    make_readings,
    read_to,
    reads,
)

FWC = np.array(clearances())
TRUE_LEAST = combine(make_readings()).least_fwc.mm


def verdicts(sigma: float, lies: int, limit_mm: float, all_read: bool):
    """The decision on each of so many lies; ``all_read``: not clearance alone."""
    chance = np.random.default_rng(1925)
    for _ in range(lies):
        noise = chance.normal(0, sigma, (4, 4))
        passage = GAUGE - OFF_HOME - FWC + noise[1]
        given = {"fwc": reads(FWC + noise[0])}
        if all_read:
            given |= {"fwp": reads(passage)}
        else:
            given |= {"fwp": (), "gauge": (), "residual": ()}
        errors = read_to(sigma)
        found = combine(make_readings(noise, **given), errors)
        yield decide(found.least_fwc.mm, found.least_sigma_mm, least_mm=limit_mm)


def called_clear(sigma: float, lies: int, all_read: bool) -> float:
    """How often a clearance 0.5 mm under its limit is called clearly within."""
    found = verdicts(sigma, lies, TRUE_LEAST + 0.5, all_read)
    return sum(one.clearly_within for one in found) / lies


def called_close(sigma: float, lies: int, all_read: bool) -> float:
    """How often a clearance 5 mm above its limit is called too close."""
    found = verdicts(sigma, lies, TRUE_LEAST - 5.0, all_read)
    return sum(one.sure == Sure.TOO_CLOSE for one in found) / lies


@pytest.mark.parametrize("sigma", [0.3, 1.0])
def test_a_clearance_below_its_limit_is_hardly_ever_called_clear(sigma):
    """60 lies; the figures of a thousand are a benchmark."""
    assert called_clear(sigma, 60, all_read=True) <= 3 / 60


@pytest.mark.parametrize("sigma", [0.3, 1.0])
def test_a_clearance_five_mm_above_its_limit_is_hardly_ever_too_close(sigma):
    assert called_close(sigma, 60, all_read=False) <= 2 / 60


@pytest.mark.benchmark
@pytest.mark.parametrize("all_read", [True, False], ids=["all read", "clearance alone"])
@pytest.mark.parametrize("sigma", [0.3, 0.5, 1.0])
def test_a_thousand_lies_are_called_as_they_should_be(sigma, all_read):
    clear = called_clear(sigma, 1000, all_read)
    close = called_close(sigma, 1000, all_read)
    print(f"\nσ {sigma}, all read {all_read}: {clear:.1%} falsely clear, {close:.1%} falsely close")
    assert clear <= 0.02
    assert close <= 0.01
