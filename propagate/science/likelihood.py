"""The probability of all that was seen of one batch, on a grid of take and shift.

A taker (probability p) roots by the age t with probability F(t; u); a failer is dead by then
with probability G(t). With a and b the ages of the last look and of the last look for dead,
one propagule contributes  p (F(t) - F(a))  when it rooted between two looks,
(1 - p) (G(t) - G(b))  when it died,  S = p (1 - F(a)) + (1 - p) (1 - G(b))  while it waits,
where G ends at 1 - h for a share h of failers that linger and never look dead:
the mixture cure model (Boag 1949, Journal of the Royal Statistical Society B 11, 15-53) with
interval-censored times. Coefficients that depend on neither p nor u are left out.
"""

import math

import numpy as np
from attrs import field, frozen

from propagate.science.clues import TINY, Clue, carried, chain, clue_table, earlier_share, thin
from propagate.science.prior import Prior
from propagate.science.sightings import Cells, ClosedClues, Waiting
from propagate.science.timing import Array, log_between, score


@frozen(eq=False)
class Lattice:
    """Nodes of take (as log odds) and shift u, with what every cell of a batch needs of them."""

    prior: Prior
    take_log_odds: Array
    shift: Array
    log_take: Array = field(init=False)
    log_fail: Array = field(init=False)
    log_days: Array = field(init=False)

    @log_take.default
    def _log_take(self) -> Array:
        return -np.logaddexp(0.0, -self.take_log_odds)

    @log_fail.default
    def _log_fail(self) -> Array:
        return -np.logaddexp(0.0, self.take_log_odds)

    @log_days.default
    def _log_days(self) -> Array:
        return self.prior.log_days_mean + self.shift

    def score(self, age_days: float) -> Array:
        """Log odds that a taker has rooted by this age, for each shift."""
        return score(age_days, self.log_days, self.prior.log_days_scale)

    def log_rooted(self, from_days: float, to_days: float) -> Array:
        """Log of P(a taker roots between two ages), for each shift."""
        return log_between(self.score(from_days), self.score(to_days))

    def dead_score(self, age_days: float) -> Array:
        """Log odds that a failer is dead by this age."""
        return score(age_days, self.prior.failer_log_days_mean, self.prior.failer_log_scale)

    def log_dead(self, from_days: float, to_days: float) -> float:
        """Log of P(a failer dies between two ages)."""
        between = log_between(self.dead_score(from_days), self.dead_score(to_days))
        return float(between) + math.log1p(-self.prior.failer_lingering)

    def log_waiting(self, seen: Waiting) -> Array:
        """Log of S, for one propagule that was seen waiting, shape (takes, shifts)."""
        unrooted = -np.logaddexp(0.0, self.score(seen.age_days))
        lingering = self.prior.failer_lingering
        alive = -np.logaddexp(0.0, self.dead_score(seen.alive_days))
        if lingering:
            alive = np.logaddexp(math.log(lingering), math.log1p(-lingering) + alive)
        return np.logaddexp(self.log_take[:, None] + unrooted, self.log_fail[:, None] + alive)

    def rate(self, seen: Waiting, age_days: float) -> Array:
        """P(rooted by an age | seen waiting before), shape (takes, shifts)."""
        gain = self.log_rooted(seen.age_days, age_days)
        log_rate = self.log_take[:, None] + gain - self.log_waiting(seen)
        return np.exp(np.minimum(log_rate, 0.0))


def log_likelihood(cells: Cells, lattice: Lattice) -> Array:
    """Log of P(all sightings | p, u) up to a constant, shape (takes, shifts)."""
    by_shift = np.zeros(len(lattice.shift))
    for cell in cells.rooted:
        if cell.count:
            by_shift += cell.count * lattice.log_rooted(cell.from_days, cell.to_days)
    for closed in cells.closed:
        by_shift += _log_closed(closed, lattice)
    died = sum(cell.count for cell in cells.dead)
    by_take = cells.known_rooted * lattice.log_take + died * lattice.log_fail
    for cell in cells.dead:
        if cell.count:
            by_take = by_take + cell.count * lattice.log_dead(cell.from_days, cell.to_days)
    out = by_take[:, None] + by_shift
    for waiting in (*cells.removed, cells.last):
        if waiting.count:
            out = out + waiting.count * lattice.log_waiting(waiting)
    return out + _log_open(cells, lattice) if cells.clues else out


def _log_open(cells: Cells, lattice: Lattice) -> Array:
    """Log of P(clues since the last look | p, u), shape (takes, shifts).

    The dead of a sample tell of the take only; until the next look, which counts all of
    them, every unrooted propagule is taken to have the same chance to root.
    """
    rate = lattice.rate(cells.last, cells.latest_days)
    out = clue_table(open_clues(cells, lattice)).log_chance(rate)
    for clue in cells.clues:
        if clue.dead is not None:
            out = out + _log_sample_deaths(clue, clue.dead, cells.last, lattice)
    return out


def open_clues(cells: Cells, lattice: Lattice, age_days: float | None = None) -> Array:
    """P(clues since the last look | j rooted by `age_days`, u), (unresolved + 1, shifts).

    Without an age, at the age of the last clue.
    """
    scale, start = lattice.prior.log_days_scale, cells.last.age_days
    given = chain(cells.clues, cells.unresolved, start, lattice.log_days, scale)
    if age_days is None or age_days <= cells.latest_days:
        return given
    share = earlier_share(start, cells.latest_days, age_days, lattice.log_days, scale)
    return carried(given, share)


def _log_sample_deaths(clue: Clue, dead: int, last: Waiting, lattice: Lattice) -> Array:
    """Log of P(dead and alive ones | unrooted ones of a sample), up to a constant."""
    unrooted = lattice.log_waiting(Waiting(clue.age_days, last.alive_days, 1))
    alive = lattice.log_waiting(Waiting(clue.age_days, clue.age_days, 1))
    died = lattice.log_fail + lattice.log_dead(last.alive_days, clue.age_days)
    alive_count = clue.lifted - clue.rooted - dead
    return dead * (died[:, None] - unrooted) + alive_count * (alive - unrooted)


def _log_closed(closed: ClosedClues, lattice: Lattice) -> Array:
    """Log of P(clues | number rooted at the look that closed them), for each shift."""
    scale, last = lattice.prior.log_days_scale, closed.clues[-1].age_days
    given = chain(closed.clues, closed.unresolved, closed.from_days, lattice.log_days, scale)[
        : closed.rooted + 1
    ]
    share = earlier_share(closed.from_days, last, closed.to_days, lattice.log_days, scale)
    return np.asarray(np.log(np.maximum(thin(given, share)[-1], TINY)), dtype=np.float64)
