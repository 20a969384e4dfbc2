"""What is believed of a batch before its first check, from a method's record."""

import math
from typing import Final

from attrs import field, frozen, validators

from propagate.science.take import SHARED_SHARE, beta_from_range, split_take
from propagate.science.timing import SHORTEST_DAYS, WITHIN_SHARE, from_range
from propagate.units import DAYS_PER_WEEK

FAILER_MEDIAN_SHARE: Final = 0.6
"""Half of the propagules that fail are dead by 0.6 of the takers' median time (memory)."""

FAILER_LOG_SCALE: Final = 0.5
"""Logistic scale of ln(days) of their death: nine in ten fall within a factor of 4.4 (memory).
It is wide on purpose, so that deaths far from the usual time move the answer gently."""

FAILERS_BETWEEN: Final = 0.35
"""Deviation of ln(days) of death from tray to tray, where it is not the same for all: two trays
in three within a factor of 1.4 of the usual time (memory)."""


@frozen
class Prior:
    """One plant by one method: law of the take, of takers' times and of failers' deaths.

    The shared take is Beta(mean, precision a + b); an infinite `take_precision_shared` means
    that the mean is known. Times are in days after the treatments, which last `delay_days`;
    mean, scale and between-batch deviation are on the scale of ln(days). Failers die by a
    log-logistic law of their own that does not shift with the batch: rot and drying follow
    the handling more than the rooting. `failer_lingering` is the share of failers that never
    look dead: a dud seed or a callused stick that waits for ever. `failer_log_between` is how
    far the usual time of death differs from tray to tray, 0 where it is known.
    """

    take_mean: float = field(validator=(validators.gt(0.0), validators.lt(1.0)))
    take_precision_shared: float = field(validator=validators.gt(0.0))
    take_precision_batch: float = field(validator=(validators.gt(0.0), validators.lt(math.inf)))
    log_days_mean: float
    log_days_scale: float = field(validator=validators.gt(0.0))
    log_days_between: float = field(validator=validators.ge(0.0))
    delay_days: float = field(default=0.0, validator=validators.ge(0.0))
    failer_median_share: float = field(default=FAILER_MEDIAN_SHARE, validator=validators.gt(0.0))
    failer_log_scale: float = field(default=FAILER_LOG_SCALE, validator=validators.gt(0.0))
    failer_lingering: float = field(
        default=0.0, validator=validators.and_(validators.ge(0.0), validators.lt(1.0))
    )
    failer_log_between: float = field(default=0.0, validator=validators.ge(0.0))

    @property
    def failer_log_days_mean(self) -> float:
        """Mean of ln(days) until a failer is dead."""
        return self.log_days_mean + math.log(self.failer_median_share)

    @property
    def take_precision(self) -> float:
        """Precision of a Beta law as wide as that of a batch's take over all growers."""
        shared, batch = 1 / (self.take_precision_shared + 1), 1 / (self.take_precision_batch + 1)
        return 1 / (shared + (1 - shared) * batch) - 1

    def age_days(self, day: float) -> float:
        """Age on the takers' clock on `day` (days from the start), at least half a day."""
        return max(day - self.delay_days, SHORTEST_DAYS)


def prior_from_ranges(
    weeks_low: float,
    weeks_high: float,
    take_low: float,
    take_high: float,
    *,
    delay_days: float = 0.0,
    within_share: float = WITHIN_SHARE,
    shared_share: float = SHARED_SHARE,
    failer_lingering: float = 0.0,
    failer_log_between: float = 0.0,
) -> Prior:
    """Prior of a record "roots in 6-10 weeks, 60-80 % take"; ends are 10 % and 90 % points.

    Weeks are of single takers over all batches, counted after `delay_days` of treatment; take
    is of whole batches, as a share of 1. `within_share` of the variance of ln(time) is within
    a batch; `shared_share` of the variance of take is common to the book's batches. Raises
    Refused where `timing.from_range` or `take.beta_from_range` does.
    """
    times = from_range(weeks_low * DAYS_PER_WEEK, weeks_high * DAYS_PER_WEEK, within_share)
    take = split_take(*beta_from_range(take_low, take_high), shared_share)
    return Prior(
        take_mean=take.mean,
        take_precision_shared=take.precision_shared,
        take_precision_batch=take.precision_batch,
        log_days_mean=times.log_days_mean,
        log_days_scale=times.log_days_scale,
        log_days_between=times.log_days_between,
        delay_days=delay_days,
        failer_lingering=failer_lingering,
        failer_log_between=failer_log_between,
    )
