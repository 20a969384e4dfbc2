import math

import numpy as np
import pytest
from scipy import stats

from propagate.science.counts import in_bins
from propagate.science.rooting import Waiting, chosen, rooted_of_takers
from propagate.science.takers import take_laws

WEIGHT = np.array([0.2, 0.5, 0.3])
WAITS = np.array([0.9, 0.6, 0.2])
ROOTS = np.array([0.1, 0.5, 0.95])
LAW = Waiting(np.log(WEIGHT), np.log(WAITS), np.log(ROOTS), np.log1p(-ROOTS))


def by_hand(takers, told=None, deaths=None):
    """P(k of j) as a mixture of scipy's binomials, shifts weighed by w q^j and what is told."""
    out = np.zeros((takers + 1, takers + 1))
    for j in range(takers + 1):
        for u in range(3):
            pmf = stats.binom.pmf(np.arange(takers + 1), j, ROOTS[u])
            seen = 1.0 if told is None else told[:, u]
            dead = 1.0 if deaths is None else math.exp(deaths[j, u])
            out[j] += WEIGHT[u] * WAITS[u] ** j * dead * pmf * seen
    return out / out.sum(axis=1, keepdims=True)


def test_rooted_of_takers_are_mixed_binomials():
    assert rooted_of_takers(LAW, 12, None, None) == pytest.approx(by_hand(12), abs=1e-12)


def test_clues_and_deaths_weigh_each_count_and_shift():
    rng = np.random.default_rng(4)
    told, deaths = rng.random((8, 3)), np.log(rng.random((8, 3)))
    assert rooted_of_takers(LAW, 7, told, None) == pytest.approx(by_hand(7, told), abs=1e-12)
    found = rooted_of_takers(LAW, 7, told, deaths)
    assert found == pytest.approx(by_hand(7, told, deaths), abs=1e-12)


def test_a_thousand_takers_do_not_run_out_of_numbers():
    table = rooted_of_takers(LAW, 1000, None, None)
    assert table.sum(axis=1) == pytest.approx(1)
    expected = stats.binom.pmf(np.arange(1001), 1000, ROOTS[0])  # only the late shift is left
    assert table[1000] == pytest.approx(expected, abs=1e-9)


def test_those_left_by_lot_are_hypergeometric():
    for marked in range(11):
        found = chosen(np.eye(11)[marked], 4)
        assert found == pytest.approx(stats.hypergeom.pmf(np.arange(5), 10, marked, 4), abs=1e-12)


def test_all_left_are_all():
    pmf = np.full(6, 1 / 6)
    assert chosen(pmf, 5) is pmf


def test_bins_hold_the_counts_nearest_to_them():
    """Eight counts in units of three: 0 1, 2 3 4 and 5 6 7."""
    assert in_bins(np.arange(8.0), 3) == pytest.approx([1, 9, 18])
    assert in_bins(np.arange(8.0), 1) == pytest.approx(np.arange(8.0))


@pytest.mark.parametrize(("log_odds", "precision"), [(-2.0, 0.7), (0.4, 12.0), (3.0, 400.0)])
def test_the_number_of_takers_is_beta_binomial(log_odds, precision):
    """scipy.stats.betabinom"""
    laws = take_laws(np.array([log_odds]), np.array([precision]), 40)
    take = 1 / (1 + math.exp(-log_odds))
    number = np.arange(5, 26)
    ways = np.array([math.log(math.comb(30, k)) for k in number])
    law = stats.betabinom(30, take * precision, (1 - take) * precision)
    assert laws.log_chance(5, 21, 30)[0] + ways == pytest.approx(law.logpmf(number), abs=1e-9)
