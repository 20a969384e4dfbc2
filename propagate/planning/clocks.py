"""What a batch's stage runs by: dates to days on its clock, and back, in every future.

By the calendar each day counts one; `warmthclocks` makes clocks that count by warmth.
"""

import datetime as dt
import math
from functools import lru_cache
from typing import Final, Protocol

import numpy as np
from attrs import frozen

from propagate.science.timing import SHORTEST_DAYS, Array

SHARES: Final = 20  # points by which a window's law is carried through each future
UPPER_DECILE: Final = 1.2816  # of the standard Normal law
EARLY_LIKELY_LATE: Final = (0.1, 0.5, 0.9)
ONE_DAY: Final = dt.timedelta(days=1)


class Clock(Protocol):
    """What a batch's stage runs by: dates to days on the clock, which begins at nought."""

    def day(self, date: dt.date) -> float:
        """The clock's day at the start of a date; nought before its own start."""
        ...

    def date(self, day: float) -> dt.date:
        """The date nearest to the moment at which the clock shows `day`."""
        ...

    def ordinals(self, days: Array) -> Array:
        """The same dates for many days at once, as whole numbers (see `dt.date.toordinal`)."""
        ...


@frozen
class CalendarClock:
    """Every day counts one."""

    start: dt.date

    def day(self, date: dt.date) -> float:
        """Days since the start."""
        return float(max(0, (date - self.start).days))

    def date(self, day: float) -> dt.date:
        """So many days after the start."""
        return self.start + ONE_DAY * round(min(day, (dt.date.max - self.start).days))

    def ordinals(self, days: Array) -> Array:
        """So many days after the start."""
        first = self.start.toordinal()
        return first + np.rint(np.minimum(days, dt.date.max.toordinal() - first))


@frozen(eq=False)
class StageClock:
    """The clock of a batch's stage under each of several equally likely futures.

    It is a clock itself, the one in the middle of them. Up to the start of `today` all futures
    agree. `said` tells what it runs by, empty for the calendar.
    """

    futures: tuple[Clock, ...]
    today: dt.date = dt.date.max
    said: str = ""

    def day(self, date: dt.date) -> float:
        """The mean of what the futures' clocks show."""
        if date <= self.today:
            return self.futures[0].day(date)
        return math.fsum(clock.day(date) for clock in self.futures) / len(self.futures)

    def date(self, day: float) -> dt.date:
        """The date in the middle of the futures'."""
        dates = sorted(clock.date(day) for clock in self.futures)
        return dates[len(dates) // 2]

    def window(self, days: tuple[float, float, float]) -> tuple[dt.date, dt.date, dt.date]:
        """Early, likely and late date from the 10, 50 and 90 % points of a law of clock days.

        With several futures their dates are pooled: the law, taken as log-normal on each side
        of its middle, is carried through each of them.
        """
        if len(self.futures) == 1:
            early, likely, late = (self.futures[0].date(day) for day in days)
            return early, likely, late
        points = _points(days)
        pooled = np.quantile(
            np.concatenate([clock.ordinals(points) for clock in self.futures]),
            EARLY_LIKELY_LATE,
            method="hazen",
        )
        early, likely, late = (dt.date.fromordinal(round(ordinal)) for ordinal in pooled)
        return early, likely, late


def calendar_clock(start: dt.date) -> StageClock:
    """The clock that runs by the calendar: one future, one a day."""
    return StageClock((CalendarClock(start),))


@lru_cache(maxsize=1)
def _deviates() -> Array:
    """The middles of so many equal shares of the standard Normal law."""
    # Imported here because only several futures need it.
    from statistics import NormalDist

    return np.array([NormalDist().inv_cdf((at + 0.5) / SHARES) for at in range(SHARES)])


def _points(days: tuple[float, float, float]) -> Array:
    """Equally likely clock days of the law whose 10, 50 and 90 % points are given."""
    deviates = _deviates()
    early, likely, late = np.log(np.maximum(days, SHORTEST_DAYS))
    rise = np.where(deviates < 0, likely - early, late - likely) / UPPER_DECILE
    return np.asarray(np.exp(likely + rise * deviates), dtype=np.float64)
