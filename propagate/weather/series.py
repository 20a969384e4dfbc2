"""Daily minima and maxima of one place over many days; a day without a reading is NaN."""

import datetime as dt
from collections.abc import Iterator, Sequence

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

Array = NDArray[np.float64]

ONE_DAY = dt.timedelta(days=1)


def _floats(values: Sequence[float] | Array) -> Array:
    return np.asarray(values, dtype=np.float64)


@frozen(eq=False)
class DailyTemps:
    """The lowest and highest temperature of each day from `first` on, in °C, shape (days,).

    NaN where there is no reading; nothing is ever filled in. `source` says in words where
    they are from.
    """

    first: dt.date
    low_c: Array = field(converter=_floats)
    high_c: Array = field(converter=_floats)
    source: str

    def __attrs_post_init__(self) -> None:
        if self.low_c.shape != self.high_c.shape or self.low_c.ndim != 1 or not len(self):
            raise ValueError("as many minima as maxima are wanted, one for each day")

    def __len__(self) -> int:
        return len(self.low_c)

    @property
    def last(self) -> dt.date:
        """The last day."""
        return self.first + ONE_DAY * (len(self) - 1)

    @property
    def complete(self) -> NDArray[np.bool_]:
        """Which days have both their readings, shape (days,)."""
        return np.isfinite(self.low_c) & np.isfinite(self.high_c)

    def between(self, first: dt.date, days: int) -> tuple[Array, Array]:
        """Minima and maxima of `days` days from `first`, each (days,), NaN outside the record."""
        offset = (first - self.first).days + np.arange(days)
        inside = (offset >= 0) & (offset < len(self))
        at = np.clip(offset, 0, len(self) - 1)
        low, high = (np.where(inside, c[at], np.nan) for c in (self.low_c, self.high_c))
        return low, high

    def until(self, last: dt.date) -> "DailyTemps | None":
        """The part up to `last`, None when nothing was read by then."""
        days = (last - self.first).days + 1
        if days >= len(self):
            return self
        if days <= 0:
            return None
        return DailyTemps(self.first, self.low_c[:days], self.high_c[:days], self.source)

    def coldest(self, first: dt.date, last: dt.date) -> tuple[dt.date, float] | None:
        """The coldest day from `first` to `last` with its minimum in °C; None if none is known."""
        low_c, _ = self.between(first, max(0, (last - first).days + 1))
        if np.isnan(low_c).all():
            return None
        at = int(np.nanargmin(low_c))
        return first + ONE_DAY * at, float(low_c[at])

    def years(self) -> tuple[int, ...]:
        """The calendar years that the record touches."""
        return tuple(range(self.first.year, self.last.year + 1))

    def gaps(self) -> Iterator[tuple[dt.date, dt.date]]:
        """First and last day of each run of days that lack a reading."""
        edges = np.diff(np.concatenate([[True], self.complete, [True]]).astype(np.int8))
        for begins, ends in zip(np.flatnonzero(edges < 0), np.flatnonzero(edges > 0), strict=True):
            yield self.first + ONE_DAY * int(begins), self.first + ONE_DAY * (int(ends) - 1)


def merged(series: Sequence[DailyTemps]) -> DailyTemps | None:
    """Several records of one place as one, None without any.

    On each day the first in the list that has both its readings counts.
    """
    if len(series) < 2:
        return series[0] if series else None
    first, last = min(each.first for each in series), max(each.last for each in series)
    days = (last - first).days + 1
    low, high = np.full(days, np.nan), np.full(days, np.nan)
    for each in reversed(series):
        its_low, its_high = each.between(first, days)
        both = np.isfinite(its_low) & np.isfinite(its_high)
        low[both], high[both] = its_low[both], its_high[both]
    return DailyTemps(first, low, high, ", ".join(each.source for each in series))
