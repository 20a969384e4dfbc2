"""Courses that the temperature of a place may take: the days known, and several futures."""

import datetime as dt
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.records.nursery import Normals
from propagate.weather.series import Array, DailyTemps

DAYS_OF_A_YEAR: Final = 365
ENOUGH_OF_A_YEAR: Final = 0.9
"""A year with a smaller share of its days on record is no course for a future (memory)."""

YEARS_LOOKED_BACK: Final = 30
"""Of a long record the latest thirty years count, the span of the climatological standard
normals of the World Meteorological Organization: the climate before was another."""

NORMAL_DEVIATES: Final = (-1.2816, -0.5244, 0.0, 0.5244, 1.2816)
"""The 10, 30, 50, 70 and 90 % points of the standard Normal law: five equally likely seasons."""

Ends = tuple[Array, Array]
"""Minima and maxima in °C, each (futures, days)."""


@frozen(eq=False)
class Course:
    """How the temperature of a place goes from `first` on, in equally likely futures.

    `low_c` and `high_c` have the shape (futures, days). On days that were read all futures
    agree. NaN where a day is missing in the year that a future is taken from. `known`, shape
    (days,), marks the days that were read; `said` is where the others are from, in words.
    """

    first: dt.date
    low_c: Array
    high_c: Array
    known: NDArray[np.bool_]
    said: str


def steady(ends_c: tuple[float, float], days: int) -> Ends:
    """One future, every day of which runs between the same two ends."""
    low, high = (np.full((1, days), end) for end in ends_c)
    return low, high


def from_normals(normals: Normals, first: dt.date, days: int) -> Ends:
    """Five futures: the normals of each day, in seasons as cold and as warm as they come.

    A day's normal lies on the straight line between the middles of two months. The five
    shifts of the whole season are equally likely and have the normals' spread as their
    standard deviation.
    """
    deviates = np.array(NORMAL_DEVIATES)
    shifts_c = deviates / deviates.std() * normals.spread_c
    low, high = (_of_days(np.array(c), first, days) for c in (normals.low_c, normals.high_c))
    return low + shifts_c[:, np.newaxis], high + shifts_c[:, np.newaxis]


def from_years(record: DailyTemps, first: dt.date, days: int) -> Ends | None:
    """One future for each year on record: what followed on this day of that year.

    After a whole year a future goes through its year again. None when no year from this day
    on has nine in ten of its days.
    """
    low_rows: list[Array] = []
    high_rows: list[Array] = []
    for year in range(record.last.year, record.last.year - YEARS_LOOKED_BACK - 1, -1):
        # At least a year is looked at, so that the same years serve for whatever span.
        source = _days_in_year(first, max(days, DAYS_OF_A_YEAR), year)
        low, high = _read_at(record, source)
        whole = np.isfinite(low + high)[:DAYS_OF_A_YEAR]
        if whole.mean() >= ENOUGH_OF_A_YEAR and len(low_rows) < YEARS_LOOKED_BACK:
            low_rows.append(low[:days])
            high_rows.append(high[:days])
    return (np.array(low_rows), np.array(high_rows)) if low_rows else None


def _days_in_year(first: dt.date, days: int, year: int) -> NDArray[np.int64]:
    """The days of the year from `first`'s day of `year` on, round and round, as ordinals.

    A 29 February is read on the 28th in a year without one.
    """
    dates = np.datetime64(first) + np.arange(days)
    months = dates.astype("datetime64[M]")
    day_of_month = (dates - months).astype(np.int64)
    since = (months - np.datetime64(first, "M")).astype(np.int64)
    years_passed = (since - (day_of_month < first.day - 1)) // 12
    there = months + 12 * (year - first.year - years_passed)
    last_of_month = ((there + 1).astype("datetime64[D]") - there).astype(np.int64) - 1
    found = there.astype("datetime64[D]") + np.minimum(day_of_month, last_of_month)
    return np.asarray(found.astype(np.int64) + dt.date(1970, 1, 1).toordinal(), dtype=np.int64)


def _read_at(record: DailyTemps, ordinals: NDArray[np.int64]) -> Ends:
    offset = ordinals - record.first.toordinal()
    inside = (offset >= 0) & (offset < len(record))
    at = np.clip(offset, 0, len(record) - 1)
    low, high = (np.where(inside, c[at], np.nan) for c in (record.low_c, record.high_c))
    return low, high


def _of_days(by_month: Array, first: dt.date, days: int) -> Array:
    dates = np.datetime64(first) + np.arange(days)
    months = dates.astype("datetime64[M]")
    length = ((months + 1).astype("datetime64[D]") - months).astype(np.float64)
    from_middle = ((dates - months).astype(np.float64) + 0.5) / length - 0.5
    month = months.astype(np.int64) % 12
    beside = (month + np.where(from_middle < 0, -1, 1)) % 12
    share = np.abs(from_middle)
    return np.asarray((1 - share) * by_month[month] + share * by_month[beside])
