"""The forecast's laws and sums against scipy, an independent and widely used implementation."""

import math

import numpy as np
import pytest
from scipy import integrate, stats

from propagate.science import counts, timing
from propagate.science.learning import learn
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.sightings import BatchData, Look, Sample
from propagate.science.take import beta_cdf, beta_from_range

SHARES = (0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.99)


@pytest.mark.parametrize("scale", [0.02, 0.2, 0.9])
def test_log_logistic_law_is_the_fisk_law(scale):
    """scipy.stats.fisk with shape 1 / s and scale exp(mu)."""
    law = stats.fisk(1 / scale, scale=math.exp(4.1))
    days = np.array([1.0, 20.0, 60.0, 61.0, 300.0])
    assert timing.cdf(days, 4.1, scale) == pytest.approx(law.cdf(days), rel=1e-10)
    assert timing.ppf(np.array(SHARES), 4.1, scale) == pytest.approx(law.ppf(SHARES), rel=1e-10)


@pytest.mark.parametrize("within_share", [0.2, 0.5, 0.8])
def test_deciles_of_times_over_all_batches_are_those_of_the_record(within_share):
    """scipy.integrate.quad over the batch's Normal shift."""
    law = timing.from_range(42.0, 84.0, within_share)

    def reached(day):
        def part(u):
            late = stats.fisk.cdf(
                day, 1 / law.log_days_scale, scale=math.exp(law.log_days_mean + u)
            )
            return stats.norm.pdf(u, scale=law.log_days_between) * late

        reach = 8 * law.log_days_between
        return integrate.quad(part, -reach, reach, epsabs=1e-11, limit=200)[0]

    assert [reached(42.0), reached(84.0)] == pytest.approx([0.1, 0.9], abs=1e-8)


@pytest.mark.parametrize(("a", "b"), [(0.3, 0.4), (2.0, 5.0), (30.0, 0.7), (900.0, 1500.0)])
def test_beta_distribution_function(a, b):
    """scipy.stats.beta.cdf, at the law's own quantiles so that no tail is trivial."""
    for share in SHARES:
        x = stats.beta.ppf(share, a, b)
        assert beta_cdf(x, a, b) == pytest.approx(stats.beta.cdf(x, a, b), rel=1e-10)


@pytest.mark.parametrize(
    ("low", "high"),
    [(0.6, 0.8), (0.05, 0.1), (0.3, 0.95), (0.01, 0.99), (0.96, 0.99), (0.70, 0.705), (0.02, 0.9)],
)
def test_beta_from_its_deciles(low, high):
    """scipy.stats.beta.ppf gives back the two ends."""
    assert stats.beta.ppf([0.1, 0.9], *beta_from_range(low, high)) == pytest.approx(
        [low, high], rel=1e-8
    )


@pytest.mark.parametrize("count", [1, 7, 40, 200, 1000])
@pytest.mark.parametrize(("low", "high"), [(0.6, 0.8), (0.05, 0.5), (0.9, 0.98)])
def test_unseen_batch_long_after_is_beta_binomial(count, low, high):
    """scipy.stats.betabinom; nothing shared between batches, so that one law is left."""
    prior = prior_from_ranges(6, 10, low, high, shared_share=0.0)
    pmf = learn(prior, [BatchData(count)]).batch(0).rooted_by(1e6)
    law = stats.betabinom(count, *beta_from_range(low, high))
    assert np.abs(pmf - law.pmf(np.arange(count + 1))).max() < 3e-5
    assert [counts.quantile(pmf, share) for share in SHARES] == law.ppf(SHARES).tolist()


FAR = 1e6
"""A day by which every taker has rooted, so that timing is known."""


@pytest.mark.parametrize(("low", "high"), [(0.6, 0.8), (0.05, 0.5)])
def test_a_sample_when_timing_is_known_is_the_conjugate_update(low, high):
    """Of 40, 15 are lifted: 11 rooted, 4 dead. The other 25 are scipy.stats.betabinom with
    Beta(a + 11, b + 4), by conjugacy."""
    prior = prior_from_ranges(6, 10, low, high, shared_share=0.0)
    seen = Sample(FAR, lifted=15, rooted=11, dead=4, dead_sought=True)
    pmf = learn(prior, [BatchData(40, [seen])]).batch(0).rooted_by(2 * FAR)
    a, b = beta_from_range(low, high)
    law = stats.betabinom(25, a + 11, b + 4)
    assert pmf[11:37] == pytest.approx(law.pmf(np.arange(26)), abs=3e-5)
    assert [counts.quantile(pmf, share) - 11 for share in SHARES] == law.ppf(SHARES).tolist()


