"""The share that will ever root: a Beta law read from a record, split into shared and own.

A record gives the 10 % and 90 % points of a batch's take. Part of that scatter is common to
all batches of a plant by a method in one book (the grower, the mother plants, the water);
the rest is each batch's own. Griffiths 1973, Biometrics 29, 637-648, for the beta-binomial.
"""

import math
from functools import lru_cache
from typing import Final

from attrs import frozen

from propagate.errors import Refused

SHARED_SHARE: Final = 0.5
"""Share of the variance of take that a book's batches have in common (memory: no published
split was found, so neither side is favoured)."""

TAKE_FLOOR: Final = 0.01
"""A record's 0 % is read as 1 % and its 100 % as 99 %: no record is that sure."""

SINGLE_NUMBER_ODDS: Final = 2.0
"""A record with one take is read as the range from half to double its odds (memory)."""


@frozen
class TakeSpread:
    """Mean take, and the precisions (a + b) of the shared Beta law and of the batch's own."""

    mean: float
    precision_shared: float
    precision_batch: float


def beta_cdf(x: float, a: float, b: float) -> float:
    """Regularised incomplete beta function I_x(a, b) for x in [0, 1], a and b above 0.

    Continued fraction 8.17.22 of the NIST Digital Library of Mathematical Functions, summed
    by the modified Lentz method; relative error about 1e-13 for a, b up to 1e5.
    """
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_cdf(1 - x, b, a)
    log_front = (
        a * math.log(x) + b * math.log1p(-x) + math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    )
    return math.exp(log_front) / (a * _beta_fraction(x, a, b))


def _beta_fraction(x: float, a: float, b: float) -> float:
    value, upper, lower = 1.0, 1.0, 0.0
    for step in range(1, 5000):
        m = step // 2
        if step % 2:
            part = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        else:
            part = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        lower = 1 / (1 + part * lower or 1e-300)
        upper = 1 + part / upper or 1e-300
        value *= upper * lower
        if abs(upper * lower - 1) < 1e-15:
            break
    return value


def beta_from_range(low: float, high: float) -> tuple[float, float]:
    """Parameters (a, b) of the Beta law with its 10 % and 90 % points at `low` and `high`.

    Shares of 1; 0 and 1 are pulled in to TAKE_FLOOR, one number is widened by
    SINGLE_NUMBER_ODDS both ways. Raises Refused for a range outside 0 to 1 or upside down.
    """
    if not 0 <= low <= high <= 1:
        raise Refused(f"take must run from low to high within 0 to 1; got {low:g} to {high:g}")
    low, high = (min(max(end, TAKE_FLOOR), 1 - TAKE_FLOOR) for end in (low, high))
    if low == high:
        middle, reach = math.log(low / (1 - low)), math.log(SINGLE_NUMBER_ODDS)
        low, high = (1 / (1 + math.exp(-middle - side * reach)) for side in (-1, 1))
    return _solve_beta(low, high)


@lru_cache(maxsize=256)
def _solve_beta(low: float, high: float) -> tuple[float, float]:
    """Newton's method on the logit of the mean and the log of the precision.

    In these terms the log odds of both points are nearly straight lines, so that a handful
    of steps, halved while they do not help, reach rounding error.
    """
    mean = (low + high) / 2
    deviation = (high - low) / 2.5631  # width between the 10 % and 90 % points of a Normal law
    at = (math.log(mean / (1 - mean)), math.log(max(mean * (1 - mean) / deviation**2 - 1, 1.0)))
    miss = _decile_miss(at, low, high)
    for _ in range(50):
        if max(map(abs, miss)) < 1e-11:
            break
        step = _newton_step(at, miss, low, high)
        while True:
            trial = (at[0] + step[0], at[1] + step[1])
            trial_miss = _decile_miss(trial, low, high)
            if math.hypot(*trial_miss) < math.hypot(*miss) or math.hypot(*step) < 1e-9:
                break
            step = (step[0] / 2, step[1] / 2)
        at, miss = trial, trial_miss
    return _beta_at(at)


def _beta_at(at: tuple[float, float]) -> tuple[float, float]:
    mean, precision = 1 / (1 + math.exp(-at[0])), math.exp(at[1])
    return mean * precision, (1 - mean) * precision


def _decile_miss(at: tuple[float, float], low: float, high: float) -> tuple[float, float]:
    """How far the log odds of being below `low` and `high` lie from those of 10 and 90 %."""
    a, b = _beta_at(at)
    below, above = max(beta_cdf(low, a, b), 1e-280), max(beta_cdf(1 - high, b, a), 1e-280)
    return (
        math.log(below) - math.log1p(-min(below, 1 - 1e-15)) + math.log(9),
        math.log1p(-min(above, 1 - 1e-15)) - math.log(above) - math.log(9),
    )


def _newton_step(
    at: tuple[float, float], miss: tuple[float, float], low: float, high: float
) -> tuple[float, float]:
    nudge = 1e-6
    by_mean = _decile_miss((at[0] + nudge, at[1]), low, high)
    by_precision = _decile_miss((at[0], at[1] + nudge), low, high)
    j00, j10 = ((after - now) / nudge for after, now in zip(by_mean, miss, strict=True))
    j01, j11 = ((after - now) / nudge for after, now in zip(by_precision, miss, strict=True))
    determinant = j00 * j11 - j01 * j10
    return (
        (j01 * miss[1] - j11 * miss[0]) / determinant,
        (j10 * miss[0] - j00 * miss[1]) / determinant,
    )


def split_take(a: float, b: float, shared_share: float = SHARED_SHARE) -> TakeSpread:
    """Split a Beta(a, b) take into a shared mean and batches around it, variance kept.

    With V the variance of Beta(a, b), m its mean and k = `shared_share`, the shared mean has
    variance k V and a batch around it (1 - k) V on average:
    phi_shared + 1 = m (1 - m) / (k V),  phi_batch + 1 = (m (1 - m) - k V) / ((1 - k) V).
    Mean and variance of a batch's take stay those of Beta(a, b); its shape does so nearly.
    k = 0 gives an infinite shared precision. Raises Refused for k outside 0 to below 1.
    """
    if not 0 <= shared_share < 1:
        raise Refused(f"the shared part lies from 0 to below 1; got {shared_share:g}")
    mean, ratio = a / (a + b), a + b + 1  # ratio is m (1 - m) / V
    return TakeSpread(
        mean=mean,
        precision_shared=ratio / shared_share - 1 if shared_share > 0 else math.inf,
        precision_batch=(ratio - shared_share) / (1 - shared_share) - 1,
    )
