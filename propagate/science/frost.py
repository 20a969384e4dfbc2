"""The last and the first frost, as chances, from years of daily minima.

Winters are told apart first: each has a frost or has none. Only of those that have one is
there a date, and its law is a Normal one; a chance of frost is the product of the two (the
mixed law of Thom & Shaw 1958 and Thom 1959, Monthly Weather Review 86-87). A winter runs from
the height of summer to the next: from 1 July in the north, from 1 January in the south.
"""

import math
from statistics import NormalDist
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike, NDArray

from propagate.errors import Refused
from propagate.science.seasons import MonthDay
from propagate.science.timing import Array

Dates = NDArray[np.datetime64]

FEWEST_DAYS: Final = 330
"""Days with a minimum that make a winter complete: nine in ten of a year (common practice)."""

FEWEST_WINTERS: Final = 5
"""Complete winters from which chances are given at all (common practice)."""

FEWEST_FROSTY: Final = 3
USUAL_DEVIATION_DAYS: Final = 11.0
"""With fewer than three dates their spread is taken from elsewhere: frost dates of Georgetown,
Delaware, deviate by 11.7 days in spring and 10.9 in autumn (University of Delaware)."""

LEAST_DEVIATION_DAYS: Final = 1.0  # dates are whole days

COMMON_WINTER: Final = np.datetime64("2001-01", "M")  # neither of its two years has a leap day


@frozen(eq=False)
class FrostDays:
    """Of each complete winter, in order: days from its start to its first and last frost.

    Both have shape (winters,); NaN where a winter had no frost.
    """

    first: Array
    last: Array


@frozen
class FrostLaw:
    """Chance that a winter has a frost at all, and the Normal law of its date.

    Days count from the start of the winter.
    """

    chance_of_any: float
    mean_day: float
    deviation_days: float

    def chance_after(self, day: float) -> float:
        """Chance that the frost of this law (the last of a winter) comes later than `day`."""
        return self.chance_of_any * (1 - self._dates.cdf(day))

    def chance_before(self, day: float) -> float:
        """Chance that the frost of this law (the first of a winter) comes before `day`."""
        return self.chance_of_any * self._dates.cdf(day)

    def day_exceeded(self, chance: float) -> float | None:
        """The day after which a frost comes with this chance, None where frost is rarer."""
        return self._quantile(1 - chance / self.chance_of_any) if self._reaches(chance) else None

    def day_undercut(self, chance: float) -> float | None:
        """The day before which a frost comes with this chance, None where frost is rarer."""
        return self._quantile(chance / self.chance_of_any) if self._reaches(chance) else None

    def _reaches(self, chance: float) -> bool:
        if not 0 < chance < 1:
            raise Refused(f"A chance lies between 0 and 1; got {chance:g}.")
        return chance < self.chance_of_any

    def _quantile(self, share: float) -> float:
        return self._dates.inv_cdf(share)

    @property
    def _dates(self) -> NormalDist:
        return NormalDist(self.mean_day, self.deviation_days)


def frost_days(
    dates: Dates, minimum_c: ArrayLike, *, limit_c: float = 0.0, southern: bool = False
) -> FrostDays:
    """First and last day of each complete winter with a minimum at or below the limit.

    `dates` (datetime64[D]) and `minimum_c` [°C] have shape (days,), in any order; missing
    minima are NaN. Winters with fewer than 330 minima are left out, the present one too.
    """
    minimum = np.asarray(minimum_c, dtype=np.float64)
    if np.shape(dates) != minimum.shape:
        raise Refused(f"{minimum.size} minima do not belong to {np.size(dates)} dates.")
    known = ~np.isnan(minimum)
    winter, day = _winter_days(np.asarray(dates, dtype="datetime64[D]")[known], southern=southern)
    freezing = minimum[known] <= limit_c
    first, last = [], []
    for label in np.unique(winter):
        if np.count_nonzero(winter == label) >= FEWEST_DAYS:
            frosts = day[(winter == label) & freezing]
            first.append(frosts.min() if frosts.size else math.nan)
            last.append(frosts.max() if frosts.size else math.nan)
    return FrostDays(np.array(first, dtype=np.float64), np.array(last, dtype=np.float64))


def frost_law(days: ArrayLike) -> FrostLaw:
    """Law of the first or the last frost from its days in winters, NaN in those without.

    Raises Refused for fewer than five winters.
    """
    days = np.asarray(days, dtype=np.float64)
    if days.size < FEWEST_WINTERS:
        raise Refused(f"Frost dates need {FEWEST_WINTERS} complete winters; there are {days.size}.")
    frosty = days[~np.isnan(days)]
    spread = float(frosty.std(ddof=1)) if frosty.size >= FEWEST_FROSTY else USUAL_DEVIATION_DAYS
    return FrostLaw(
        chance_of_any=frosty.size / days.size,
        mean_day=float(frosty.mean()) if frosty.size else 0.0,
        deviation_days=max(spread, LEAST_DEVIATION_DAYS),
    )


def month_day(day: float, *, southern: bool = False) -> MonthDay:
    """(month, day) of a day of the winter, rounded; a leap year may shift it by one."""
    start = COMMON_WINTER + (0 if southern else 6)
    date = start.astype("datetime64[D]") + np.timedelta64(math.floor(day + 0.5), "D")
    found = date.item()
    return found.month, found.day


def winter_day(date: MonthDay, *, southern: bool = False) -> int:
    """Day of the winter, from 0, of a (month, day); 29 February counts as 1 March."""
    month, day = date
    year = 2002 if month < 7 and not southern else 2001
    start = (COMMON_WINTER + (0 if southern else 6)).astype("datetime64[D]")
    first = np.datetime64(f"{year}-{month:02}", "M").astype("datetime64[D]")
    return int((first - start).astype(int)) + day - 1


def _winter_days(dates: Dates, *, southern: bool) -> tuple[NDArray[np.intp], Array]:
    """The winter each date belongs to (the year it began), and days since that began."""
    starts_in = 0 if southern else 6
    months = dates.astype("datetime64[M]").astype(np.intp)  # since January 1970
    winter = (months - starts_in) // 12
    start = (winter * 12 + starts_in).astype("datetime64[M]").astype("datetime64[D]")
    return winter + 1970, (dates - start).astype(np.float64)
