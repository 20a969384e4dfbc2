"""What becomes of those that fail, under several fates: how many linger, how soon others die.

How many failers linger and never look dead (a dud seed, a callused stick that waits for ever)
and how soon the others die differs from tray to tray and from grower to grower, and no record
tells it. So what was seen of deaths is weighed under a few fates, equally likely before any
sighting; each counts by how well it explains the tray, for each number of takers on its own.
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from attrs import evolve, frozen

from propagate.science.prior import Prior
from propagate.science.timing import TINY, Array, log_between, score


@frozen(eq=False)
class Deaths:
    """The failers' law of several batches, each under as many fates.

    `log_days` and `lingering` have shape (batches, fates), `scale` (batches, 1).
    """

    log_days: Array
    scale: Array
    lingering: Array

    def log_dead(self, from_days: Array, to_days: Array) -> Array:
        """Log of P(a failer dies between two ages, each (batches, 1)), (batches, fates)."""
        between = log_between(
            score(from_days, self.log_days, self.scale),
            score(to_days, self.log_days, self.scale),
        )
        return np.asarray(between + np.log1p(-self.lingering), dtype=np.float64)

    def log_alive(self, age_days: Array) -> Array:
        """Log of P(a failer does not look dead at an age (batches, 1)), (batches, fates)."""
        alive = -np.logaddexp(0.0, score(age_days, self.log_days, self.scale))
        lingers = np.log(np.maximum(self.lingering, TINY))
        dies_later = np.log1p(-self.lingering) + alive
        return np.asarray(np.logaddexp(lingers, dies_later), dtype=np.float64)


def deaths_under(priors: Sequence[Prior], lingering: Sequence[tuple[float, ...]]) -> Deaths:
    """The failers' law of batches, each with shares that may linger; without, the prior's own.

    Under each share half of the trays die sooner than usual by a deviation, half later: the rule
    of Gauss and Hermite with two nodes. All batches must have as many fates.
    """
    pairs = zip(priors, lingering, strict=True)
    shares = np.array([linger or (prior.failer_lingering,) for prior, linger in pairs])
    usual = np.array([prior.failer_log_days_mean for prior in priors])
    late = np.array([lateness(prior) for prior in priors])
    log_days = np.repeat((usual[:, None] + late)[:, None, :], shares.shape[1], axis=1)
    return Deaths(
        log_days.reshape(len(priors), -1),
        np.array([[prior.failer_log_scale] for prior in priors]),
        np.repeat(shares, late.shape[1], axis=1),
    )


def lateness(prior: Prior) -> tuple[float, ...]:
    """By how much ln(days) of death may lie beside the usual, equally likely."""
    between = prior.failer_log_between
    return (-between, between) if between else (0.0,)


@lru_cache(maxsize=1024)
def of_one_fate(prior: Prior) -> Prior:
    """The same where all failers die at their usual time."""
    return evolve(prior, failer_log_between=0.0)
