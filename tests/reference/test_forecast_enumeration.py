"""The forecast against exact enumeration: every way in which a few propagules may fare.

The enumeration shares no formula with the program but the model: each propagule is a taker
with probability p, roots in one of the intervals between the days that matter, or is a failer;
all ways to fill the intervals are listed, those that contradict a sighting are struck out, and
samples are weighed by counting subsets. Laws and quadrature come from scipy and numpy.
"""

import itertools
import math

import numpy as np
import pytest
from scipy import stats

from propagate.science.learning import learn
from propagate.science.prior import Prior
from propagate.science.sightings import AtLeast, BatchData, Look, Removal, Sample

PRIOR = Prior(0.6, math.inf, 5.0, math.log(50.0), 0.25, 0.2)


def _nodes():
    """Gauss-Legendre in the take against its Beta law, Gauss-Hermite in the shift."""
    x, w = np.polynomial.legendre.leggauss(80)
    take = (x + 1) / 2
    take_weight = w / 2 * stats.beta.pdf(take, 0.6 * 5.0, 0.4 * 5.0)
    u, shift_weight = np.polynomial.hermite_e.hermegauss(40)
    weight = take_weight[:, None] * shift_weight / math.sqrt(2 * math.pi)
    return take[:, None], np.exp(PRIOR.log_days_mean + PRIOR.log_days_between * u), weight


def _ways(count, days):
    """Counts in each interval of rooting, the last for never by the last day, with chances.

    Yields (counts, chance on the grid of nodes); deaths are not told apart here.
    """
    take, median, weight = _nodes()
    rooted = [np.zeros_like(median)] + [
        stats.fisk.cdf(day / median, 1 / PRIOR.log_days_scale) for day in days
    ]
    shares = [take * (later - earlier) for earlier, later in itertools.pairwise(rooted)]
    shares.append(1 - take * rooted[-1])
    for numbers in itertools.product(range(count + 1), repeat=len(days)):
        if sum(numbers) > count:
            continue
        full = (*numbers, count - sum(numbers))
        chance = weight * math.factorial(count)
        for number, share in zip(full, shares, strict=True):
            chance = chance * share**number / math.factorial(number)
        yield full, float(chance.sum())


def _enumerated(count, days, evidence):
    """Distribution of the number rooted by the last day, given the evidence."""
    pmf = np.zeros(count + 1)
    for numbers, chance in _ways(count, days):
        by_day = np.cumsum(numbers[:-1])
        pmf[by_day[-1]] += chance * evidence(by_day)
    return pmf / pmf.sum()


def _sampled(rooted, tray, lifted, found):
    """Share of the subsets of a tray that hold as many rooted ones as found."""
    if not 0 <= rooted <= tray:
        return 0.0
    return (
        math.comb(rooted, found)
        * math.comb(tray - rooted, lifted - found)
        / math.comb(tray, lifted)
    )


