"""What becomes of those that fail, under several fates: how many linger, how soon others die.

How many failers linger and never look dead (a dud seed, a callused stick that waits for ever)
and how soon the others die differs from tray to tray and from grower to grower, and no record
tells it. So what was seen of deaths is weighed under a few fates, equally likely before any
sighting; each counts by how well it explains the tray, for each number of takers on its own.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from attrs import evolve, frozen

from propagate.science.prior import Prior
from propagate.science.timing import TINY, Array, log_between, log_sigmoid, score

AS_USUAL: Final = 0.85
"""Chance that a tray's failers fare as is usual with its plant by its method; else they may
fare in any way (memory)."""


OF_METHOD: Final = 0.5
"""Chance that with a plant by a method that is usual which is with most of its plants (memory:
nothing was found on it, so neither side is favoured)."""


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
        alive = log_sigmoid(-score(age_days, self.log_days, self.scale))
        lingers = np.log(np.maximum(self.lingering, TINY))
        dies_later = np.log1p(-self.lingering) + alive
        return np.asarray(np.logaddexp(lingers, dies_later), dtype=np.float64)


def deaths_under(priors: Sequence[Prior], lingering: Sequence[tuple[float, ...]]) -> Deaths:
    """The failers' law of batches, each with shares that may linger; without, the prior's own.

    Under each share trays may die sooner or later than usual (`lateness`). All batches must have
    as many fates.
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
    """By how much ln(days) of death may lie beside the record's, equally likely."""
    between = prior.failer_log_between
    return (-between, between) if between else (0.0,)


def fates_of(prior: Prior, lingering: tuple[float, ...]) -> tuple[int, int]:
    """How many shares of a batch's failers may linger, and how soon the others may die."""
    return max(len(lingering), 1), len(lateness(prior))


@lru_cache(maxsize=16)
def usages_of(shares: int, lates: int) -> Array:
    """P(fate of a tray | what is usual with its plant), (usages, fates); usages are equally likely.

    Fates run over the shares that may linger and within these over `lateness`. Whether failers
    rot within weeks or stand for months lies with the plant, the method and the hand that keeps
    it, so most of a plant's trays keep to one share; or each may have any. The time of death
    lies sooner or later than the record's with most of them.
    """
    even = np.full((1, shares), 1 / shares)
    linger = np.vstack([_kept(shares), even]) if shares > 1 else even
    return np.asarray(np.kron(linger, _kept(lates)), dtype=np.float64)


@lru_cache(maxsize=16)
def usages_among_kin(usages: int, of_plant: int) -> Array:
    """P(what is usual with a plant | what is with most plants of its method), (usages, of_plant).

    Each plant has one of so many usages, as the method has; or of a plant nothing is told (1).
    """
    if of_plant != usages:
        return np.full((usages, of_plant), 1 / of_plant)
    return OF_METHOD * np.eye(usages) + (1 - OF_METHOD) / usages


def lingering_under(prior: Prior, lingering: tuple[float, ...]) -> Array:
    """What share of a new tray's failers should linger, for each usage, (usages,)."""
    shares, lates = fates_of(prior, lingering)
    each = np.repeat(lingering or (prior.failer_lingering,), lates)
    return np.asarray(usages_of(shares, lates) @ each, dtype=np.float64)


@lru_cache(maxsize=16)
def single_usage(fates: int) -> Array:
    """The same of a plant of which one tray tells at most: any fate is as likely, (1, fates)."""
    return np.full((1, fates), 1 / fates)


def _kept(number: int) -> Array:
    """P(one of so many | which one is usual)."""
    return AS_USUAL * np.eye(number) + (1 - AS_USUAL) / number


@lru_cache(maxsize=1024)
def of_one_fate(prior: Prior) -> Prior:
    """The same where all failers die at their usual time."""
    return evolve(prior, failer_log_between=0.0)
