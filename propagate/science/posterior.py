"""What is known of one batch after its sightings, given the shared take and altogether."""

import math

import numpy as np
from attrs import evolve, field, frozen

from propagate.science.clues import clue_table
from propagate.science.counts import binomial_table, gather, mixed, shifted, stretched, tidy
from propagate.science.dates import EARLY_LIKELY_LATE, weighted_quantiles
from propagate.science.grid import BatchGrid
from propagate.science.likelihood import open_clues
from propagate.science.prior import Prior
from propagate.science.sightings import Cells
from propagate.science.timing import Array


@frozen(eq=False)
class BatchPosterior:
    """One batch of a group: its grid, and the group's weights of the shared takes.

    `exact` are the batch's cells, `cells` those reckoned with, in units where the tray is very
    large (see `scaling`). `law` (shared takes, takes) is Beta(shared mean, batch precision) on
    the batch's nodes, `shared_weight` (shared takes,) the posterior of the shared take from
    the whole group.
    """

    count: int
    exact: Cells
    cells: Cells
    grid: BatchGrid
    law: Array
    shared_weight: Array
    evidence: Array = field(init=False, repr=False)

    @evidence.default
    def _evidence(self) -> Array:
        """P(sightings | shared take) up to a constant, shape (shared takes,)."""
        return np.asarray(self.law @ self.grid.by_take, dtype=np.float64)

    def rooted_by(self, day: float) -> Array:
        """P(k rooted in all by `day`, k = 0..count); days from the start.

        A day before the last sighting gives the counts of that sighting's day. Plants that
        have rooted and left the tray are counted; see `sightings` for removals.
        """
        return mixed(self.shared_weight, self.given_shared(day))

    def given_shared(self, day: float) -> Array:
        """`rooted_by` for each shared take, shape (shared takes, count + 1)."""
        return shifted(self.more_given_shared(day), self.known, self.count + 1)

    @property
    def known(self) -> int:
        """Propagules known to have rooted."""
        return self.exact.known_rooted + self.exact.surely_rooted

    @property
    def waiting(self) -> int:
        """Propagules not known to have rooted, died or gone."""
        return self.exact.unresolved - self.exact.surely_rooted

    def more_given_shared(self, day: float) -> Array:
        """P(k more rooted by `day`, k = 0..waiting), shape (shared takes, waiting + 1)."""
        if self.waiting == 0 or self.cells.unresolved == 0:
            return np.tile(shifted(np.ones(1), 0, self.waiting + 1), (len(self.law), 1))
        age = max(self.grid.lattice.prior.age_days(day), self.cells.latest_days)
        rate = self.grid.lattice.rate(self.cells.last, age)
        all_new = self._with_clues(rate, age) if self.cells.clues else self._without_clues(rate)
        return stretched(tidy(all_new[:, self.cells.surely_rooted :]), self.waiting + 1)

    def _without_clues(self, rate: Array) -> Array:
        waiting = self.cells.unresolved
        weights = self.law @ gather(rate, self.grid.mass, waiting)
        return np.asarray(weights @ binomial_table(waiting), dtype=np.float64)

    def _with_clues(self, rate: Array, age: float) -> Array:
        """Clues bear on the counts of each shift in their own way, so shifts stay apart."""
        takes, shifts = rate.shape
        waiting, cells = self.cells.unresolved, (shifts * takes, 1)
        spread = gather(rate.T.reshape(cells), self.grid.mass.T.reshape(cells), waiting)
        weights = self.law @ spread.reshape(shifts, takes, -1)
        table = clue_table(open_clues(self.cells, self.grid.lattice, age))
        return table.mixed_counts(weights)

    def pot_on_days(self, share: float) -> tuple[float, float, float]:
        """Early, likely and late day on which `share` of the takers have rooted.

        These are the 10 %, 50 % and 90 % points of  delay + exp(mu + u + s logit(share))  over
        the posterior of the batch's shift u; days from the start.
        """
        mass = self._law_mixed @ self.grid.mass
        shift = weighted_quantiles(self.grid.lattice.shift, mass, EARLY_LIKELY_LATE)
        return days_of(self.grid.lattice.prior, shift, share)

    def take_interval(self, chance: float = 0.8) -> tuple[float, float, float]:
        """Low, median and high of the share that will ever root, `chance` between the ends."""
        mass = self._law_mixed * self.grid.by_take
        return shares_of(self.grid.lattice.take_log_odds, mass, chance)

    @property
    def _law_mixed(self) -> Array:
        """Law of the take over the shared takes, so that times the likelihood it sums to 1."""
        return np.asarray((self.shared_weight / self.evidence) @ self.law, dtype=np.float64)

    def weighed(self, shared_weight: Array, kept: slice) -> "BatchPosterior":
        """The same batch for the kept shared takes, under these weights of them."""
        return evolve(self, law=self.law[kept], shared_weight=shared_weight)


def days_of(prior: Prior, shift: Array, share: float) -> tuple[float, float, float]:
    """Days from the start on which `share` of the takers have rooted, for three shifts."""
    log_odds = math.log(share / (1 - share))
    log_days = prior.log_days_mean + shift + prior.log_days_scale * log_odds
    early, likely, late = (prior.delay_days + np.exp(log_days)).tolist()
    return early, likely, late


def shares_of(log_odds: Array, mass: Array, chance: float) -> tuple[float, float, float]:
    """Low, median and high of a share known by its mass on nodes of log odds."""
    tail = (1 - chance) / 2
    odds = weighted_quantiles(log_odds, mass, (tail, 0.5, 1 - tail))
    low, likely, high = (1 / (1 + np.exp(-odds))).tolist()
    return low, likely, high
