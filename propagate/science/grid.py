"""Nodes fine enough for a batch, and the part of them that its sightings leave in play.

All sums are trapezoid rules over smooth functions that vanish at both ends, so that their
error falls faster than any power of the step: with a step of d deviations of the narrowest
possible peak it is about exp(-2 pi^2 / d^2) (Trefethen & Weideman 2014, SIAM Review 56,
385-458); d = 1.2 gives one in a million. How narrow a peak can be follows from the number of
propagules, so no answer depends on guessing where to look.
"""

import math
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.likelihood import Lattice, log_likelihood
from propagate.science.prior import Prior
from propagate.science.sightings import Cells
from propagate.science.timing import Array

STEP_DEVIATIONS: Final = 1.2
FEWEST: Final = 40
"""Steps are never wider than for this many propagules, for a prior has shape of its own."""

LOG_ODDS_REACH: Final = 15.0
"""Takes from 3e-7 to 1 - 3e-7; what lies beyond is added to the outermost node."""

SHIFT_REACH: Final = 10.0
"""Shifts within 10 deviations: a tray may run far from what its record says."""

COARSE: Final = 4
NEGLIGIBLE_LOG: Final = -25.0
"""Nodes where the posterior is e^-25 of its peak or less, seen on every fourth, are left out.
The peak itself may lie half a coarse step off in both directions, which costs at most e^6."""

WIDER_LOG: Final = -40.0
"""Shared takes down to e^-40 of the prior's peak are tried first; see `learning.learn`."""


@frozen(eq=False)
class SharedNodes:
    """Nodes of the shared take, as log odds, and the logarithm of their prior weight."""

    log_odds: Array
    log_weight: Array

    @property
    def take(self) -> Array:
        """The shared takes themselves."""
        return np.asarray(1 / (1 + np.exp(-self.log_odds)), dtype=np.float64)

    def part(self, window: slice) -> "SharedNodes":
        """Only the nodes of a window."""
        return SharedNodes(self.log_odds[window], self.log_weight[window])


@frozen(eq=False)
class BatchGrid:
    """A batch's likelihood over take (rows) and shift (columns), shift weights included.

    `mass` is scaled to a largest value of 1, the logarithm of which was `log_scale`.
    """

    lattice: Lattice
    mass: Array
    log_scale: float

    @property
    def by_take(self) -> Array:
        """Likelihood of each take, the shift summed out."""
        return np.asarray(self.mass.sum(axis=1), dtype=np.float64)


def log_odds_nodes(information: float) -> Array:
    """Even nodes of log odds of a share that at most `information` trials tell of.

    A binomial peak over log odds has a deviation of at least 2 / sqrt(trials).
    """
    step = STEP_DEVIATIONS * 2 / math.sqrt(max(information, FEWEST))
    return np.asarray(_even(math.ceil(LOG_ODDS_REACH / step)) * step, dtype=np.float64)


def shift_nodes(prior: Prior, count: int) -> Array:
    """Even nodes of the batch's shift u, one at 0; only that one when batches do not differ.

    One exact logistic time tells of its location with a precision of 1 / (3 s^2).
    """
    if prior.log_days_between == 0:
        return np.zeros(1)
    precision = count / (3 * prior.log_days_scale**2) + 1 / prior.log_days_between**2
    step = STEP_DEVIATIONS / math.sqrt(precision)
    reach = SHIFT_REACH * prior.log_days_between
    nodes = _even(max(6, math.ceil(reach / step)))
    return np.asarray(nodes * (reach / nodes[-1]), dtype=np.float64)


def _even(half: int) -> NDArray[np.int_]:
    """Whole numbers around 0 to at least `half`, of which every COARSE-th keeps both ends."""
    half = COARSE * math.ceil(half / COARSE)
    return np.arange(-half, half + 1)


