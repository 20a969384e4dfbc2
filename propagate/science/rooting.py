"""How many of the takers will have rooted by a day: binomial, thinned for each shift.

Of j takers that wait, each has rooted by a later age with the chance v(u). Summed over the
batch's shift u, k of them have with the weight  C(j, k) sum over u of  w q^j v^k (1 - v)^(j-k),
which is one product of two matrices, for j splits into k and j - k.
"""

from functools import lru_cache
from typing import Final

import numpy as np
from attrs import frozen

from propagate.science.counts import log_factorials
from propagate.science.timing import TINY, Array

_ROOM: Final = 1e280
"""Weights are scaled up to it, so that the smallest products do not vanish."""


@frozen(eq=False)
class Waiting:
    """Takers that wait: weight of each shift and chances there, logs of shape (shifts,).

    `log_weight` leaves out the chance `log_waiting` that a taker waits; `log_rooted` and
    `log_not` are the chances that one that waits has rooted by the later age, and has not.
    """

    log_weight: Array
    log_waiting: Array
    log_rooted: Array
    log_not: Array


def rooted_of_takers(
    law: Waiting, takers: int, told: Array | None, deaths: Array | None, least: int = 0
) -> Array:
    """P(k of j takers have rooted), rows j = 0..takers, columns k.

    At least `least` have for sure, so that a row too small for numbers tells of so many.

    `told` (takers + 1, shifts) is P(clues | k rooted, shift), `deaths` the logarithm of
    P(dead in samples | j takers, shift).
    """
    log_waiting = law.log_waiting - law.log_waiting.max()
    number = np.arange(takers + 1)[:, None]
    weight = np.exp(law.log_weight - law.log_weight.max()) * (_ROOM / len(law.log_weight))
    rooted = weight * np.exp(number * (log_waiting + law.log_rooted))
    if told is not None:
        rooted = rooted * told
    unrooted = np.exp(number * (log_waiting + law.log_not))
    if deaths is None:
        return _rows(_choices(takers) * _by_sum(rooted @ unrooted.T), least)
    out = np.zeros((takers + 1, takers + 1))
    for j in range(takers + 1):
        both = rooted[: j + 1] * unrooted[j::-1]
        out[j, : j + 1] = both @ np.exp(deaths[j] - deaths[j].max())
    return _rows(_choices(takers) * out, least)


def _by_sum(by_parts: Array) -> Array:
    """From [k, l] to [j, k] with l = j - k; nought above the diagonal."""
    number = np.arange(len(by_parts))
    rest = number[:, None] - number
    return np.where(rest >= 0, by_parts[number, np.maximum(rest, 0)], 0.0)


def _rows(weights: Array, least: int) -> Array:
    """Each row made to sum to 1; one that has vanished tells of the fewest that can be."""
    number = np.arange(len(weights))
    weights[number, np.minimum(number, least)] += TINY
    return np.asarray(weights / weights.sum(axis=1, keepdims=True), dtype=np.float64)


@lru_cache(maxsize=64)
def _choices(most: int) -> Array:
    """Binomial coefficients C(j, k), j and k up to `most` (at most 1,000), 0 where k > j."""
    factorial, number = log_factorials(most), np.arange(most + 1)
    rest = np.maximum(number[:, None] - number, 0)
    log_ways = factorial[:, None] - factorial - factorial[rest]
    return np.where(number[:, None] >= number, np.exp(log_ways), 0.0)


def chosen(pmf: Array, kept: int) -> Array:
    """Counts among n, (..., n + 1), when `kept` of the n stay by lot, (..., kept + 1)."""
    size = pmf.shape[-1] - 1
    if kept == size:
        return pmf
    factorial, marked = log_factorials(size), np.arange(size + 1)[:, None]
    left = np.arange(kept + 1)
    possible = (left <= marked) & (kept - left <= size - marked)
    among, others = np.maximum(marked - left, 0), np.maximum(size - marked - kept + left, 0)
    log_ways = (
        (factorial[marked] - factorial[left] - factorial[among])
        + (factorial[size - marked] - factorial[kept - left] - factorial[others])
        - (factorial[size] - factorial[kept] - factorial[size - kept])
    )
    return np.asarray(pmf @ np.where(possible, np.exp(log_ways), 0.0), dtype=np.float64)
