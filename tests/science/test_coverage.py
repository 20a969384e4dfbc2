"""Do the intervals hold as often as they say, for batches drawn from the prior itself?

A count is discrete, so coverage is read from the randomised probability integral transform
(Smith 1985, Journal of Forecasting 4, 283-291). With 300 draws the standard error of an 80 %
coverage is 2.3 points; the margin is 6.
"""

import math

import numpy as np
import pytest

from propagate.science.learning import learn
from propagate.science.prior import prior_from_ranges
from propagate.science.sightings import AtLeast, BatchData, Look, Sample

PRIOR = prior_from_ranges(6, 12, 0.4, 0.85)
DRAWS = 300
CHECKED, FORETOLD = 56, 80  # days


class _Tray:
    """A tray whose propagules' days of rooting or death are known to the test alone."""

    def __init__(self, rng, count, shared_take):
        take = _beta(rng, shared_take, PRIOR.take_precision_batch)
        shift = rng.normal(0, PRIOR.log_days_between)
        taker = rng.random(count) < take
        within = rng.logistic(0, PRIOR.log_days_scale, count)
        days = np.exp(PRIOR.log_days_mean + shift + within)
        death = np.exp(PRIOR.failer_log_days_mean + rng.logistic(0, PRIOR.failer_log_scale, count))
        self.count = count
        self.rooted_on = np.where(taker, days, math.inf)
        self.dead_on = np.where(taker, math.inf, death)

    def rooted(self, day):
        return int((self.rooted_on <= day).sum())

    def dead(self, day):
        return int((self.dead_on <= day).sum())

    def sample(self, day, rng, lifted):
        chosen = rng.permutation(self.count)[:lifted]
        return int((self.rooted_on[chosen] <= day).sum()), int((self.dead_on[chosen] <= day).sum())


def _beta(rng, mean, precision):
    return rng.beta(mean * precision, (1 - mean) * precision)


def _place(rng, pmf, happened):
    """Where what happened falls in the forecast: even over 0 to 1 when it is honest."""
    return pmf[:happened].sum() + rng.random() * pmf[happened]


def _trays(seed):
    rng = np.random.default_rng(seed)
    for _ in range(DRAWS):
        shared = _beta(rng, PRIOR.take_mean, PRIOR.take_precision_shared)
        yield rng, _Tray(rng, int(rng.integers(12, 105)), shared)


def _coverage(places, chance):
    places = np.array(places)
    return np.mean(np.abs(places - 0.5) < chance / 2)


SIGHTINGS = {
    "nothing seen": lambda tray, rng: [],
    "one look": lambda tray, rng: [Look(CHECKED, tray.rooted(CHECKED), tray.dead(CHECKED))],
    "dead left standing": lambda tray, rng: [Look(CHECKED, tray.rooted(CHECKED))],
    "dead looked for": lambda tray, rng: [
        Look(CHECKED, tray.rooted(CHECKED), tray.dead(CHECKED), dead_sought=True)
    ],
    "half of the rooted potted on": lambda tray, rng: [AtLeast(CHECKED, tray.rooted(CHECKED) // 2)],
    "a sample of ten": lambda tray, rng: [
        Sample(CHECKED, 10, *tray.sample(CHECKED, rng, 10), dead_sought=True)
    ],
}


@pytest.mark.parametrize("sightings", SIGHTINGS)
def test_eighty_per_cent_intervals_hold_eighty_per_cent(sightings):
    places = []
    for rng, tray in _trays(seed=11):
        seen = SIGHTINGS[sightings](tray, rng)
        pmf = learn(PRIOR, [BatchData(tray.count, seen)]).batch(0).rooted_by(FORETOLD)
        places.append(_place(rng, pmf, tray.rooted(FORETOLD)))
    assert _coverage(places, 0.8) == pytest.approx(0.8, abs=0.06)
    assert _coverage(places, 0.5) == pytest.approx(0.5, abs=0.08)


def test_the_total_of_a_nursery_holds_eighty_per_cent():
    """Four trays with a take in common; one of them has been looked at."""
    places, rng = [], np.random.default_rng(5)
    for _ in range(DRAWS):
        shared = _beta(rng, PRIOR.take_mean, PRIOR.take_precision_shared)
        trays = [_Tray(rng, 30, shared) for _ in range(4)]
        looked = BatchData(30, [Look(CHECKED, trays[0].rooted(CHECKED), trays[0].dead(CHECKED))])
        group = learn(PRIOR, [looked, *[BatchData(30)] * 3])
        happened = sum(tray.rooted(FORETOLD) for tray in trays)
        places.append(_place(rng, group.total([FORETOLD] * 4), happened))
    assert _coverage(places, 0.8) == pytest.approx(0.8, abs=0.06)


def test_the_pot_on_window_holds_eighty_per_cent():
    """The day by which 0.8 of a tray's takers have rooted, for trays of ten thousand.

    So many that their own share of time is that of the law, to a few hours.
    """
    rng, held = np.random.default_rng(7), []
    early, _, late = learn(PRIOR, [BatchData(40)]).batch(0).pot_on_days(0.8)
    for _ in range(DRAWS):
        tray = _Tray(rng, 10_000, 0.7)
        takers = tray.rooted_on[np.isfinite(tray.rooted_on)]
        held.append(early <= np.quantile(takers, 0.8) <= late)
    assert np.mean(held) == pytest.approx(0.8, abs=0.06)
