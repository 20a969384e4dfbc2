"""When takers root: a log-logistic time within a batch, and a whole batch early or late.

For a taker of one batch  ln T = mu + u + s L,  where L is a standard logistic number of its
own and u ~ Normal(0, tau) is common to the batch. T is in days; mu, u, s and tau are on the
scale of ln(days). The log-logistic law is the usual one of event-time germination models:
Ritz, Pipper & Streibig 2013, European Journal of Agronomy 45, 1-6.
"""

import math
from functools import lru_cache
from itertools import pairwise
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike, NDArray

from propagate.errors import Refused

Array = NDArray[np.float64]

WITHIN_SHARE: Final = 0.5
"""Share of the variance of ln T found within a batch; the rest lies between batches.
No published split was found for cuttings, so neither side is favoured (memory)."""

SINGLE_NUMBER_FACTOR: Final = 1.5
"""A record with one number of days is read as the range from it / 1.5 to it x 1.5 (memory)."""

TINY: Final = 1e-300
"""Keeps the logarithm of what cannot be finite."""

SHORTEST_DAYS: Final = 0.5
"""Ages below half a day are read as half a day, for the law has no logarithm of nought."""


@frozen
class TimeSpread:
    """The law of ln T: mean mu, logistic scale s within, Normal deviation tau between [ln d]."""

    log_days_mean: float
    log_days_scale: float
    log_days_between: float


def score(age_days: ArrayLike, log_days_mean: ArrayLike, log_days_scale: ArrayLike) -> Array:
    """Log odds (ln t - mu) / s that the time of the law is at most `age_days` (above 0)."""
    late = np.log(age_days) - np.asarray(log_days_mean)
    return np.asarray(late / log_days_scale, dtype=np.float64)


def log_sigmoid(log_odds: Array) -> Array:
    """Log of the share 1 / (1 + exp(-x)) whose log odds are x; at -x that of the rest.

    Of numpy's vectorised exp and log1p, a fifth of what its `logaddexp` takes.
    """
    out = np.minimum(log_odds, 0.0) - np.log1p(np.exp(-np.abs(log_odds)))
    return np.asarray(out, dtype=np.float64)


def cdf(age_days: ArrayLike, log_days_mean: ArrayLike, log_days_scale: ArrayLike) -> Array:
    """Probability that a log-logistic time is at most `age_days` (above 0); shapes broadcast."""
    return np.exp(log_sigmoid(score(age_days, log_days_mean, log_days_scale)))


def ppf(share: ArrayLike, log_days_mean: ArrayLike, log_days_scale: float) -> Array:
    """Days at which the log-logistic law reaches `share`, strictly between 0 and 1."""
    share = np.asarray(share, dtype=np.float64)
    log_odds = np.log(share) - np.log1p(-share)
    return np.asarray(np.exp(log_days_mean + log_days_scale * log_odds), dtype=np.float64)


def log_between(from_score: Array, to_score: Array) -> Array:
    """Log of F(to) - F(from) from two log odds, free of cancellation; -690 where it is nought.

    Uses F(x) - F(y) = F(x) (1 - F(y)) (1 - exp(y - x)) for the logistic F.
    """
    gap = np.maximum(-np.expm1(np.minimum(from_score - to_score, 0.0)), TINY)
    return np.log(gap) + log_sigmoid(to_score) + log_sigmoid(-from_score)


def from_range(low_days: float, high_days: float, within_share: float = WITHIN_SHARE) -> TimeSpread:
    """Time law whose 10 % and 90 % points over all batches are exactly the two ends [days].

    One number (`low_days` equal to `high_days`) is widened by SINGLE_NUMBER_FACTOR both ways.
    `within_share` (above 0, at most 1) is the share of the variance of ln T within a batch.
    Raises Refused for a range that is upside down or a share out of bounds.
    """
    if not 0 <= low_days <= high_days or high_days == 0:
        raise Refused(f"days must run from low to high, above 0; got {low_days:g} to {high_days:g}")
    if not 0 < within_share <= 1:
        raise Refused(f"the share within a batch lies above 0 and up to 1; got {within_share:g}")
    low, high = max(low_days, SHORTEST_DAYS), max(high_days, SHORTEST_DAYS)
    if low == high:
        low, high = low / SINGLE_NUMBER_FACTOR, high * SINGLE_NUMBER_FACTOR
    deviation = math.log(high / low) / (2 * _upper_decile(within_share))
    return TimeSpread(
        log_days_mean=math.log(low * high) / 2,
        log_days_scale=_scale_of(within_share) * deviation,
        log_days_between=math.sqrt(1 - within_share) * deviation,
    )


def _scale_of(variance: float) -> float:
    """Scale of the logistic law with this variance, which is scale^2 pi^2 / 3."""
    return math.sqrt(3 * variance) / math.pi


@lru_cache(maxsize=16)
def _upper_decile(within_share: float) -> float:
    """90 % point of the sum of a logistic and a Normal number with total variance 1.

    The trapezoid over the Normal number is accurate to machine precision, for the integrand
    is smooth and vanishes at both ends; the root is found by bisection.
    """
    normal = np.linspace(-9.0, 9.0, 721)
    weight = np.exp(-(normal**2) / 2)
    weight /= weight.sum()
    offset = normal * math.sqrt(1 - within_share)
    low, high = 0.0, 3.0
    for _ in range(60):
        middle = (low + high) / 2
        reached = weight @ (1 / (1 + np.exp((offset - middle) / _scale_of(within_share))))
        low, high = (middle, high) if reached < 0.9 else (low, middle)
    return (low + high) / 2


def summed_over_shifts(weights: Array, log_shift: Array, log_waiting: Array, most: int) -> Array:
    """Log of the sum over shifts of weight x shift x waiting^j, j = 0..most.

    From (batches, earlies, shifts) and (batches, shifts) to (batches, earlies, j). Powers are
    products grown one by one, of numbers scaled to a largest of 1.
    """
    scale = (log_shift + np.log(weights.max(axis=1))).max(axis=1)[:, None, None]
    top = log_waiting.max(axis=1, keepdims=True)
    waiting = np.exp(log_waiting - top)
    powers = np.empty((most + 1, *waiting.shape))
    powers[0] = np.exp(log_shift - scale[:, 0])
    for before, after in pairwise(powers):
        np.multiply(before, waiting, out=after)
    logs = np.log(np.maximum(weights @ powers.transpose(1, 2, 0), TINY))
    return np.asarray(logs + scale + top[:, None] * np.arange(most + 1), dtype=np.float64)
