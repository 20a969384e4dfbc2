"""Readings as they are met in a file: gathered by day, and every slip noted with its line."""

import datetime as dt
import re
from collections import Counter
from typing import Final

import numpy as np
from attrs import define, field, frozen

from propagate.days import written
from propagate.errors import Problem
from propagate.records.nursery import TempUnit
from propagate.weather.series import Array, DailyTemps

COLDEST_C, HOTTEST_C = -90.0, 60.0
"""Outside these no air temperature was ever measured: -89.2 °C at Vostok in 1983, 56.7 °C at
Furnace Creek in 1913 (World Meteorological Organization's archive of extremes; memory)."""

EARLIEST, LATEST = dt.date(1700, 1, 1), dt.date(2199, 12, 31)
"""Days outside are slips: nobody kept daily readings before (memory)."""

MOST_TOLD: Final = 5
"""So many slips of a file are told one by one; the rest are counted."""

NUMBER: Final = re.compile(r"[-+]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+)")


def to_celsius(value: float, unit: TempUnit) -> float:
    """A temperature in °C, rounded to a thousandth, from °C, °F or tenths of °C."""
    celsius = {"C": value, "F": (value - 32) / 1.8, "tenths of C": value / 10}[unit]
    return round(celsius, 3)


@frozen
class Reading:
    """A temperature and the line it stands on."""

    temp_c: float
    line: int


@define
class Readings:
    """What one file has given so far. `where` names it in the problems.

    `left_out` counts readings that were passed over for a good reason, by that reason.
    """

    where: str
    left_out: Counter[str] = field(factory=Counter)
    _problems: list[Problem] = field(factory=list)
    _slips: int = 0
    _low: dict[dt.date, Reading] = field(factory=dict)
    _high: dict[dt.date, Reading] = field(factory=dict)

    def complain(self, what: str, line: int | None = None) -> None:
        """Note what is wrong, on a line or with the file as a whole."""
        self._slips += 1
        if self._slips <= MOST_TOLD:
            at = f"{self.where}, line {line}" if line else self.where
            self._problems.append(Problem(at, what))

    def low(self, day: dt.date, temp_c: float, line: int) -> None:
        """Take a day's minimum."""
        self._take(self._low, "minima", day, Reading(temp_c, line))

    def high(self, day: dt.date, temp_c: float, line: int) -> None:
        """Take a day's maximum."""
        self._take(self._high, "maxima", day, Reading(temp_c, line))

    def _take(
        self, known: dict[dt.date, Reading], word: str, day: dt.date, reading: Reading
    ) -> None:
        if not self.is_sound(day, reading.temp_c, reading.line):
            return
        before = known.setdefault(day, reading)
        if before is reading:
            return
        if before.temp_c == reading.temp_c:
            self.left_out["given twice"] += 1
            return
        both = f"{before.temp_c:g} and {reading.temp_c:g} °C"
        self.complain(f"{written(day)} has two {word}, {both}; the first counts", reading.line)

    def is_sound(self, day: dt.date, temp_c: float, line: int) -> bool:
        """Whether day and temperature can be; complains when not."""
        if not EARLIEST <= day <= LATEST:
            self.complain(f"{day.isoformat()} cannot be the day of a reading", line)
            return False
        if not COLDEST_C <= temp_c <= HOTTEST_C:
            self.complain(f"{temp_c:g} °C is no air temperature; is the unit right?", line)
            return False
        return True

    def daily(self, source: str) -> DailyTemps | None:
        """All that was taken, by day from the first to the last; None when there was nothing.

        A day whose minimum lies above its maximum is complained of and left out.
        """
        for day in sorted(self._low.keys() & self._high.keys()):
            low, high = self._low[day], self._high[day]
            if low.temp_c > high.temp_c:
                ends = f"the minimum {low.temp_c:g} is above the maximum {high.temp_c:g}"
                self.complain(f"on {written(day)} {ends}", max(low.line, high.line))
                del self._low[day], self._high[day]
        days = self._low.keys() | self._high.keys()
        if not days:
            return None
        first, last = min(days), max(days)
        low_c, high_c = (_by_day(known, first, last) for known in (self._low, self._high))
        return DailyTemps(first, low_c, high_c, source)

    def told(self) -> tuple[Problem, ...]:
        """What was wrong, at most MOST_TOLD slips one by one."""
        untold = self._slips - len(self._problems)
        rest = [Problem(self.where, f"and {untold} more like these")] if untold else []
        return (*self._problems, *rest)


def _by_day(known: dict[dt.date, Reading], first: dt.date, last: dt.date) -> Array:
    temps_c = np.full((last - first).days + 1, np.nan)
    temps_c[[(day - first).days for day in known]] = [reading.temp_c for reading in known.values()]
    return temps_c
