"""Figures of a germination test from its counts by day.

Formulas as gathered by Ranal & Santana 2006, Revista Brasileira de Botanica 29, 1-11, unless
another source stands beside one. A seed is dated by the day on which it was counted, so that
all times are late by up to the gap between two counts.
"""

import math

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike

from propagate.errors import Refused
from propagate.science.timing import Array


@frozen(eq=False)
class Course:
    """One test: `counts` newly germinated on `days` (both shape (n,)), of so many `sown`.

    Made by `course`, which sees to it that at least one seed germinated.
    """

    days: Array
    counts: Array
    sown: int

    @property
    def germinated(self) -> int:
        """Seeds that germinated in all."""
        return int(self.counts.sum())

    @property
    def final_share(self) -> float:
        """Share of the seeds sown that germinated, 0 to 1."""
        return self.germinated / self.sown

    @property
    def peak_share(self) -> float:
        """Largest share of the seeds sown that germinated on one day."""
        return float(self.counts.max()) / self.sown

    @property
    def peak_day(self) -> float:
        """The day on which most germinated, the first of them on a tie."""
        return float(self.days[self.counts.argmax()])

    @property
    def first_day(self) -> float:
        """The day of the first seeds."""
        return float(self.days[self.counts > 0][0])

    @property
    def last_day(self) -> float:
        """The day of the last seeds."""
        return float(self.days[self.counts > 0][-1])

    @property
    def spread_days(self) -> float:
        """Days from the first to the last seeds."""
        return self.last_day - self.first_day

    @property
    def mean_days(self) -> float:
        """Mean germination time [days]."""
        return float(self.counts @ self.days) / self.germinated

    @property
    def variance_days2(self) -> float:
        """Variance of germination time [days^2]; NaN for a single seed."""
        if self.germinated == 1:
            return math.nan
        return float(self.counts @ (self.days - self.mean_days) ** 2) / (self.germinated - 1)

    @property
    def standard_error_days(self) -> float:
        """Standard error of the mean germination time [days]."""
        return math.sqrt(self.variance_days2 / self.germinated)

    @property
    def variation(self) -> float:
        """Coefficient of variation of germination time, as a share of the mean."""
        return math.sqrt(self.variance_days2) / self.mean_days

    @property
    def mean_rate_per_day(self) -> float:
        """Mean germination rate, 1 / mean time; times 100 it is the coefficient of velocity."""
        return 1 / self.mean_days

    @property
    def rate_variance(self) -> float:
        """Variance of the rate [1 / days^2], carried over from that of the time."""
        return self.variance_days2 * self.mean_rate_per_day**4

    @property
    def rate_standard_error_per_day(self) -> float:
        """Standard error of the mean germination rate [1 / days]."""
        return math.sqrt(self.rate_variance / self.germinated)

    @property
    def speed_per_day(self) -> float:
        """Speed of germination, sum of count / day [seeds / day] (Maguire 1962)."""
        return float((self.counts / self.days).sum())

    @property
    def accumulated_speed_per_day(self) -> float:
        """Sum of (germinated so far) / day over the days counted [seeds / day]."""
        return float((np.cumsum(self.counts) / self.days).sum())

    @property
    def uncertainty_bits(self) -> float:
        """Entropy of the days of germination [bits]; 0 when all came on one day."""
        shares = self.counts[self.counts > 0] / self.germinated
        return float(abs(shares @ np.log2(shares)))

    @property
    def synchrony(self) -> float:
        """Share of all pairs of seeds that came on the same day; NaN for a single seed."""
        if self.germinated == 1:
            return math.nan
        pairs = float(self.counts @ (self.counts - 1))
        return pairs / (self.germinated * (self.germinated - 1))

    @property
    def half_days_farooq(self) -> float:
        """T50 [days] with half of N as its mark (Farooq et al. 2005)."""
        return self._days_to_count(self.germinated / 2)

    @property
    def half_days_coolbear(self) -> float:
        """T50 [days] with (N + 1) / 2 as its mark (Coolbear, Francis & Grierson 1984)."""
        return self._days_to_count((self.germinated + 1) / 2)

    def days_to_share(self, share: float) -> float:
        """Days until this share, above 0 and at most 1, of those that germinated had done so."""
        if not 0 < share <= 1:
            raise Refused(f"A share of the germinated lies above 0 and up to 1; got {share:g}.")
        return self._days_to_count(share * self.germinated)

    def uniformity_days(self, low: float = 0.25, high: float = 0.75) -> float:
        """Days between two shares of the germinated; the fewer, the more even."""
        return self.days_to_share(high) - self.days_to_share(low)

    def timson(self, until_day: int | None = None) -> float:
        """Sum over all days of the per cent germinated so far (Timson 1965)."""
        return float(100 * self._so_far(until_day).sum() / self.sown)

    def timson_labouriau(self, until_day: int | None = None) -> float:
        """Timson's sum over the last per cent in it: seed days of those that germinated."""
        so_far = self._so_far(until_day)
        if so_far[-1] == 0:
            raise Refused(f"No seed had germinated by day {until_day}.")
        return float(so_far.sum() / so_far[-1])

    def timson_khan_ungar(self, until_day: int | None = None) -> float:
        """Timson's sum over the days of the whole test (Khan & Ungar 1984)."""
        return self.timson(until_day) / math.floor(float(self.days[-1]))

    def _so_far(self, until_day: int | None) -> Array:
        """Germinated by the end of day 1, 2... to the last day counted or `until_day`."""
        last = math.floor(float(self.days[-1]))
        end = last if until_day is None else until_day
        if not 1 <= end <= last:
            raise Refused(f"The test has days 1 to {last}; day {end} is none of them.")
        counted = np.searchsorted(self.days, np.arange(1, end + 1), side="right")
        return np.concatenate([[0.0], np.cumsum(self.counts)])[counted]

    def _days_to_count(self, wanted: float) -> float:
        """Days until so many had germinated, in a line between counts, from 0 on day 0.

        The first count that reaches the mark exceeds the one before it, so that a mark hit
        exactly answers its own day and nothing is divided by nought.
        """
        days = np.concatenate([[0.0], self.days])
        so_far = np.concatenate([[0.0], np.cumsum(self.counts)])
        after = int(np.searchsorted(so_far, wanted * (1 - 1e-12)))
        step = so_far[after] - so_far[after - 1]
        part = (wanted - so_far[after - 1]) / step
        return float(days[after - 1] + part * (days[after] - days[after - 1]))


def course(days: ArrayLike, counts: ArrayLike, sown: int) -> Course:
    """A test from its counts: `counts` newly germinated on each of `days`, of `sown` seeds.

    Raises Refused for days that do not ascend from above 0, counts that are no whole numbers,
    more seedlings than seeds, or none at all (such a test has a final share of 0, no times).
    """
    day, count = np.asarray(days, dtype=np.float64), np.asarray(counts, dtype=np.float64)
    if day.ndim != 1 or day.shape != count.shape or day.size == 0:
        raise Refused(f"{count.size} counts do not belong to {day.size} days.")
    if not (np.isfinite(day).all() and day[0] > 0 and (np.diff(day) > 0).all()):
        raise Refused("The days of counts must ascend from above 0.")
    if not (np.isfinite(count).all() and (count >= 0).all() and (count % 1 == 0).all()):
        raise Refused("Each count must be a whole number, 0 or more.")
    if not 0 < count.sum() <= sown:
        raise Refused(f"{count.sum():g} germinated of {sown} sown leaves nothing to reckon with.")
    return Course(day, count, sown)
