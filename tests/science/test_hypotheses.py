"""Batches answered for under several shares of failers that never look dead."""

import math

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from propagate.science.counts import at_least, mean
from propagate.science.learning import learn
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.sightings import AtLeast, BatchData, Look, Sample

PRIOR: Prior = prior_from_ranges(4, 10, 0.4, 0.8)
SHARES = (0.1, 0.5, 0.9)
FAR = 1e6
LOOKED = BatchData(60, [Look(50, 25, 6)])


def alone(share: float, batch: BatchData, late: float = 0.0) -> tuple[float, NDArray[np.float64]]:
    """Log of P(sightings) under one share and lateness of death, and the distribution it gives.

    P(sightings) of a batch looked at once, by summing its chance for each take and shift over
    a plain fine grid, with scipy's Beta and log-logistic laws.
    """
    from scipy.stats import beta, fisk

    median = PRIOR.failer_median_share * math.exp(late)
    prior = evolve(PRIOR, failer_lingering=share, failer_median_share=median)
    (look,) = batch.sightings
    assert isinstance(look, Look)
    take, shift = (np.arange(800) + 0.5) / 800, np.linspace(-5, 5, 301) * prior.log_days_between
    scale = np.exp(prior.log_days_mean + shift)
    rooted = fisk.cdf(look.day, 1 / prior.log_days_scale, scale=scale)
    failer_scale = math.exp(prior.failer_log_days_mean)
    dead = (1 - share) * fisk.cdf(look.day, 1 / prior.failer_log_scale, scale=failer_scale)
    p = take[:, None]
    waiting = batch.count - look.newly_rooted - look.newly_dead
    likelihood = np.exp(
        look.newly_rooted * np.log(p * rooted)
        + look.newly_dead * np.log((1 - p) * dead)
        + waiting * np.log(p * (1 - rooted) + (1 - p) * (1 - dead))
        + 80
    )
    by_take = likelihood @ np.exp(-((shift / prior.log_days_between) ** 2) / 2)
    means = (np.arange(400) + 0.5) / 400
    a, b = prior.take_mean, 1 - prior.take_mean
    weight = beta.pdf(means, a * prior.take_precision_shared, b * prior.take_precision_shared)
    phi = prior.take_precision_batch
    law = beta.pdf(take[None, :], means[:, None] * phi, (1 - means[:, None]) * phi)
    return math.log(weight @ law @ by_take), learn(prior, [batch]).batch(0).rooted_by(FAR)


def test_hypotheses_are_weighed_by_how_well_they_explain_what_was_seen() -> None:
    """Against the same mixture put together outside, its weights by plain quadrature (scipy)."""
    evidence, laws = zip(*(alone(share, LOOKED) for share in SHARES), strict=True)
    weight = np.exp(np.array(evidence) - max(evidence))
    expected = weight / weight.sum() @ np.array(laws)
    found = learn(PRIOR, [LOOKED], SHARES).batch(0).rooted_by(FAR)
    np.testing.assert_allclose(found, expected, atol=2e-4)


def test_how_soon_failers_die_is_weighed_as_well() -> None:
    """The same, with the usual time of death a deviation earlier or later (scipy)."""
    fates = [(share, late) for share in SHARES for late in (-0.4, 0.4)]
    evidence, laws = zip(*(alone(share, LOOKED, late) for share, late in fates), strict=True)
    weight = np.exp(np.array(evidence) - max(evidence))
    expected = weight / weight.sum() @ np.array(laws)
    unsure = evolve(PRIOR, failer_log_between=0.4)
    found = learn(unsure, [LOOKED], SHARES).batch(0).rooted_by(FAR)
    np.testing.assert_allclose(found, expected, atol=2e-4)
    assert abs(mean(found) - mean(learn(PRIOR, [LOOKED], SHARES).batch(0).rooted_by(FAR))) > 0.1


def test_where_no_dead_were_sought_the_time_of_death_is_no_matter() -> None:
    unsaid = BatchData(60, [Look(50, 25)])
    unsure = evolve(PRIOR, failer_log_between=0.4)
    for batch in (unsaid, BatchData(60, [Sample(50, 20, 9)])):
        known, open_ = (learn(p, [batch], SHARES).batch(0).rooted_by(FAR) for p in (PRIOR, unsure))
        np.testing.assert_allclose(open_, known, atol=1e-12)


