"""Scores against published closed forms and figures, and against scipy."""

import numpy as np
import pytest
from scipy import integrate, special, stats

from propagate.science.scores import crps, share_interval


@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.95])
def test_of_two_outcomes_it_is_half_the_score_of_brier(share) -> None:
    # Brier 1950, Monthly Weather Review 78, 1-3, with two classes: (1 - p)^2 + (0 - (1 - p))^2
    # when the event of probability p comes, which is twice (1 - p)^2.
    law = np.array([1 - share, share])
    assert crps(law, 1) == pytest.approx((1 - share) ** 2)
    assert crps(law, 0) == pytest.approx(share**2)


@pytest.mark.parametrize("rate", [0.5, 4.0, 30.0])
@pytest.mark.parametrize("outcome", [0, 3, 31])
def test_the_poisson_law_has_its_closed_form(rate, outcome) -> None:
    # Wei & Held 2014, TEST 23, 787-805 (also Jordan, Krueger & Lerch 2019, Journal of
    # Statistical Software 90(12)):
    # (y - l) (2 F(y) - 1) + 2 l f(y) - l exp(-2 l) (I0(2 l) + I1(2 l)); ive is scaled by e^-2l.
    law = stats.poisson(rate)
    closed = (
        (outcome - rate) * (2 * law.cdf(outcome) - 1)
        + 2 * rate * law.pmf(outcome)
        - rate * (special.ive(0, 2 * rate) + special.ive(1, 2 * rate))
    )
    assert crps(law.pmf(np.arange(200)), outcome) == pytest.approx(closed, abs=1e-9)


LAWS = [stats.binom(40, 0.7), stats.betabinom(40, 3, 2), stats.betabinom(104, 0.8, 5)]


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("outcome", [0, 17, 28, 40])
def test_it_is_the_integral_that_defines_it(law, outcome) -> None:
    # Matheson & Winkler 1976, Management Science 22, 1087-1096: the integral over all x of
    # (F(x) - [x at least y])^2, here by quadrature from step to step.
    size = law.args[0] + 1

    def squared(x):
        return (law.cdf(x) - (x >= outcome)) ** 2

    integral = sum(integrate.quad(squared, k, k + 1 - 1e-9)[0] for k in range(size))
    assert crps(law.pmf(np.arange(size)), outcome) == pytest.approx(integral, abs=1e-5)


@pytest.mark.parametrize("law", LAWS)
def test_it_is_the_distance_to_what_came_less_half_that_among_forecasts(law) -> None:
    # Gneiting & Raftery 2007, JASA 102, 359-378: E|X - y| - E|X - X'| / 2.
    k = np.arange(law.args[0] + 1)
    pmf, outcome = law.pmf(k), 21
    within = pmf @ np.abs(k[:, None] - k) @ pmf
    assert crps(pmf, outcome) == pytest.approx(pmf @ np.abs(k - outcome) - within / 2, abs=1e-10)


@pytest.mark.parametrize(
    ("hits", "trials", "low", "high"),
    # Newcombe 1998, Statistics in Medicine 17, 857-872, table I, score method without
    # continuity correction.
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_of_a_share_as_published(hits, trials, low, high) -> None:
    found = share_interval(hits, trials)
    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-5)


@pytest.mark.parametrize("trials", [1, 2, 7, 40])
@pytest.mark.parametrize("confidence", [0.5, 0.8, 0.95])
def test_the_interval_of_a_share_as_scipy_has_it(trials, confidence) -> None:
    for hits in range(trials + 1):
        theirs = stats.binomtest(hits, trials).proportion_ci(confidence, method="wilson")
        found = share_interval(hits, trials, confidence)
        assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)