def log_beta_weights(nodes: Array, mean: Array, precision: float) -> Array:
    """Log of weights (means, nodes) of Beta(mean, precision) on even nodes of log odds.

    Nodes at the limit of log odds also carry the tails beyond them, where the density
    falls off as exp(-a |x|) on the left and exp(-b |x|) on the right.
    """
    a, b = mean * precision, (1 - mean) * precision
    log_norm = math.lgamma(precision) - np.array(
        [math.lgamma(one) + math.lgamma(other) for one, other in zip(a, b, strict=True)]
    )
    log_take, log_fail = -np.logaddexp(0.0, -nodes), -np.logaddexp(0.0, nodes)
    out = log_norm[:, None] + a[:, None] * log_take + b[:, None] * log_fail
    step = nodes[1] - nodes[0]
    out += math.log(step)
    if nodes[0] <= -LOG_ODDS_REACH:
        out[:, 0] += np.log(0.5 + 1 / (a * step))
    if nodes[-1] >= LOG_ODDS_REACH:
        out[:, -1] += np.log(0.5 + 1 / (b * step))
    return np.asarray(out, dtype=np.float64)


def shared_nodes(prior: Prior, batches: int) -> SharedNodes:
    """Nodes of the shared take, fine enough for what so many batches can tell of it."""
    mean = np.array([prior.take_mean])
    if math.isinf(prior.take_precision_shared):
        return SharedNodes(np.log(mean / (1 - mean)), np.zeros(1))
    information = prior.take_precision_shared + batches * (prior.take_precision_batch + 1)
    nodes = log_odds_nodes(information)
    return SharedNodes(nodes, log_beta_weights(nodes, mean, prior.take_precision_shared)[0])


def batch_grid(prior: Prior, cells: Cells, count: int, shared: SharedNodes) -> BatchGrid:
    """Likelihood of one batch on nodes that hold its posterior for every shared take.

    A coarse pass over every fourth node finds the box in play, a fine one fills it.
    """
    takes = log_odds_nodes(count + prior.take_precision_batch)
    shifts = shift_nodes(prior, count)
    coarse = Lattice(prior, takes[::COARSE], shifts[::COARSE])
    log_mass = log_likelihood(cells, coarse) + _log_shift_weights(prior, coarse.shift)
    rows, columns = _box(log_mass, coarse, shared)
    lattice = Lattice(prior, _finer(takes, rows), _finer(shifts, columns))
    log_mass = log_likelihood(cells, lattice) + _log_shift_weights(prior, lattice.shift)
    log_scale = float(log_mass.max())
    return BatchGrid(lattice, np.exp(log_mass - log_scale), log_scale)


def _box(log_mass: Array, lattice: Lattice, shared: SharedNodes) -> tuple[slice, slice]:
    """Rows and columns that matter for at least one shared take.

    All shared takes stand on the same footing here, for other batches may speak for any.
    """
    precision = lattice.prior.take_precision_batch
    best_shift = log_mass.max(axis=1)
    given = log_beta_weights(lattice.take_log_odds, shared.take, precision) + best_shift
    profile = (given - given.max(axis=1, keepdims=True)).max(axis=0)
    by_shift = (log_mass + (profile - best_shift)[:, None]).max(axis=0)
    return in_play(profile, pad=1), in_play(by_shift, pad=1)


def _log_shift_weights(prior: Prior, shift: Array) -> Array:
    """Log of weights of Normal(0, tau) on even nodes, up to a constant common to a step."""
    if prior.log_days_between == 0:
        return np.zeros(1)
    return np.asarray(-((shift / prior.log_days_between) ** 2) / 2, dtype=np.float64)


def in_play(log_mass: Array, pad: int = 0, below: float = NEGLIGIBLE_LOG) -> slice:
    """The nodes from the first to the last that matter, and `pad` more at either end.

    What matters lies less than `below` (a negative logarithm) under the largest mass.
    """
    heavy = np.nonzero(log_mass > log_mass.max() + below)[0]
    return slice(max(int(heavy[0]) - pad, 0), min(int(heavy[-1]) + pad + 1, len(log_mass)))


def _finer(nodes: Array, coarse: slice) -> Array:
    return nodes[coarse.start * COARSE : (coarse.stop - 1) * COARSE + 1]
