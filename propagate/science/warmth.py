"""Warmth that counts: degree-days, and a clock that runs as fast as the day is warm.

All of it rests on one quantity, the *excess* over a threshold: the mean over a day of
max(0, T - threshold). With a horizontal cut-off a day counts its excess over the lower
threshold less that over the upper one, and a response made of straight pieces is a sum of
such excesses. So each integral over a day has a closed form, exact to rounding.

Temperatures are in degrees Celsius (any other scale does for degree-days, all in the same),
minima and maxima of days as arrays of one shape; a missing value (NaN) stays missing.
"""

import math
from collections.abc import Callable
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike

from propagate.errors import Refused
from propagate.science.timing import Array

Excess = Callable[[Array, Array, float], Array]

ROUNDING: Final = 1e-12
"""A day that counts less than this counts nought, so that a clock above its ceiling stands."""


def sine_excess(minimum_c: ArrayLike, maximum_c: ArrayLike, threshold_c: float) -> Array:
    """Mean over a day of max(0, T - threshold) when T runs along a sine [degrees].

    With mean m, half-span a and x = (threshold - m) / a held within -1 and 1 it is
    ((m - threshold) (pi / 2 - arcsin x) + a sqrt(1 - x^2)) / pi; the integral that the
    single sine method sums (Baskerville & Emin 1969, Ecology 50, 514-517).
    Raises Refused for a minimum above its maximum.
    """
    low, high = _day_ends(minimum_c, maximum_c)
    mean, half = (low + high) / 2, (high - low) / 2
    x = _place_on_sine(mean, half, threshold_c)
    quarter = math.pi / 2 - np.arcsin(x)
    excess = ((mean - threshold_c) * quarter + half * np.sqrt(1 - x**2)) / math.pi
    return np.maximum(excess, 0.0)


def sine_share_below(minimum_c: ArrayLike, maximum_c: ArrayLike, threshold_c: float) -> Array:
    """Share of a day, 0 to 1, in which a sine from minimum to maximum is under the threshold.

    A steady day at the threshold itself answers a half. Raises Refused as above.
    """
    low, high = _day_ends(minimum_c, maximum_c)
    x = _place_on_sine((low + high) / 2, (high - low) / 2, threshold_c)
    return 0.5 + np.arcsin(x) / math.pi


def triangle_excess(minimum_c: ArrayLike, maximum_c: ArrayLike, threshold_c: float) -> Array:
    """Mean over a day of max(0, T - threshold) when T rises and falls in straight lines.

    Raises Refused for a minimum above its maximum.
    """
    low, high = _day_ends(minimum_c, maximum_c)
    span = high - low
    over = np.clip(high - threshold_c, 0.0, span)
    tip = np.zeros_like(span)
    np.divide(over, span, out=tip, where=span > 0)
    return tip * over / 2 + np.maximum(low - threshold_c, 0.0)


def single_sine(
    minimum_c: ArrayLike, maximum_c: ArrayLike, lower_c: float, upper_c: float = math.inf
) -> Array:
    """Degree-days of each day by one sine, with a horizontal cut-off at `upper_c`."""
    return _between(sine_excess, *_day_ends(minimum_c, maximum_c), lower_c, upper_c)


def single_triangle(
    minimum_c: ArrayLike, maximum_c: ArrayLike, lower_c: float, upper_c: float = math.inf
) -> Array:
    """Degree-days of each day by one triangle, with a horizontal cut-off at `upper_c`."""
    return _between(triangle_excess, *_day_ends(minimum_c, maximum_c), lower_c, upper_c)


def double_sine(
    minimum_c: ArrayLike,
    maximum_c: ArrayLike,
    next_minimum_c: ArrayLike,
    lower_c: float,
    upper_c: float = math.inf,
) -> Array:
    """Degree-days by two half sines: up from this day's minimum, down to the next day's."""
    rise = single_sine(minimum_c, maximum_c, lower_c, upper_c)
    return (rise + single_sine(next_minimum_c, maximum_c, lower_c, upper_c)) / 2


def average_mean_clipped(
    minimum_c: ArrayLike, maximum_c: ArrayLike, lower_c: float, upper_c: float = math.inf
) -> Array:
    """Degree-days by averaging; the day's *mean* is held between the thresholds.

    The first of the two readings told apart by McMaster & Wilhelm 1997, Agricultural and
    Forest Meteorology 87, 291-300. A cool night takes away from a warm noon.
    """
    low, high = _day_ends(minimum_c, maximum_c)
    return np.clip((low + high) / 2, lower_c, upper_c) - lower_c


