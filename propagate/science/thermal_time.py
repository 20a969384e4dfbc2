"""Base temperature and warmth needed, fitted to times at several steady temperatures."""

import math
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike

from propagate.errors import Refused
from propagate.science.timing import Array
from propagate.science.warmth import ROUNDING, WarmthResponse

STEP_C: Final = 0.1
COLDEST_BASE_C: Final = 10.0
"""A fitted clock's base is looked for down to ten degrees below freezing."""


@frozen
class ThermalTime:
    """Days at T are `degree_days` / (T - `base_c`); `r_squared` of the line of rates."""

    base_c: float
    degree_days: float
    r_squared: float

    def days_at(self, temperature_c: ArrayLike) -> Array:
        """Days at a steady temperature; infinity at or below the base."""
        warmth = np.asarray(temperature_c, dtype=np.float64) - self.base_c
        days = np.full(warmth.shape, math.inf)
        np.divide(self.degree_days, warmth, out=days, where=warmth > ROUNDING)
        return days


@frozen
class FittedClock:
    """A warmth response, the reference days needed under it, and the deviation of ln days."""

    response: WarmthResponse
    reference_days: float
    log_days_deviation: float

    def days_at(self, temperature_c: ArrayLike) -> Array:
        """Days at a steady temperature; infinity where the clock stands still."""
        rate = self.response.rate(temperature_c)
        days = np.full(rate.shape, math.inf)
        np.divide(self.reference_days, rate, out=days, where=rate > 0)
        return days


def fit_thermal_time(temperature_c: ArrayLike, days: ArrayLike) -> ThermalTime:
    """Least-squares line of 1 / days on temperature, both shape (n,), below the optimum.

    The base is where the line meets nought, the warmth needed 1 / slope (Garcia-Huidobro,
    Monteith & Squire 1982, Journal of Experimental Botany 33, 288-296). The range of
    temperatures matters: a plateau near the optimum pulls the base down.
    Raises Refused for fewer than two temperatures or when warmth does not hasten.
    """
    warmth, rate = _times(temperature_c, days)
    centred = warmth - warmth.mean()
    slope = float(centred @ rate / (centred @ centred))
    if slope <= 0:
        raise Refused("These times do not get shorter with warmth; no base can be fitted.")
    total = float(((rate - rate.mean()) ** 2).sum())
    left = float(((rate - rate.mean() - slope * centred) ** 2).sum())
    return ThermalTime(
        base_c=float(warmth.mean() - rate.mean() / slope),
        degree_days=1 / slope,
        r_squared=1 - left / total,
    )


def fit_clock(
    temperature_c: ArrayLike,
    days: ArrayLike,
    *,
    optimum_end_c: float,
    ceiling_c: float,
    weights: ArrayLike = 1.0,
) -> FittedClock:
    """The warmth clock under which the times at all temperatures agree best, shape (n,) each.

    Base and reference are sought on a grid of 0.1 degrees for the least (weighted) variance of
    ln(days x rate); the warm end is given, for few trials reach it. The reference lies from
    the second coldest trial, for one point does not fix a slope, to the warmest one within the
    optimum. Raises Refused for fewer than three temperatures or one beyond the ceiling.
    """
    warmth, rate = _times(temperature_c, days)
    steady = np.unique(warmth)
    if steady.size < 3 or steady[-1] >= ceiling_c:
        raise Refused("A clock is fitted to three temperatures or more, all below the ceiling.")
    base = np.arange(-COLDEST_BASE_C, steady[0], STEP_C)[:, None, None]
    warmest = min(steady[-1], optimum_end_c)
    reference = np.minimum(np.arange(steady[1], warmest + STEP_C / 2, STEP_C), warmest)[:, None]
    fall = np.clip((ceiling_c - warmth) / (ceiling_c - optimum_end_c), None, 1.0)
    counted = np.minimum((warmth - base) / (reference - base), 1.0) * fall
    share = np.broadcast_to(np.asarray(weights, dtype=np.float64), warmth.shape)
    share = share / share.sum()
    log_days = np.log(counted / rate)
    mean = log_days @ share
    variance = (log_days - mean[..., None]) ** 2 @ share
    best = np.unravel_index(int(variance.argmin()), variance.shape)
    base_c, reference_c = float(base[best[0], 0, 0]), float(reference[best[1], 0])
    return FittedClock(
        WarmthResponse(base_c, reference_c, optimum_end_c, ceiling_c),
        reference_days=math.exp(mean[best]),
        log_days_deviation=math.sqrt(variance[best]),
    )


def _times(temperature_c: ArrayLike, days: ArrayLike) -> tuple[Array, Array]:
    """Temperatures and rates 1 / days, checked."""
    warmth, time = np.asarray(temperature_c, dtype=np.float64), np.asarray(days, dtype=np.float64)
    if warmth.ndim != 1 or warmth.shape != time.shape or np.unique(warmth).size < 2:
        raise Refused("A fit needs times at two temperatures or more, one time for each.")
    if not (np.isfinite(warmth).all() and np.isfinite(time).all() and (time > 0).all()):
        raise Refused("Temperatures must be numbers and times days above nought.")
    return warmth, 1 / time
