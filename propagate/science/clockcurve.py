"""From calendar days to the days of another clock, and back."""

import math
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike

from propagate.errors import Refused
from propagate.science.timing import Array

STANDSTILL: Final = 1e-9
"""Clock days a calendar day, beyond the known days, that are no movement any more."""


@frozen(eq=False)
class ClockCurve:
    """A clock that stands at nought on calendar day 0 and never runs backwards.

    `readings`, shape (days + 1,), is what it shows at the start of each calendar day. Inside a
    day it runs evenly; before day 0 it stands still; after the last known day it goes on by
    `rate_beyond` clock days a calendar day.
    """

    readings: Array
    rate_beyond: float

    @classmethod
    def of_days(cls, daily: ArrayLike, rate_beyond: float | None = None) -> "ClockCurve":
        """The clock that runs by `daily`, shape (days,), on calendar days 0, 1, 2...

        Without a `rate_beyond` it goes on at the mean rate of the days that are known.
        Raises Refused where a day is missing or counts less than nought.
        """
        daily = np.atleast_1d(np.asarray(daily, dtype=np.float64))
        if daily.size == 0 and rate_beyond is None:
            raise Refused("A clock needs a day to run by, or a rate.")
        rate = float(daily.mean()) if rate_beyond is None else rate_beyond
        if not (np.isfinite(daily).all() and (daily >= 0).all() and 0 <= rate < math.inf):
            raise Refused("Each day of a clock counts nought or more; none may be missing.")
        return cls(np.concatenate([[0.0], np.cumsum(daily)]), rate)

    @property
    def known_days(self) -> int:
        """Calendar days the clock was given."""
        return len(self.readings) - 1

    def day_of(self, calendar_days: ArrayLike) -> Array:
        """What the clock shows after so many calendar days; any shape."""
        days = np.asarray(calendar_days, dtype=np.float64)
        known = np.interp(days, np.arange(len(self.readings)), self.readings)
        return np.asarray(known + np.maximum(days - self.known_days, 0.0) * self.rate_beyond)

    def calendar_of(self, clock_days: ArrayLike) -> Array:
        """Calendar days until the clock first shows so much; infinity if it never will."""
        wanted = np.maximum(np.asarray(clock_days, dtype=np.float64), 0.0)
        # The first reading not below what is wanted, so that a clock which stands still
        # answers with the day on which it got there, and each step that is divided by rises.
        day = np.maximum(np.searchsorted(self.readings, wanted) - 1, 0)
        day = np.minimum(day, self.known_days)
        steps = np.diff(self.readings, append=self.readings[-1])[day]
        part = np.zeros(wanted.shape)
        np.divide(wanted - self.readings[day], steps, out=part, where=steps > 0)
        beyond = wanted - self.readings[-1]
        after = np.full(wanted.shape, math.inf)
        np.divide(beyond, self.rate_beyond, out=after, where=self.rate_beyond > STANDSTILL)
        return np.where(beyond > 0, self.known_days + after, day + part)

    def later(self, days: int) -> "ClockCurve":
        """The same clock set to nought so many whole calendar days later."""
        if days < 0:
            raise Refused(f"A clock is set later, not {-days} days earlier.")
        kept = self.readings[min(days, self.known_days) :]
        return ClockCurve(kept - kept[0], self.rate_beyond)
