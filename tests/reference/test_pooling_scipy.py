"""Learning over plants of a method against plain quadrature with scipy's laws.

The quadrature has its own form of the model: a grower's Normal number d and one e for each
plant on Gauss-Hermite nodes, each plant's mean take the quantile of its record's Beta law
(scipy.stats.beta.ppf), finished batches beta-binomial (scipy.stats.betabinom).
"""

import math

import numpy as np
import pytest
from scipy import special, stats

from propagate.science import pooling
from propagate.science.grid import log_odds_nodes
from propagate.science.learning import GroupData
from propagate.science.pooling import learn_method
from propagate.science.prior import Prior, prior_from_ranges
from propagate.science.sightings import BatchData, Look

FIG, WILLOW = prior_from_ranges(6, 10, 0.6, 0.8), prior_from_ranges(3, 8, 0.5, 0.95)
FINISHED = {"fig": [(40, 36), (60, 55), (30, 21)], "willow": [(50, 49), (24, 24)]}
PRIORS = {"fig": FIG, "willow": WILLOW, "elder": prior_from_ranges(4, 9, 0.4, 0.8)}
FAR = 1e6


def _hermite(number):
    nodes, weight = np.polynomial.hermite_e.hermegauss(number)
    return nodes, weight / weight.sum()


def _takes(prior, d):
    """Mean takes (d, e) of a plant: quantiles of its record's law."""
    e, _ = _hermite(60)
    r = pooling.GROWER_SHARE
    z = math.sqrt(r) * d[:, None] + math.sqrt(1 - r) * e
    phi = prior.take_precision_shared
    a, b = prior.take_mean * phi, (1 - prior.take_mean) * phi
    return np.clip(stats.beta.ppf(stats.norm.cdf(z), a, b), 1e-9, 1 - 1e-9)


def _precisions(prior):
    """The record's precision times the factors, scaled so that a take keeps its variance."""
    phi, factors = prior.take_precision_batch, pooling.FACTORS
    scales = np.exp(np.linspace(-3, 3, 60001))
    kept = sum(
        w / (scales * f * phi + 1) for f, w in zip(factors, pooling.FACTOR_WEIGHTS, strict=True)
    )
    return phi * factors * scales[np.abs(kept - 1 / (phi + 1)).argmin()]


def _chance(prior, takes, precision, finished):
    out = np.ones_like(takes)
    for count, rooted in finished:
        out *= stats.betabinom.pmf(rooted, count, takes * precision, (1 - takes) * precision)
    return out


def _by_quadrature(plant, count):
    """Law of a fresh batch of a plant after all finished ones: (count + 1,)."""
    d, of_d = _hermite(60)
    _, of_e = _hermite(60)
    law = np.zeros(count + 1)
    for at, of_factor in enumerate(pooling.FACTOR_WEIGHTS):
        weight = of_d * of_factor
        for name, prior in PRIORS.items():
            if name != plant:
                precision = _precisions(prior)[at]
                chance = _chance(prior, _takes(prior, d), precision, FINISHED.get(name, []))
                weight = weight * (chance @ of_e)
        takes, precision = _takes(PRIORS[plant], d), _precisions(PRIORS[plant])[at]
        own = (
            weight[:, None]
            * of_e
            * _chance(PRIORS[plant], takes, precision, FINISHED.get(plant, []))
        )
        a, b = takes * precision, (1 - takes) * precision
        law += [(own * stats.betabinom.pmf(k, count, a, b)).sum() for k in range(count + 1)]
    return law / law.sum()


@pytest.mark.parametrize("prior", [*PRIORS.values(), prior_from_ranges(3, 8, 0.97, 1.0)])
def test_takes_are_read_as_the_deviations_of_their_law(prior):
    """Also far out, where coarse sums over nodes are of no use: scipy's Beta and Normal laws."""
    nodes = log_odds_nodes(prior.take_precision_shared)
    phi = prior.take_precision_shared
    law = stats.beta(prior.take_mean * phi, (1 - prior.take_mean) * phi)
    take, fail = special.expit(nodes), special.expit(-nodes)
    below, above = law.cdf(take), stats.beta(law.args[1], law.args[0]).cdf(fail)
    expected = np.where(below < 0.5, special.ndtri(below), -special.ndtri(above))
    told = np.abs(expected) < 6
    found = pooling.deviations(prior, nodes)
    assert found[told] == pytest.approx(expected[told], abs=3e-3)


@pytest.mark.parametrize("plant", PRIORS)
def test_a_fresh_batch_has_the_law_of_the_quadrature(plant):
    groups = {
        name: GroupData(
            prior,
            [BatchData(n, [Look(FAR, rooted, n - rooted)]) for n, rooted in FINISHED.get(name, [])],
        )
        for name, prior in PRIORS.items()
    }
    found = learn_method(groups)[plant].fresh(40).rooted_by(FAR)
    expected = _by_quadrature(plant, 40)
    assert np.cumsum(found) == pytest.approx(np.cumsum(expected), abs=3e-3)


def test_times_common_to_a_method_are_those_of_two_normal_laws():
    """Batches of 900 looked at often, so that each shift is all but known.

    With k of the variance common, the mean of what is common after B shifts of mean x is
    x k / (k + (1 - k) / B): the usual shrinkage of a Normal mean.
    """
    prior = Prior(0.7, 20.0, 20.0, math.log(50.0), 0.1, 0.2)
    shifts = np.array([0.25, 0.1, 0.3, 0.05])
    batches = [_looked_at(prior, shift) for shift in shifts]
    group = learn_method({"fig": GroupData(prior, batches)})["fig"]
    k = pooling.TIMING_SHARE
    expected = 50 * math.exp(shifts.mean() * k / (k + (1 - k) / len(shifts)))
    early, likely, late = group.fresh(40).pot_on_days(0.5)
    assert likely == pytest.approx(expected, rel=0.01)
    spread = prior.log_days_between * math.sqrt((1 - k) + k * (1 - k) / (k * 4 + 1 - k))
    assert math.log(late / early) == pytest.approx(2 * 1.281552 * spread, rel=0.02)


def _looked_at(prior, shift):
    """A batch of 900 with 630 takers that root just as the law has it, looked at daily."""
    days = np.arange(30, 110, 4)
    law = stats.fisk(1 / prior.log_days_scale, scale=math.exp(prior.log_days_mean + shift))
    rooted = np.rint(630 * law.cdf(days)).astype(int)
    newly = np.diff(rooted, prepend=0)
    return BatchData(
        900, [Look(day, new) for day, new in zip(days.tolist(), newly.tolist(), strict=True)]
    )
