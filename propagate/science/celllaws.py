"""The cells of several batches at once: what looks tell of the shift, and of those that fail.

The batches have as many nodes of the shift; a batch with fewer cells has empty ones added.
"""

from collections.abc import Iterator, Sequence
from functools import cached_property
from operator import attrgetter

import numpy as np
from attrs import frozen

from propagate.science.counts import log_factorials
from propagate.science.hypotheses import Deaths, deaths_under
from propagate.science.prior import Prior
from propagate.science.sightings import Cell, Cells
from propagate.science.timing import Array, log_between, log_sigmoid, score


@frozen(eq=False)
class CellLaws:
    """Batches with their priors, and the nodes (shifts,) of the shift in deviations.

    `lingering` holds as many shares for each batch; without any the prior's own is taken. What
    becomes of failers is reckoned under as many fates of each (see `hypotheses`).
    """

    priors: Sequence[Prior]
    cells: Sequence[Cells]
    shift: Array
    lingering: Sequence[tuple[float, ...]]

    @cached_property
    def log_days(self) -> Array:
        """Mean of ln(days) of a taker, (batches, shifts)."""
        mean = _column([prior.log_days_mean for prior in self.priors])
        between = _column([prior.log_days_between for prior in self.priors])
        return np.asarray(mean + between * self.shift, dtype=np.float64)

    @cached_property
    def scale(self) -> Array:
        """Scale of ln(days) within a batch, (batches, 1)."""
        return _column([prior.log_days_scale for prior in self.priors])

    @cached_property
    def deaths(self) -> Deaths:
        """The law of the failers of each batch."""
        return deaths_under(self.priors, self.lingering)

    def score(self, age_days: Array) -> Array:
        """Log odds that a taker has rooted by an age (batches, 1), (batches, shifts)."""
        return score(age_days, self.log_days, self.scale)

    def log_looks(self) -> Array:
        """Log of P(the rooted fell into their cells) for each shift, (batches, shifts)."""
        out = np.zeros_like(self.log_days)
        for begin, end, count in _by_place([cells.rooted for cells in self.cells]):
            if count.any():
                out += count * log_between(self.score(begin), self.score(end))
        return out

    def log_waiting(self) -> Array:
        """Log of P(a taker waits at the last look), (batches, shifts)."""
        last = _column([cells.last.age_days for cells in self.cells])
        return log_sigmoid(-self.score(last))

    def log_dead(self) -> Array:
        """Log of P(the dead fell into their cells), (batches, fates)."""
        out = np.zeros_like(self.deaths.lingering)
        for begin, end, count in _by_place([cells.dead for cells in self.cells]):
            if count.any():
                out += np.where(count > 0, count * self.deaths.log_dead(begin, end), 0.0)
        return out

    def log_alive(self) -> Array:
        """Log of P(a failer does not look dead at the last look), (batches, fates)."""
        return self.deaths.log_alive(_column([cells.last.alive_days for cells in self.cells]))

    def log_fates(self) -> Array:
        """Log of P(dead and alive | j takers of those open), in as many ways as they can be.

        Shape (batches, fates, most open + 1); of no meaning beyond a batch's own.
        """
        size = np.array([[cells.open] for cells in self.cells])
        gone = np.array([[cells.dead_gone] for cells in self.cells])
        takers = np.arange(int(size.max()) + 1)
        factorial = log_factorials(int((size + gone).max()))
        failers = np.maximum(size - takers, 0) + gone
        ways = factorial[size + gone] - factorial[takers] - factorial[failers]
        out = failers[:, None, :] * self.log_alive()[:, :, None]
        out += self.log_dead()[:, :, None]
        out += ways[:, None, :]
        return np.asarray(out, dtype=np.float64)


def _column(values: Sequence[float]) -> Array:
    return np.array(values, dtype=np.float64)[:, None]


def _by_place(rows: Sequence[tuple[Cell, ...]]) -> Iterator[tuple[Array, Array, Array]]:
    """The first, second, .. cells of all batches: begin, end and count, each (batches, 1)."""
    most = max((len(row) for row in rows), default=0)
    filled = [row if len(row) == most else (*row, *[_EMPTY] * (most - len(row))) for row in rows]
    for place in range(most):
        begin, end, count = np.array([_NUMBERS(row[place]) for row in filled]).T[:, :, None]
        yield begin, end, count


_EMPTY = Cell(1.0, 2.0, 0)
_NUMBERS = attrgetter("from_days", "to_days", "count")