def test_without_dead_found_there_is_nothing_to_weigh() -> None:
    for batch in (BatchData(40), BatchData(40, [Look(50, 12)]), BatchData(40, [AtLeast(50, 9)])):
        one, three = learn(PRIOR, [batch]).batch(0), learn(PRIOR, [batch], SHARES).batch(0)
        np.testing.assert_allclose(one.rooted_by(80), three.rooted_by(80), atol=1e-12)


def test_dead_in_a_sample_are_weighed_too() -> None:
    batch = BatchData(60, [Sample(40, 20, 6, 4)])
    single = [learn(evolve(PRIOR, failer_lingering=s), [batch]).batch(0) for s in SHARES]
    found = mean(learn(PRIOR, [batch], SHARES).batch(0).rooted_by(FAR))
    means = [mean(part.rooted_by(FAR)) for part in single]
    assert min(means) + 0.1 < found < max(means) - 0.1


def test_one_hypothesis_is_that_hypothesis() -> None:
    mixed = learn(PRIOR, [LOOKED], (0.5,)).batch(0)
    plain = learn(evolve(PRIOR, failer_lingering=0.5), [LOOKED]).batch(0)
    np.testing.assert_allclose(mixed.rooted_by(FAR), plain.rooted_by(FAR), atol=1e-9)
    np.testing.assert_allclose(mixed.pot_on_days(0.8), plain.pot_on_days(0.8), rtol=1e-9)
    np.testing.assert_allclose(mixed.take_interval(), plain.take_interval(), rtol=1e-9)


def test_answers_lie_between_those_of_the_hypotheses() -> None:
    single = [learn(evolve(PRIOR, failer_lingering=s), [LOOKED]).batch(0) for s in SHARES]
    mixed = learn(PRIOR, [LOOKED], SHARES).batch(0)
    means = [mean(part.rooted_by(FAR)) for part in single]
    assert min(means) < mean(mixed.rooted_by(FAR)) < max(means)
    middles = [part.take_interval()[1] for part in single]
    assert min(middles) < mixed.take_interval()[1] < max(middles)


def test_a_year_after_the_strike_few_of_those_still_waiting_are_counted_on() -> None:
    """22 rooted of 40 after 29 weeks, 24 potted at 50: a grower does not expect ten more."""
    prior = prior_from_ranges(12, 24, 0.77, 0.77)
    batch = BatchData(40, [Look(207, 22, 3), AtLeast(350, 2)])
    pmf = learn(prior, [batch], SHARES).batch(0).rooted_by(FAR)
    assert at_least(pmf, 31) < 0.35
    assert pmf[:24].sum() == 0


def test_a_group_of_mixed_batches_totals_and_learns() -> None:
    group = learn(PRIOR, [LOOKED, BatchData(30), LOOKED], SHARES)
    pmf = group.total([FAR] * 3)
    assert len(pmf) == 151
    np.testing.assert_allclose(mean(pmf), sum(mean(b.rooted_by(FAR)) for b in group.batches))


def test_intervals_hold_whatever_the_share_that_lingers() -> None:
    """Randomised PIT over 240 trays whose share is drawn anew: 80 % intervals cover 80 +- 8 %."""
    rng = np.random.default_rng(5)
    inside = 0.0
    for _ in range(240):
        count, look, ever = draw(rng, PRIOR, float(rng.choice(SHARES)))
        pmf = learn(PRIOR, [BatchData(count, [look])], SHARES).batch(0).rooted_by(FAR)
        below = pmf[:ever].sum() + rng.uniform() * pmf[ever]
        inside += 0.1 <= below <= 0.9
    assert abs(inside / 240 - 0.8) < 0.08


def draw(rng: np.random.Generator, prior: Prior, lingering: float) -> tuple[int, Look, int]:
    """One tray of the model: its size, a full look on day 45, and how many root in the end."""
    count = int(rng.integers(24, 80))
    phi, psi = prior.take_precision_shared, prior.take_precision_batch
    shared = rng.beta(prior.take_mean * phi, (1 - prior.take_mean) * phi)
    takers = rng.uniform(size=count) < rng.beta(shared * psi, (1 - shared) * psi)
    shift = rng.normal(0, prior.log_days_between)
    noise = rng.logistic(0, prior.log_days_scale, count)
    rooting = np.exp(prior.log_days_mean + shift + noise)
    dying = np.exp(prior.failer_log_days_mean + rng.logistic(0, prior.failer_log_scale, count))
    dying[rng.uniform(size=count) < lingering] = np.inf
    rooted, dead = (takers & (rooting <= 45)).sum(), (~takers & (dying <= 45)).sum()
    return count, Look(45, int(rooted), int(dead), dead_sought=True), int(takers.sum())
