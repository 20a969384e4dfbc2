"""Batches known in part: clues between looks, and removals that a later look followed.

Such a batch needs a table over takers and shifts of its own. One removed after a look and
before another was seen waiting at the first of them, and whether it was a taker is unknown:
each possible number of takers among the removed makes a `part`, and so does each fate of the
failers.
"""

import numpy as np
from attrs import frozen
from numpy.typing import ArrayLike, NDArray

from propagate.science.celllaws import CellLaws
from propagate.science.clues import carried, chain, earlier_share, log_sample_deaths, thin
from propagate.science.counts import log_factorials
from propagate.science.grid import in_play
from propagate.science.prior import Prior
from propagate.science.sightings import Cells, ClosedClues, Waiting
from propagate.science.timing import TINY, Array, log_between, log_sigmoid, score

COARSE = 4
"""Every fourth shift is tried first, to find those that are in play."""


@frozen(eq=False)
class Parts:
    """The tables of one batch, as `likelihood.Seen` has them.

    `told` is for all parts alike, (open + 1, shifts); `deaths` (parts, open + 1, shifts).
    """

    shift: Array
    offset: NDArray[np.int_]
    log_shift: Array
    log_fate: Array
    told: Array | None
    deaths: Array | None
    log_waiting: Array

    @property
    def log_table(self) -> Array:
        """Log of P(seen | takers, shift) without the fates, (parts, open + 1, shifts)."""
        takers = np.arange(self.log_fate.shape[1])[:, None]
        out = self.log_shift[:, None, :] + takers * self.log_waiting
        for more in (self.told, self.deaths):
            if more is not None:
                out = out + more
        return np.asarray(out, dtype=np.float64)


def shifts_in_play(
    prior: Prior, cells: Cells, shift: Array, lingering: tuple[float, ...], own: float
) -> Array:
    """Of the nodes, those that matter for at least one number of takers, seen on every fourth."""
    if len(shift) <= 1 or not (cells.clues or cells.closed):
        return shift
    coarse = shift[::COARSE]
    log_table = parts_of(prior, cells, coarse, lingering).log_table
    log_mass = log_table.max(axis=0) - (coarse / own) ** 2 / 2
    kept = in_play((log_mass - log_mass.max(axis=1, keepdims=True)).max(axis=0), pad=1)
    return shift[kept.start * COARSE : (kept.stop - 1) * COARSE + 1]


def parts_of(prior: Prior, cells: Cells, shift: Array, lingering: tuple[float, ...]) -> Parts:
    """The tables of a batch on nodes of its shift, its fates not yet weighed."""
    laws = CellLaws([prior], [cells], shift, [lingering])
    log_waiting = laws.log_waiting()[0]
    log_days, scale = laws.log_days[0], prior.log_days_scale
    log_shift = laws.log_looks()[0]
    for closed in cells.closed:
        log_shift = log_shift + _log_closed(closed, log_days, scale)
    number_of_fates = laws.deaths.lingering.shape[1]
    gone = [_log_removed(laws, cells.removed_before, fate) for fate in range(number_of_fates)]
    numbers = len(gone[0])
    fates = laws.log_fates()[0]
    return Parts(
        shift=shift,
        offset=np.tile(np.arange(numbers), number_of_fates),
        log_shift=log_shift + np.concatenate(gone),
        log_fate=np.repeat(fates, numbers, axis=0),
        told=_log_told(cells, log_days, scale, log_waiting) if cells.clues else None,
        deaths=_log_deaths(cells, laws, numbers),
        log_waiting=log_waiting,
    )


def _log_removed(laws: CellLaws, removed: tuple[Waiting, ...], fate: int) -> Array:
    """Log of P(removed ones were waiting | i takers among them), times the ways, (i, shifts)."""
    out = np.zeros((1, len(laws.shift)))
    for gone in removed:
        takers = np.arange(gone.count + 1)[:, None]
        factorial = log_factorials(gone.count)[:, None]
        alive = laws.deaths.log_alive(np.array([[gone.alive_days]]))[0, fate]
        each = (
            (factorial[-1] - factorial - factorial[::-1])
            + takers * log_sigmoid(-laws.score(np.array([[gone.age_days]]))[0])
            + (gone.count - takers) * alive
        )
        out = _joined(out, each)
    return out


def _joined(one: Array, other: Array) -> Array:
    """Log of the sum over all ways to split a number of takers between two removals."""
    out = np.full((len(one) + len(other) - 1, one.shape[1]), np.log(TINY))
    for i, row in enumerate(other):
        out[i : i + len(one)] = np.logaddexp(out[i : i + len(one)], one + row)
    return out


def _log_told(cells: Cells, log_days: Array, scale: float, log_waiting: Array) -> Array:
    """Log of P(clues since the last look | takers, shift), (unresolved + 1, shifts)."""
    given = chain(cells.clues, cells.unresolved, cells.last.age_days, log_days, scale)
    share = rooted_since(cells.last.age_days, cells.latest_days, log_days, scale, log_waiting)
    return np.asarray(np.log(np.maximum(carried(given, share), TINY)), dtype=np.float64)


def told_by(cells: Cells, age_days: float, log_days: Array, scale: float) -> Array:
    """P(clues since the last look | j rooted by an age from the last clue on, u)."""
    start = cells.last.age_days
    given = chain(cells.clues, cells.unresolved, start, log_days, scale)
    if age_days <= cells.latest_days:
        return given
    return carried(given, earlier_share(start, cells.latest_days, age_days, log_days, scale))


def rooted_since(
    from_days: float, age_days: ArrayLike, log_days: Array, scale: float, log_waiting: Array
) -> Array:
    """Share of the takers waiting at one age that have rooted by others, for each shift."""
    gain = log_between(score(from_days, log_days, scale), score(age_days, log_days, scale))
    return np.exp(np.minimum(gain - log_waiting, 0.0))


def _log_closed(closed: ClosedClues, log_days: Array, scale: float) -> Array:
    """Log of P(clues | number rooted at the look that closed them), for each shift."""
    given = chain(closed.clues, closed.unresolved, closed.from_days, log_days, scale)
    last = closed.clues[-1].age_days
    share = earlier_share(closed.from_days, last, closed.to_days, log_days, scale)
    found = thin(given[: closed.rooted + 1], share)[-1]
    return np.asarray(np.log(np.maximum(found, TINY)), dtype=np.float64)


def _log_deaths(cells: Cells, laws: CellLaws, numbers: int) -> Array | None:
    """Log of P(dead in samples | takers), a part each, (parts, unresolved + 1, shifts)."""
    found = [clue for clue in cells.clues if clue.dead is not None]
    if not found:
        return None
    log_waiting, alive = laws.log_waiting()[0], laws.log_alive()[0]
    out: Array | float = 0.0
    for clue in found:
        age, begin = np.array([[clue.age_days]]), np.array([[cells.last.alive_days]])
        died = np.exp(np.minimum(laws.deaths.log_dead(begin, age)[0] - alive, 0.0))
        rooted = rooted_since(
            cells.last.age_days,
            clue.age_days,
            laws.log_days[0],
            float(laws.scale[0, 0]),
            log_waiting,
        )
        out = out + log_sample_deaths(clue, cells.unresolved, rooted, died)
    return np.repeat(out, numbers, axis=0)
