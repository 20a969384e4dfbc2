import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.science import counts


def _binomial(n, rate):
    return np.array([math.comb(n, k) * rate**k * (1 - rate) ** (n - k) for k in range(n + 1)])


def _pmf(draw_from):
    weights = np.array(draw_from, dtype=float) + 1e-9
    return weights / weights.sum()


pmfs = st.lists(st.integers(0, 50), min_size=1, max_size=30).map(_pmf)


def test_quantile_is_the_smallest_count_that_reaches_the_share():
    pmf = np.array([0.1, 0.4, 0.3, 0.2])
    assert [counts.quantile(pmf, share) for share in (0.05, 0.1, 0.11, 0.5, 0.8, 0.81, 1.0)] == [
        0,
        0,
        1,
        1,
        2,
        3,
        3,
    ]


def test_interval_by_hand():
    pmf = np.array([0.05, 0.1, 0.35, 0.3, 0.15, 0.05])
    found = counts.interval(pmf, 0.8)
    assert (found.low, found.likely, found.high) == (1, 2, 4)
    assert found.mean == pytest.approx(2.55)


def test_chance_of_at_least():
    pmf = np.array([0.1, 0.4, 0.3, 0.2])
    assert [counts.at_least(pmf, k) for k in (-1, 0, 1, 3, 4)] == pytest.approx(
        [1.0, 1.0, 0.9, 0.2, 0.0]
    )


def test_two_dice():
    die = np.array([0, 1, 1, 1, 1, 1, 1]) / 6
    both = counts.total([die, die])
    assert both[2:] == pytest.approx(np.array([1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1]) / 36)


def test_sum_of_nothing_is_nought():
    assert counts.total([]) == pytest.approx([1.0])


@given(st.lists(pmfs, min_size=1, max_size=6))
def test_sum_is_the_convolution_in_any_order(parts):
    by_hand = np.ones(1)
    for part in parts:
        by_hand = np.convolve(by_hand, part)
    assert np.abs(counts.total(parts) - by_hand).max() < 1e-11
    assert np.abs(counts.total(parts[::-1]) - by_hand).max() < 1e-11


def test_sum_keeps_leading_axes_apart():
    given_node = np.array([[1.0, 0.0], [0.0, 1.0]])
    assert counts.total([given_node, given_node]) == pytest.approx(
        np.array([[1.0, 0, 0], [0, 0, 1.0]])
    )


def test_thinning_by_a_sure_share_changes_nothing_much():
    pmf = _pmf([1, 4, 9, 2, 0, 3])
    assert counts.thinned(pmf, 1 - 1e-9, 1e3) == pytest.approx(pmf, abs=1e-5)


def test_thinning_by_a_known_share_is_binomial():
    """Seven plants, each of which stays with a share known to a hair."""
    assert counts.thinned(np.eye(8)[7], 0.3, 1e9) == pytest.approx(_binomial(7, 0.3), abs=1e-6)


def test_thinning_of_large_counts_is_that_of_small_ones(monkeypatch):
    pmf = _pmf([1, 4, 9, 2, 0, 3])
    at_once = counts.thinned(pmf, 0.7, 9.0)
    monkeypatch.setattr(counts, "MOST_AT_ONCE", 3)
    assert counts.thinned(pmf, 0.7, 9.0) == pytest.approx(at_once, abs=1e-14)


@given(pmfs, st.floats(0.05, 0.95), st.floats(0.5, 200.0))
def test_thinning_multiplies_the_mean(pmf, share, precision):
    left = counts.thinned(pmf, share, precision)
    assert left.sum() == pytest.approx(1.0)
    assert counts.mean(left) == pytest.approx(share * counts.mean(pmf), abs=1e-9)


def test_thinning_of_rows_is_that_of_each():
    rows = np.array([_pmf([1, 2, 3, 4]), _pmf([4, 3, 2, 1])])
    both = counts.thinned(rows, 0.8, 12.0)
    assert both[1] == pytest.approx(counts.thinned(rows[1], 0.8, 12.0))


@given(pmfs)
def test_quantiles_rise_with_the_share(pmf):
    found = [counts.quantile(pmf, share) for share in np.linspace(0.01, 0.99, 15)]
    assert found == sorted(found)


@given(pmfs)
def test_several_quantiles_are_those_asked_for_one_by_one(pmf):
    shares = (0.05, 0.5, 0.95)
    assert counts.quantiles(pmf, shares) == [counts.quantile(pmf, share) for share in shares]


def test_very_many_are_thinned_in_units_to_the_same_points() -> None:
    """7,000 for sure, thinned: the beta-binomial law itself, by scipy, within 2 in a thousand."""
    from scipy import stats

    size = 7_000
    found = counts.thinned(counts.shifted(np.ones(1), size, size + 1), 0.8, 40.0)
    law = stats.betabinom(size, 32, 8)
    points = counts.quantiles(found, (0.05, 0.5, 0.95))
    assert points == pytest.approx(law.ppf([0.05, 0.5, 0.95]), abs=0.002 * size)
    assert counts.mean(found) == pytest.approx(law.mean(), rel=1e-3)