def average_ends_clipped(
    minimum_c: ArrayLike, maximum_c: ArrayLike, lower_c: float, upper_c: float = math.inf
) -> Array:
    """Degree-days by averaging; *minimum and maximum* are each held between the thresholds.

    The second reading of McMaster & Wilhelm 1997; it counts more than the first wherever a
    threshold lies between minimum and maximum.
    """
    low, high = _day_ends(minimum_c, maximum_c)
    return (np.clip(low, lower_c, upper_c) + np.clip(high, lower_c, upper_c)) / 2 - lower_c


def quarter_rule(minimum_c: ArrayLike, maximum_c: ArrayLike, base_c: float) -> Array:
    """Degree-days by the rule of quarters of the Irish weather service (Met Éireann).

    A day whose base lies between minimum and mean counts half of what the maximum is over it
    less a quarter of what the minimum is under it; between mean and maximum, a quarter of
    what the maximum is over it.
    """
    low, high = _day_ends(minimum_c, maximum_c)
    over, under, mean = high - base_c, base_c - low, (low + high) / 2
    split = np.where(mean > base_c, over / 2 - under / 4, np.maximum(over, 0.0) / 4)
    return np.where(low >= base_c, mean - base_c, split)


@frozen
class WarmthResponse:
    """How many reference days a day at a steady temperature counts.

    Nought up to `base_c`, rising in a line to one at `reference_c`, one up to `optimum_end_c`,
    falling in a line to nought at `ceiling_c`. The four must ascend, else Refused.
    """

    base_c: float
    reference_c: float
    optimum_end_c: float
    ceiling_c: float

    def __attrs_post_init__(self) -> None:
        if not self.base_c < self.reference_c <= self.optimum_end_c < self.ceiling_c < math.inf:
            raise Refused(
                "Base, reference, end of the optimum and ceiling must ascend; got "
                f"{self.base_c:g}, {self.reference_c:g}, {self.optimum_end_c:g} "
                f"and {self.ceiling_c:g} °C."
            )

    def rate(self, temperature_c: ArrayLike) -> Array:
        """Reference days a day at a steady temperature, 0 to 1."""
        return self.daily(temperature_c, temperature_c)

    def daily(self, minimum_c: ArrayLike, maximum_c: ArrayLike) -> Array:
        """Reference days of each day whose temperature runs along a sine, 0 to 1."""
        low, high = _day_ends(minimum_c, maximum_c)
        rise = _between(sine_excess, low, high, self.base_c, self.reference_c)
        fall = _between(sine_excess, low, high, self.optimum_end_c, self.ceiling_c)
        counted = rise / (self.reference_c - self.base_c)
        counted -= fall / (self.ceiling_c - self.optimum_end_c)
        return np.where(counted < ROUNDING, 0.0, np.minimum(counted, 1.0))


def _between(excess: Excess, low: Array, high: Array, lower_c: float, upper_c: float) -> Array:
    """Excess over the lower threshold that does not also lie over the upper one."""
    if not lower_c < upper_c:
        raise Refused(f"A lower threshold of {lower_c:g} °C is not below {upper_c:g} °C.")
    over = excess(low, high, lower_c)
    return over - excess(low, high, upper_c) if math.isfinite(upper_c) else over


def _place_on_sine(mean: Array, half: Array, threshold_c: float) -> Array:
    """(threshold - mean) / half-span held within -1 and 1; its sign where the span is nought."""
    above_mean = threshold_c - mean
    place = np.asarray(np.sign(above_mean))
    np.divide(np.clip(above_mean, -half, half), half, out=place, where=half > 0)
    return place


def _day_ends(minimum_c: ArrayLike, maximum_c: ArrayLike) -> tuple[Array, Array]:
    low, high = np.broadcast_arrays(
        np.asarray(minimum_c, dtype=np.float64), np.asarray(maximum_c, dtype=np.float64)
    )
    wrong = low > high
    if np.any(wrong):
        raise Refused(
            f"A day's minimum of {low[wrong][0]:g} °C is above its maximum of "
            f"{high[wrong][0]:g} °C."
        )
    return low, high
