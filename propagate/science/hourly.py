"""Temperatures of every hour from the minima and maxima of days."""

import math
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike

from propagate.errors import Refused
from propagate.science.timing import Array

HOURS: Final = 24

SHORTEST_LIGHT_H: Final = 4.0
LONGEST_LIGHT_H: Final = 20.0
"""The curve needs a noon and a night of its own: days near or beyond the polar circles are
drawn as if they had 4 or 20 hours of light (memory: no published form was found for them)."""


@frozen
class DayShape:
    """When a day is warmest and coldest, and how fast the night cools.

    `maximum_lag_h` after noon; `minimum_lag_h` after sunrise, negative when before it;
    `night_decay` is the number of time constants in a night.
    """

    maximum_lag_h: float
    minimum_lag_h: float
    night_decay: float


OPEN_AIR: Final = DayShape(maximum_lag_h=1.86, minimum_lag_h=-0.17, night_decay=2.20)
"""Air at 1.5 m over grass near Denver, Colorado (Parton & Logan 1981, table 1)."""


def hourly_temperatures(
    minimum_c: ArrayLike, maximum_c: ArrayLike, day_hours: ArrayLike, shape: DayShape = OPEN_AIR
) -> Array:
    """Temperature [°C] in the middle of each hour, 24 for each day, from midnight of day 0.

    A sine from the minimum through the maximum to sunset, then an exponential fall through
    the night (Parton & Logan 1981, Agricultural Meteorology 23, 205-216). Theirs ends a
    tenth of the way short of the minimum; here the fall is stretched to reach the *next*
    day's minimum, so that the curve has no jump. The nights at both ends of the series
    repeat the first and the last day. `day_hours` from sunrise to sunset, one number or one a
    day. A missing day (NaN) leaves its hours missing, and the nights beside it.
    Raises Refused for arrays of unlike length.
    """
    low = np.atleast_1d(np.asarray(minimum_c, dtype=np.float64))
    high = np.atleast_1d(np.asarray(maximum_c, dtype=np.float64))
    if low.shape != high.shape or low.ndim != 1:
        raise Refused(f"{low.size} minima do not belong to {high.size} maxima.")
    light_h = np.broadcast_to(np.asarray(day_hours, dtype=np.float64), low.shape)
    light_h = np.clip(light_h, SHORTEST_LIGHT_H, LONGEST_LIGHT_H)
    coldest_h, sunset_h = 12 - light_h / 2 + shape.minimum_lag_h, 12 + light_h / 2
    sine = math.pi / (light_h + 2 * (shape.maximum_lag_h - shape.minimum_lag_h))
    at_sunset = low + (high - low) * np.sin(sine * (sunset_h - coldest_h))

    hours = np.arange(HOURS)[:, None] + 0.5
    day = low + (high - low) * np.sin(sine * (hours - coldest_h))
    since_h = hours + HOURS - _before(sunset_h)
    whole_h = coldest_h + HOURS - _before(sunset_h)
    morning = _cooled(_before(at_sunset), low, since_h / whole_h, shape.night_decay)
    since_h = np.maximum(hours - sunset_h, 0.0)
    whole_h = _after(coldest_h) + HOURS - sunset_h
    evening = _cooled(at_sunset, _after(low), since_h / whole_h, shape.night_decay)
    course = np.where(hours < coldest_h, morning, np.where(hours > sunset_h, evening, day))
    return np.asarray(course.T.ravel(), dtype=np.float64)


def _cooled(from_c: Array, to_c: Array, passed: Array, decay: float) -> Array:
    """Part-way through a night, by an exponential that is rescaled to end at `to_c`."""
    return from_c + (to_c - from_c) * np.expm1(-decay * passed) / math.expm1(-decay)


def _before(daily: Array) -> Array:
    return np.concatenate([daily[:1], daily[:-1]])


def _after(daily: Array) -> Array:
    return np.concatenate([daily[1:], daily[-1:]])
