"""Scores of forecasts: exact ones, those from a few quantiles, and shares seen in few trials."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propagate.records.given import LEVELS
from propagate.science.counts import binomial, quantile, thinned
from propagate.science.scores import crps, crps_of_quantiles, randomised_pit, share_interval

weights = st.lists(st.floats(0.01, 1), min_size=2, max_size=12).map(np.array)
laws = weights.map(lambda weight: weight / weight.sum())


def surely(count):
    return np.eye(count + 1)[count]


def in_quantiles(pmf, levels, outcome):
    return crps_of_quantiles(levels, [quantile(pmf, level) for level in levels], outcome)


def expected_score(told, law):
    return sum(p * crps(told, outcome) for outcome, p in enumerate(law))


@pytest.mark.parametrize("outcome", [0, 4, 7, 8, 9, 30])
def test_a_number_told_with_certainty_is_off_by_its_distance(outcome) -> None:
    assert crps(surely(7), outcome) == abs(outcome - 7)
    assert crps_of_quantiles(LEVELS, [7] * len(LEVELS), outcome) == pytest.approx(abs(outcome - 7))


@given(laws, laws)
def test_nothing_scores_better_on_average_than_the_truth(law, other) -> None:
    size = min(len(law), len(other))
    law, other = (each[:size] / each[:size].sum() for each in (law, other))
    assert expected_score(law, law) <= expected_score(other, law) + 1e-12


@given(laws, st.integers(0, 15))
def test_many_quantiles_give_the_exact_score(law, outcome) -> None:
    levels = (np.arange(2000) + 0.5) / 2000
    assert in_quantiles(law, levels, outcome) == pytest.approx(crps(law, outcome), abs=0.01)


@pytest.mark.parametrize("count", [12, 40, 104, 400])
@pytest.mark.parametrize(("take", "precision"), [(0.3, 6), (0.65, 12), (0.9, 30), (0.75, 200)])
def test_the_kept_quantiles_score_one_to_four_per_cent_too_low(count, take, precision) -> None:
    law = thinned(surely(count), take, precision)
    exact = expected_score(law, law)
    kept = sum(p * in_quantiles(law, LEVELS, outcome) for outcome, p in enumerate(law))
    assert -0.04 < kept / exact - 1 < -0.005


@given(laws)
def test_the_place_of_what_came_is_even_from_0_to_1_for_an_honest_forecast(law) -> None:
    us = (np.arange(200) + 0.5) / 200
    places = np.array([[randomised_pit(law, k, u) for u in us] for k in range(len(law))])
    # Means of x, x^2 and x^3 under the even law are 1/2, 1/3 and 1/4.
    for power in (1, 2, 3):
        assert law @ (places**power).mean(axis=1) == pytest.approx(1 / (power + 1), abs=1e-4)


def test_what_lies_above_all_that_was_foretold_has_the_last_place() -> None:
    assert randomised_pit(binomial(5, 0.5), 9, 0.3) == pytest.approx(1)


@given(st.integers(1, 60), st.data())
def test_a_share_lies_within_its_interval_and_that_within_0_to_1(trials, data) -> None:
    hits = data.draw(st.integers(0, trials))
    found = share_interval(hits, trials)
    assert 0 <= found.low <= found.share <= found.high <= 1
    assert found.low < found.high
    missed = share_interval(trials - hits, trials)
    assert (missed.low, missed.high) == pytest.approx((1 - found.high, 1 - found.low))


def test_more_trials_tell_more() -> None:
    widths = [share_interval(8 * n, 10 * n) for n in (1, 4, 16)]
    assert all(a.high - a.low > b.high - b.low for a, b in pairwise(widths))


@pytest.mark.parametrize("share", [0.5, 0.8, 0.9])
def test_the_interval_covers_the_true_share_about_as_often_as_it_says(share) -> None:
    """Exact coverage, summed over all outcomes, averaged over 8 to 60 trials."""
    covered = []
    for trials in range(8, 61):
        found = [share_interval(hits, trials) for hits in range(trials + 1)]
        inside = [each.low <= share <= each.high for each in found]
        covered.append(binomial(trials, share) @ inside)
    assert np.mean(covered) == pytest.approx(0.95, abs=0.015)