def test_finished_batches_of_one_take_are_the_conjugate_update():
    """Where all batches have the same take, 31 of 40 and 15 of 25 make Beta(a + 46, b + 19) of
    it; the next 30 are scipy.stats.betabinom."""
    a, b = 6.0, 3.0
    prior = Prior(a / (a + b), a + b, 1e7, math.log(55.0), 0.18, 0.15)
    done = [BatchData(40, [Look(FAR, 31, 9)]), BatchData(25, [Look(FAR, 15, 10)])]
    pmf = learn(prior, done).fresh(30).rooted_by(2 * FAR)
    law = stats.betabinom(30, a + 46, b + 19)
    assert pmf == pytest.approx(law.pmf(np.arange(31)), abs=3e-5)
    assert [counts.quantile(pmf, share) for share in SHARES] == law.ppf(SHARES).tolist()


def test_thinning_of_a_known_number_is_beta_binomial():
    """scipy.stats.betabinom"""
    law = stats.betabinom(30, 0.9 * 25, 0.1 * 25)
    assert counts.thinned(np.eye(31)[30], 0.9, 25.0) == pytest.approx(
        law.pmf(np.arange(31)), abs=1e-12
    )


def _dense_rates(prior, count, looks, day):
    """Rates and weights on a dense grid of take and shift, with scipy's laws, nothing shared."""
    a, b = (m * prior.take_precision_batch for m in (prior.take_mean, 1 - prior.take_mean))
    reach = 7 * prior.log_days_between
    take, shift = np.meshgrid(
        (np.arange(900) + 0.5) / 900, np.linspace(-reach, reach, 601), indexing="ij"
    )
    log_weight = stats.beta.logpdf(take, a, b) + stats.norm.logpdf(
        shift, scale=prior.log_days_between
    )

    def rooted(at):
        days = np.exp(prior.log_days_mean + shift)
        return stats.fisk.cdf(at / days, 1 / prior.log_days_scale)

    def dead(at):
        return stats.fisk.cdf(at, 1 / 0.5, scale=0.6 * math.exp(prior.log_days_mean))

    known, waiting = 0, count
    left, before, buried = np.ones_like(take), 0.0, 0.0
    for look in looks:
        found = take * (rooted(look.day) - before)
        died = (1 - take) * (dead(look.day) - buried)
        before, buried = rooted(look.day), dead(look.day)
        left = take * (1 - before) + (1 - take) * (1 - buried)
        log_weight += look.newly_rooted * np.log(found) + look.newly_dead * np.log(died)
        waiting -= look.newly_rooted + look.newly_dead
        known += look.newly_rooted
    log_weight += waiting * np.log(left)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    rate = np.clip(take * (rooted(day) - before) / left, 0.0, 1.0)
    kept = weight > 1e-10
    return known, waiting, rate[kept], weight[kept] / weight[kept].sum()


def _dense_cdf(known, waiting, rate, weight, at_most):
    return weight @ stats.binom.cdf(at_most - known, waiting, rate)


WELL_SPREAD = Prior(0.7, math.inf, 12.0, math.log(55.0), 0.18, 0.15)


@pytest.mark.parametrize(
    "looks",
    [
        (),
        (Look(45, 9, 3),),
        (Look(45, 2, 6), Look(60, 14, 3)),
        (Look(40, 1, 1), Look(52, 12, 2), Look(75, 14, 1)),
    ],
)
@pytest.mark.parametrize("day", [55, 70, 200])
def test_forty_are_foreseen_to_the_plant(looks, day):
    """Quantiles equal those of a brute-force grid of 900 x 601 cells made of scipy's laws."""
    pmf = learn(WELL_SPREAD, [BatchData(40, looks)]).batch(0).rooted_by(day)
    latest = max([day, *(look.day for look in looks)])
    known, waiting, rate, weight = _dense_rates(WELL_SPREAD, 40, looks, latest)
    brute = np.zeros(41)
    k = np.arange(waiting + 1)
    brute[known : known + waiting + 1] = [weight @ stats.binom.pmf(one, waiting, rate) for one in k]
    assert np.abs(pmf - brute).max() < 2e-4
    assert [counts.quantile(pmf, share) for share in SHARES] == [
        counts.quantile(brute, share) for share in SHARES
    ]


@pytest.mark.parametrize("looks", [(), (Look(48, 180, 70),), (Look(40, 40, 90), Look(60, 330, 40))])
def test_a_thousand_are_foreseen_to_one_per_cent(looks):
    """As above; each quantile's chance is read off the brute-force grid around it."""
    pmf = learn(WELL_SPREAD, [BatchData(1000, looks)]).batch(0).rooted_by(70)
    dense = _dense_rates(WELL_SPREAD, 1000, looks, 70)
    for share in (0.1, 0.5, 0.9):
        found = counts.quantile(pmf, share)
        assert _dense_cdf(*dense, found - 5) < share < _dense_cdf(*dense, found + 5)
