"""Failers that never look dead: what a tray still alive late tells, and what it does not."""

import math

import numpy as np
import pytest
from attrs import evolve

from propagate.science.counts import interval, mean, quantile
from propagate.science.learning import learn
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.sightings import BatchData, Look

PRIOR: Prior = prior_from_ranges(4, 10, 0.4, 0.8)
FAR = 1e6
LATE = [Look(120, 55, 12)]
"""Day 120 is late for 4 to 10 weeks: those of 100 that still wait are hardly takers."""


def total(lingering: float) -> float:
    prior = evolve(PRIOR, failer_lingering=lingering)
    return mean(learn(prior, [BatchData(100, LATE)]).batch(0).rooted_by(FAR))


def test_without_lingering_a_tray_alive_late_is_good_news() -> None:
    assert total(0.0) > 75


def test_lingering_failers_make_late_ones_doubtful() -> None:
    assert total(0.0) > total(0.2) > total(0.8) >= 55
    assert total(0.8) < 62


def test_a_tray_never_looked_at_does_not_care_about_lingering() -> None:
    plain = learn(PRIOR, [BatchData(60)]).batch(0).rooted_by(FAR)
    linger = learn(evolve(PRIOR, failer_lingering=0.6), [BatchData(60)]).batch(0).rooted_by(FAR)
    np.testing.assert_allclose(plain, linger, atol=1e-12)


@pytest.mark.parametrize("share", [-0.1, 1.0, math.nan])
def test_a_share_of_lingering_that_cannot_be_is_refused(share: float) -> None:
    with pytest.raises(ValueError, match="failer_lingering"):
        evolve(PRIOR, failer_lingering=share)


def test_intervals_hold_for_nurseries_with_lingering_failers() -> None:
    """Randomised PIT over 300 trays drawn from the model: 80 % intervals cover 80 +- 7 %."""
    rng = np.random.default_rng(11)
    prior = evolve(PRIOR, failer_lingering=0.5)
    inside = 0.0
    for _ in range(300):
        count, looked, rooted_ever = draw(rng, prior, look_day=40)
        pmf = learn(prior, [BatchData(count, [looked])]).batch(0).rooted_by(FAR)
        below = pmf[:rooted_ever].sum() + rng.uniform() * pmf[rooted_ever]
        inside += 0.1 <= below <= 0.9
    assert abs(inside / 300 - 0.8) < 0.07


def draw(rng: np.random.Generator, prior: Prior, look_day: float) -> tuple[int, Look, int]:
    """One tray of the model: its size, one full look at it, and how many root in the end."""
    count = int(rng.integers(24, 80))
    shared = rng.beta(
        prior.take_mean * prior.take_precision_shared,
        (1 - prior.take_mean) * prior.take_precision_shared,
    )
    precision = prior.take_precision_batch
    take = rng.beta(shared * precision, (1 - shared) * precision)
    takers = rng.uniform(size=count) < take
    shift = rng.normal(0, prior.log_days_between)
    noise = rng.logistic(0, prior.log_days_scale, count)
    rooting = np.exp(prior.log_days_mean + shift + noise)
    dying = np.exp(prior.failer_log_days_mean + rng.logistic(0, prior.failer_log_scale, count))
    dying[rng.uniform(size=count) < prior.failer_lingering] = np.inf
    rooted = int((takers & (rooting <= look_day)).sum())
    dead = int((~takers & (dying <= look_day)).sum())
    return count, Look(look_day, rooted, dead, dead_sought=True), int(takers.sum())


def test_quantiles_stay_in_order() -> None:
    pmf = learn(evolve(PRIOR, failer_lingering=0.3), [BatchData(100, LATE)]).batch(0).rooted_by(FAR)
    found = interval(pmf)
    assert quantile(pmf, 0.05) <= found.low <= found.likely <= found.high