CASES = {
    "one look": (
        [Look(45, 3)],
        lambda by_day: by_day[0] == 3,
    ),
    "at least, open": (
        [AtLeast(45, 3)],
        lambda by_day: by_day[0] >= 3,
    ),
    "at least twice, open": (
        [AtLeast(38, 2), AtLeast(52, 2)],
        lambda by_day: (by_day[0] >= 2) * (by_day[1] >= 4),
    ),
    "at least, then a look": (
        [AtLeast(38, 2), Look(52, 2)],
        lambda by_day: (by_day[0] >= 2) * (by_day[1] == 4),
    ),
    "a look, then at least": (
        [Look(38, 1), AtLeast(52, 2)],
        lambda by_day: (by_day[0] == 1) * (by_day[1] >= 3),
    ),
    "a sample": (
        [Sample(45, 4, 2)],
        lambda by_day: _sampled(by_day[0], 7, 4, 2),
    ),
    "a sample of a tray with known rooted ones": (
        [Look(38, 2), Sample(52, 4, 3, known_in_tray=2)],
        lambda by_day: (by_day[0] == 2) * _sampled(by_day[1], 7, 4, 3),
    ),
    "two samples": (
        [Sample(38, 3, 1), Sample(52, 4, 1)],
        lambda by_day: _sampled(by_day[0], 7, 3, 1) * _sampled(by_day[1], 7, 4, 1),
    ),
    "some left, then a sample of the rest": (
        [AtLeast(38, 2), Sample(52, 3, 1)],
        lambda by_day: (by_day[0] >= 2) * _sampled(by_day[1] - 2, 5, 3, 1),
    ),
    "a sample, then a look": (
        [Sample(38, 4, 1), Look(52, 3)],
        lambda by_day: _sampled(by_day[0], 7, 4, 1) * (by_day[1] == 3),
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_seven_propagules_fare_as_enumerated(case):
    sightings, evidence = CASES[case]
    days = sorted({sighting.day for sighting in sightings} | {75})
    found = learn(PRIOR, [BatchData(7, sightings)]).batch(0).rooted_by(75)
    assert found == pytest.approx(_enumerated(7, days, evidence), abs=2e-3)


def test_removed_ones_leave_the_others_alone():
    """Seven start and two go on day 20, untold: the same as five started."""
    found = learn(PRIOR, [BatchData(7, [Removal(20, 2), Look(45, 2)])]).batch(0).rooted_by(75)
    expected = _enumerated(5, [45, 75], lambda by_day: by_day[0] == 2)
    assert found[:6] == pytest.approx(expected, abs=2e-3)


def test_deaths_tell_on_those_still_waiting():
    """A look that found 2 rooted and 2 dead of 7 on day 45, by direct integration."""
    take, median, weight = _nodes()
    shape = 1 / PRIOR.log_days_scale
    early, late = (stats.fisk.cdf(day / median, shape) for day in (45, 75))
    dead = stats.fisk.cdf(45, 1 / 0.5, scale=0.6 * 50.0)
    waiting = take * (1 - early) + (1 - take) * (1 - dead)
    seen = weight * (take * early) ** 2 * ((1 - take) * dead) ** 2 * waiting**3
    rate = take * (late - early) / waiting
    expected = [
        float((seen * stats.binom.pmf(more, 3, rate)).sum() / seen.sum()) for more in range(4)
    ]
    found = learn(PRIOR, [BatchData(7, [Look(45, 2, 2)])]).batch(0).rooted_by(75)
    assert found[2:6] == pytest.approx(expected, abs=1e-3)


def _drawn(rooted, waiting, failers, found):
    """Share of the subsets of a tray with so many rooted, waiting takers and failers."""
    in_tray = (rooted, waiting, failers)
    ways = math.prod(math.comb(of, of_it) for of, of_it in zip(in_tray, found, strict=True))
    return ways / math.comb(sum(in_tray), sum(found))


@pytest.mark.parametrize("gone", [0, 1])
def test_dead_in_a_sample_fare_as_enumerated(gone):
    """Four of seven lifted on day 45: 2 rooted, 1 dead, which stays or is taken out then.

    Every number of takers, of those rooted by then and of failers among the four is listed.
    """
    take, median, weight = _nodes()
    early, late = (stats.fisk.cdf(day / median, 1 / PRIOR.log_days_scale) for day in (45, 75))
    dead = stats.fisk.cdf(45, 1 / 0.5, scale=0.6 * 50.0)
    by_75, ever = np.zeros(8), np.zeros(8)
    for takers, rooted in itertools.product(range(8), range(8)):
        if rooted > takers:
            continue
        seen = sum(
            _drawn(rooted, takers - rooted, 7 - takers, (2, 2 - failing, failing))
            * stats.binom.pmf(1, failing, dead)
            for failing in range(3)
        )
        each = weight * stats.binom.pmf(takers, 7, take) * stats.binom.pmf(rooted, takers, early)
        ever[takers] += seen * each.sum()
        for more in range(takers - rooted + 1):
            chance = stats.binom.pmf(more, takers - rooted, (late - early) / (1 - early))
            by_75[rooted + more] += seen * float((each * chance).sum())
    told = [Sample(45, 4, 2, 1), *[Removal(45, 1)] * gone]
    found = learn(PRIOR, [BatchData(7, told)]).batch(0)
    assert found.rooted_by(1e6) == pytest.approx(ever / ever.sum(), abs=2e-3)
    assert found.rooted_by(75) == pytest.approx(by_75 / by_75.sum(), abs=2e-2)


def test_two_batches_share_a_mean_take():
    """Joint distribution of two unseen batches of 3, integrated over the shared mean."""
    prior = Prior(0.6, 4.0, 6.0, math.log(50.0), 0.25, 0.2)
    x, w = np.polynomial.legendre.leggauss(400)
    mean = (x + 1) / 2
    shared = w / 2 * stats.beta.pdf(mean, 0.6 * 4.0, 0.4 * 4.0)
    each = np.array([stats.betabinom.pmf(k, 3, 6 * mean, 6 * (1 - mean)) for k in range(4)])
    both = [
        sum(float(shared @ (each[i] * each[k - i])) for i in range(4) if 0 <= k - i <= 3)
        for k in range(7)
    ]
    group = learn(prior, [BatchData(3), BatchData(3)])
    assert group.total([1e6, 1e6]) == pytest.approx(both, abs=3e-4)


def test_a_finished_batch_moves_the_mean_take_as_bayes_has_it():
    """Posterior mean of the shared take after 9 of 10, by scipy's beta-binomial and quadrature."""
    prior = Prior(0.6, 4.0, 6.0, math.log(50.0), 0.25, 0.2)
    x, w = np.polynomial.legendre.leggauss(400)
    mean = (x + 1) / 2
    weight = w / 2 * stats.beta.pdf(mean, 0.6 * 4.0, 0.4 * 4.0)
    weight = weight * stats.betabinom.pmf(9, 10, 6 * mean, 6 * (1 - mean))
    group = learn(prior, [BatchData(10, [Look(1e6, 9, 1)])])
    found = group.shared_weight @ group.shared.take
    assert found == pytest.approx(weight @ mean / weight.sum(), abs=2e-4)
