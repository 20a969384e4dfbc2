"""Chill that breaks dormancy, in days or in the published units.

Hourly temperatures are in degrees Celsius, the last axis running over hours; each function
answers what every single hour counts, so that a sum, a day or a running total is one line
for the caller (`per_day`). A missing hour (NaN) stays missing.
"""

import math
from collections.abc import Callable
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike, NDArray

from propagate.errors import Refused
from propagate.science.hourly import HOURS, hourly_temperatures
from propagate.science.timing import Array
from propagate.science.warmth import sine_share_below
from propagate.units import ChillModel

CHILL_LIMIT_C: Final = 7.2  # 45 F

WINTER_LIGHT_H: Final = 10.0
"""Hours of light in the season of chill, 8 to 12 in middle latitudes (common practice); an hour
more or less moves a day's chill by a few per cent."""

PORTIONS_A_DAY: Final = 0.82
"""What a day at a steady 6 °C makes by the Dynamic Model, whose best is 0.83 at 8 °C."""

UTAH_EDGES_C: Final = (1.4, 2.4, 9.1, 12.4, 15.9, 18.0)
UTAH_UNITS: Final = (0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0)
"""Richardson, Seeley & Walker 1974, HortScience 9, 331-332, in degrees Celsius. Each band runs
up to its edge and includes it; printed tables leave gaps of 0.1 C between bands."""

KELVIN: Final = 273.0  # as the Dynamic Model was fitted, not 273.15
FORMING_ENERGY_K: Final = 4153.5  # E0
BREAKING_ENERGY_K: Final = 12888.8  # E1
FORMING_RATE_PER_H: Final = 139500.0  # A0
BREAKING_RATE_PER_H: Final = 2.567e18  # A1
FIXING_SLOPE: Final = 1.6
FIXING_TEMPERATURE_K: Final = 277.0
"""Constants of the Dynamic Model: Fishman, Erez & Couvillon 1987, Journal of Theoretical
Biology 124, 473-483, in the form that Erez and Fishman published as a worksheet."""


def days_in_band(minimum_c: ArrayLike, maximum_c: ArrayLike, low_c: float, high_c: float) -> Array:
    """Share of each day, 0 to 1, that a sine from minimum to maximum spends in the band.

    Both ends belong to the band, so a fridge held at 4 °C counts whole days of 1 to 4 °C.
    Raises Refused for a band, or a day, that is upside down.
    """
    if low_c > high_c:
        raise Refused(f"A band from {low_c:g} to {high_c:g} °C is upside down.")
    steady = np.asarray(minimum_c) == np.asarray(maximum_c)
    inside = (low_c <= np.asarray(minimum_c)) & (np.asarray(minimum_c) <= high_c)
    below_high = sine_share_below(minimum_c, maximum_c, high_c)
    share = below_high - sine_share_below(minimum_c, maximum_c, low_c)
    return np.where(steady, inside, share)


@frozen
class ChillBand:
    """A clock of chill: each day counts by the share of it that lies in a band of °C."""

    low_c: float
    high_c: float

    def daily(self, minimum_c: ArrayLike, maximum_c: ArrayLike) -> Array:
        """Chill days that each day counts, 0 to 1; NaN where an end is missing."""
        low, high = np.asarray(minimum_c), np.asarray(maximum_c)
        known = ~np.isnan(low + high)
        share = days_in_band(np.where(known, low, 0), np.where(known, high, 0), *self._ends)
        return np.where(known, share, np.nan)

    @property
    def _ends(self) -> tuple[float, float]:
        return self.low_c, self.high_c


@frozen
class ChillUnits:
    """A clock of published units: a day counts its share of what a day of steady cold gives.

    So a record's weeks are weeks of such cold, whatever the model. Warm hours take nothing
    back by the Utah units here, for a clock cannot run backwards; they do by portions.
    """

    model: ChillModel

    def daily(self, minimum_c: ArrayLike, maximum_c: ArrayLike) -> Array:
        """Days of steady cold that each day is worth, 0 to about 1; NaN where an end is missing.

        Portions begin with nothing on the first of the days; a missing one is passed through as
        if it lay between its neighbours.
        """
        count, best = _BY_MODEL[self.model]
        hourly, known = _hours_of(np.asarray(minimum_c), np.asarray(maximum_c))
        return np.where(known, per_day(count(hourly)) / best, np.nan)


@frozen
class ChillSum:
    """The cold of some days by each way of counting it; `days` lie within 0 to 7.2 °C.

    `read` is how many of the days have both their ends; the others add nothing.
    """

    read: int
    days: float
    hours: float
    utah: float
    portions: float


def chill_sum(minimum_c: Array, maximum_c: Array) -> ChillSum:
    """What days in order from the start of a cold season, shape (days,), come to."""
    hourly, known = _hours_of(minimum_c, maximum_c)

    def summed(units: Callable[[Array], Array]) -> float:
        return float(per_day(units(hourly))[known].sum())

    return ChillSum(
        read=int(known.sum()),
        days=float(np.nansum(ChillBand(0.0, CHILL_LIMIT_C).daily(minimum_c, maximum_c))),
        hours=summed(hours_below),
        utah=summed(utah_units),
        portions=summed(portions),
    )


