"""Whole numbers of plants: distributions, their sums, thinning and quantiles.

A distribution of a count is an array over 0..n on its last axis. Nothing is taken from a
Normal curve.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from attrs import frozen

from propagate.science.timing import Array

MOST_AT_ONCE: Final = 300
"""Up to so many plants are thinned by one table, of a megabyte at most."""

EVEN_LENGTH: Final = 50
"""Tables are made for a multiple of so many plants, so that many counts share one."""

MOST_SINGLY: Final = 3_000
"""Up to so many plants are thinned singly; the work grows with the square."""

NEGLIGIBLE: Final = 1e-13
"""Mass below this at the ends of a distribution is left out of a sum."""


@frozen
class Interval:
    """Central interval of a count: its ends, median, mean, and the probability asked for."""

    low: int
    likely: int
    high: int
    mean: float
    chance: float


@lru_cache(maxsize=8)
def log_factorials(n: int) -> Array:
    """ln(0!), ..., ln(n!)."""
    return np.concatenate([[0.0], np.cumsum(np.log(np.arange(1, n + 1)))])


def binomial(count: int, share: float) -> Array:
    """Binomial(count, share), the distribution (count + 1,) when the share is known."""
    if share in (0.0, 1.0):
        return shifted(np.ones(1), round(count * share), count + 1)
    k, factorial = np.arange(count + 1), log_factorials(count)
    ways = factorial[count] - factorial - factorial[::-1]
    return np.asarray(np.exp(ways + k * math.log(share) + (count - k) * math.log1p(-share)))


def tidy(pmf: Array) -> Array:
    """The same distribution with rounding below zero removed and its sum made 1."""
    pmf = np.maximum(pmf, 0.0)
    return np.asarray(pmf / pmf.sum(axis=-1, keepdims=True), dtype=np.float64)


def quantile(pmf: Array, share: float) -> int:
    """Smallest count k with P(at most k) at least `share`, for one distribution (n + 1,)."""
    return quantiles(pmf, (share,))[0]


def quantiles(pmf: Array, shares: Sequence[float]) -> list[int]:
    """The same for several shares at once.

    A hair of rounding error in the sum does not push an answer one count up.
    """
    found = np.cumsum(pmf).searchsorted(np.array(shares) - 1e-12)
    return [min(int(k), len(pmf) - 1) for k in found]


def at_least(pmf: Array, wanted: int) -> float:
    """P(count is at least `wanted`)."""
    return float(pmf[max(wanted, 0) :].sum())


def mean(pmf: Array) -> float:
    """Expected count."""
    return float(pmf @ np.arange(len(pmf)))


def interval(pmf: Array, chance: float = 0.8) -> Interval:
    """Central interval of a count that holds it with probability at least about `chance`."""
    tail = (1 - chance) / 2
    low, likely, high = quantiles(pmf, (tail, 0.5, 1 - tail))
    return Interval(low=low, likely=likely, high=high, mean=mean(pmf), chance=chance)


def shifted(pmf: Array, known: int, length: int) -> Array:
    """Distribution of `known` plus the count, as an array over 0..length - 1."""
    out = np.zeros((*pmf.shape[:-1], length))
    out[..., known : known + pmf.shape[-1]] = pmf
    return out


def stretched(pmf: Array, size: int) -> Array:
    """A distribution over 0..n, in units, as one over 0..size - 1 single ones.

    The mass of a unit is spread evenly over the counts it stands for. The leading axes stay.
    """
    units = pmf.shape[-1]
    if units == size:
        return pmf
    if units == 1 or size == 1:
        return shifted(np.ones((*pmf.shape[:-1], 1)), 0, size)
    edges = (np.arange(units + 1) - 0.5) * (size - 1) / (units - 1)
    edges[0], edges[-1] = -0.5, size - 0.5
    wanted = np.arange(size + 1) - 0.5
    rows = pmf.reshape(-1, units)
    below = np.concatenate([np.zeros((len(rows), 1)), np.cumsum(rows, axis=1)], axis=1)
    spread = np.array([np.diff(np.interp(wanted, edges, row)) for row in below])
    return spread.reshape(*pmf.shape[:-1], size)


def total(parts: Sequence[Array]) -> Array:
    """Distribution of the sum of independent counts, each (..., n_i + 1).

    Leading axes are kept apart: with one for the shared take, the sum is conditional on it.
    Pairs are joined in a tree by the Fourier transform, whose error of about 1e-16 of
    probability is below every quantile's resolution. No parts: surely nought.
    """
    if not parts:
        return np.ones(1)
    size = sum(part.shape[-1] - 1 for part in parts) + 1
    begin = 0
    level: list[Array] = []
    for part in parts:
        first, trimmed = _trimmed(part)
        begin += first
        level.append(trimmed)
    while len(level) > 1:
        odd = [level.pop()] if len(level) % 2 else []
        level = [_joined(a, b) for a, b in zip(level[::2], level[1::2], strict=True)] + odd
    return shifted(tidy(level[0]), begin, size)


def _trimmed(pmf: Array) -> tuple[int, Array]:
    heavy = np.nonzero(pmf.reshape(-1, pmf.shape[-1]).max(axis=0) > NEGLIGIBLE)[0]
    return int(heavy[0]), pmf[..., heavy[0] : heavy[-1] + 1]


def _joined(a: Array, b: Array) -> Array:
    if a.shape[-1] == 1 or b.shape[-1] == 1:
        return a * b  # one of them is a number known for sure
    size = a.shape[-1] + b.shape[-1] - 1
    padded = 1 << (size - 1).bit_length()
    spectrum = np.fft.rfft(a, padded) * np.fft.rfft(b, padded)
    return np.asarray(np.fft.irfft(spectrum, padded)[..., :size], dtype=np.float64)


def in_bins(pmf: Array, unit: int) -> Array:
    """A distribution over 0..n as one over 0..n // unit units, each count to its nearest."""
    if unit == 1:
        return pmf
    units = (pmf.shape[-1] - 1) // unit
    nearest = np.minimum(np.rint(np.arange(pmf.shape[-1]) / unit), units)
    starts = np.nonzero(np.diff(nearest, prepend=-1.0))[0]
    return np.asarray(np.add.reduceat(pmf, starts, axis=-1), dtype=np.float64)