def _hours_of(low_c: Array, high_c: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Temperatures of all hours, missing days bridged, and which days are not missing."""
    known = ~np.isnan(low_c + high_c)
    hourly = np.zeros((*low_c.shape[:-1], HOURS * low_c.shape[-1]))
    for row in np.ndindex(low_c.shape[:-1]):
        if known[row].any():
            coldest, warmest = (_bridged(each[row], known[row]) for each in (low_c, high_c))
            hourly[row] = hourly_temperatures(coldest, warmest, WINTER_LIGHT_H)
    return hourly, known


def _bridged(daily: Array, known: NDArray[np.bool_]) -> Array:
    days = np.arange(len(daily))
    return np.interp(days, days[known], daily[known])


def hours_below(hourly_c: ArrayLike, limit_c: float = CHILL_LIMIT_C) -> Array:
    """1 for each hour colder than the limit, frost included (Weinberger 1950), else 0."""
    hourly = np.asarray(hourly_c, dtype=np.float64)
    return _unless_missing(hourly, hourly < limit_c)


def hours_between(hourly_c: ArrayLike, low_c: float = 0.0, high_c: float = CHILL_LIMIT_C) -> Array:
    """1 for each hour from `low_c` to `high_c`, both included, else 0: frost does not count."""
    hourly = np.asarray(hourly_c, dtype=np.float64)
    return _unless_missing(hourly, (low_c <= hourly) & (hourly <= high_c))


def utah_units(hourly_c: ArrayLike, *, warmth_undoes: bool = True) -> Array:
    """Utah chill units of each hour, -1 to 1.

    Without `warmth_undoes` no hour counts less than nought: the positive units of
    Linsley-Noakes et al. 1995 for mild winters, and the form a clock can run by.
    """
    hourly = np.asarray(hourly_c, dtype=np.float64)
    units = np.array(UTAH_UNITS)[np.searchsorted(UTAH_EDGES_C, hourly, side="left")]
    return _unless_missing(hourly, units if warmth_undoes else np.maximum(units, 0.0))


def smooth_units(hourly_c: ArrayLike) -> Array:
    """Chill units of each hour on a curve without steps, -1 to 1.

    Nought up to 1 °C, 1 at 7 °C, nought at 14 °C, -1 from 21 °C on (Glossary of Meteorology
    of the American Meteorological Society, "chill units"). Between these points the curve
    is made of two half waves of a cosine, which is this program's choice.
    """
    hourly = np.asarray(hourly_c, dtype=np.float64)
    rise = (1 - np.cos(math.pi * (np.clip(hourly, 1.0, 7.0) - 1) / 6)) / 2
    return rise * np.cos(math.pi * (np.clip(hourly, 7.0, 21.0) - 7) / 14)


def portions(hourly_c: ArrayLike) -> Array:
    """Chill portions of each hour by the Dynamic Model, shape as given, hours along the last axis.

    Cold forms a precursor that warmth destroys again; once there is enough of it, part is
    fixed as a portion and kept. The hours must be complete and in order from the start of the
    cold season: nothing is formed in the first. Several futures (other axes) go in one call.
    """
    hourly = np.asarray(hourly_c, dtype=np.float64)
    kelvin = hourly + KELVIN
    surplus = FIXING_SLOPE * FIXING_TEMPERATURE_K * (kelvin - FIXING_TEMPERATURE_K) / kelvin
    fixed_share = 1 / (1 + np.exp(-surplus))
    balance = (FORMING_RATE_PER_H / BREAKING_RATE_PER_H) * np.exp(
        (BREAKING_ENERGY_K - FORMING_ENERGY_K) / kelvin
    )
    staying = np.exp(-BREAKING_RATE_PER_H * np.exp(-BREAKING_ENERGY_K / kelvin))
    made = np.zeros_like(hourly)
    precursor = np.zeros(hourly.shape[:-1])
    for hour in range(1, hourly.shape[-1]):
        precursor = balance[..., hour] - (balance[..., hour] - precursor) * staying[..., hour]
        made[..., hour] = np.where(precursor >= 1, precursor * fixed_share[..., hour], 0.0)
        precursor = precursor - made[..., hour]
    return made


def per_day(hourly_units: Array) -> Array:
    """Sum of the hours of each whole day; the last axis shrinks by a factor of 24."""
    hours = hourly_units.shape[-1]
    if hours % 24:
        raise Refused(f"{hours} hours are not whole days.")
    return np.asarray(hourly_units.reshape(*hourly_units.shape[:-1], -1, 24).sum(axis=-1))


def _unless_missing(hourly: Array, counted: ArrayLike) -> Array:
    return np.where(np.isnan(hourly), np.nan, np.asarray(counted, dtype=np.float64))


def _utah_gained(hourly_c: Array) -> Array:
    return utah_units(hourly_c, warmth_undoes=False)


_BY_MODEL: Final[dict[str, tuple[Callable[[Array], Array], float]]] = {
    "hours": (hours_below, HOURS),
    "utah": (_utah_gained, HOURS),
    "portions": (portions, PORTIONS_A_DAY),
}
"""What counts each hour, and what a whole day of steady cold gives; days have a band instead."""