def thinned(pmf: Array, share_mean: float, precision: float) -> Array:
    """Count after each one stays with a common share ~ Beta(mean, precision a + b).

    Used for plants that establish after rooting. All plants of the count have the share in
    common, so a total is thinned after summing. The mixture over the share is the
    beta-binomial law itself, not a few nodes. Above MOST_SINGLY plants are reckoned in
    units that stay or go together, which the common share's scatter drowns. `pmf` has shape
    (..., n + 1), as the answer.
    """
    n = pmf.shape[-1] - 1
    if n > MOST_SINGLY:
        units = in_bins(pmf, -(-n // MOST_SINGLY))
        return stretched(_thinned_one_by_one(units, share_mean, precision), n + 1)
    if n > MOST_AT_ONCE:
        return _thinned_one_by_one(pmf, share_mean, precision)
    length = min(-(-n // EVEN_LENGTH) * EVEN_LENGTH, MOST_AT_ONCE)
    chance = _chance_to_stay(share_mean, precision, length)[: n + 1, : n + 1]
    return tidy(np.asarray(pmf @ chance, dtype=np.float64))


@lru_cache(maxsize=32)
def _chance_to_stay(share_mean: float, precision: float, n: int) -> Array:
    """P(k stay | of j), (j, k): the beta-binomial law for every number up to n."""
    a, b = share_mean * precision, (1 - share_mean) * precision
    factorial, number = log_factorials(n), np.arange(n + 1)
    stay, go = log_rising(a, n) - factorial, log_rising(b, n) - factorial
    lost = number[:, None] - number
    log_chance = stay + go[np.maximum(lost, 0)] - (log_rising(a + b, n) - factorial)[:, None]
    return np.asarray(np.exp(np.where(lost >= 0, log_chance, -np.inf)), dtype=np.float64)


def thinned_by(pmf: Array, share: float) -> Array:
    """Count after each one stays by itself with a known chance; (..., n + 1), as the answer.

    More than MOST_SINGLY are reckoned in units that stay or go together.
    """
    n = pmf.shape[-1] - 1
    if n > MOST_SINGLY:
        return stretched(thinned_by(in_bins(pmf, -(-n // MOST_SINGLY)), share), n + 1)
    share = min(max(share, 0.0), 1.0)
    out = np.zeros_like(pmf)
    first, heavy = _trimmed(pmf)
    for of in range(first, first + heavy.shape[-1]):
        out[..., : of + 1] += pmf[..., of, None] * binomial(of, share)
    return tidy(out)


def _thinned_one_by_one(pmf: Array, share_mean: float, precision: float) -> Array:
    """`thinned` for large counts, without a table of every count by every other."""
    a, b = share_mean * precision, (1 - share_mean) * precision
    n = pmf.shape[-1] - 1
    factorial = log_factorials(n)
    stay, go = log_rising(a, n) - factorial, log_rising(b, n) - factorial
    either = log_rising(a + b, n) - factorial
    out = np.zeros_like(pmf)
    first, heavy = _trimmed(pmf)
    for start in range(first, first + heavy.shape[-1]):
        chance = np.exp(stay[: start + 1] + go[start::-1] - either[start])
        out[..., : start + 1] += pmf[..., start, None] * chance
    return tidy(out)


def log_rising(start: float | Array, most: int) -> Array:
    """Log of x (x + 1) .. (x + k - 1) for k = 0..most, on a new last axis.

    Ratios of Gamma functions, as sums of logs.
    """
    first = np.asarray(start, dtype=np.float64)
    out = np.zeros((*first.shape, most + 1))
    np.cumsum(np.log(first[..., None] + np.arange(most)), axis=-1, out=out[..., 1:])
    return out


def mixed(weights: Array, given: Array) -> Array:
    """Distribution (n + 1,) from one for each node (nodes, n + 1) and the nodes' weights."""
    return tidy(np.asarray(weights @ given, dtype=np.float64))
