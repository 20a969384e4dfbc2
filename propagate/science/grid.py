"""Nodes fine enough for what a batch, or all batches together, can tell.

All sums are trapezoid rules over smooth functions that vanish at both ends, so that their
error falls faster than any power of the step: with a step of d deviations of the narrowest
possible peak it is about exp(-2 pi^2 / d^2) (Trefethen & Weideman 2014, SIAM Review 56,
385-458); d = 1.2 gives one in a million. How narrow a peak can be follows from the number of
propagules, so no answer depends on guessing where to look.
"""

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from propagate.science.prior import Prior
from propagate.science.timing import Array, log_sigmoid

STEP_DEVIATIONS: Final = 1.2
FEWEST: Final = 40
"""Steps are never wider than for this many propagules, for a prior has shape of its own."""

LOG_ODDS_REACH: Final = 15.0
"""Takes from 3e-7 to 1 - 3e-7; what lies beyond is added to the outermost node."""

SHIFT_REACH: Final = 10.0
"""Shifts within 10 deviations: a tray may run far from what its record says."""

EVEN_NUMBERS: Final = 16
"""Shifts to either side are a multiple of this, so that many batches have as many nodes."""

NEGLIGIBLE_LOG: Final = -25.0
"""Nodes where the posterior is e^-25 of its peak or less are left out."""

WIDER_LOG: Final = -30.0
"""Shared takes down to e^-30 of the prior's peak are tried first; see `learning.learn`."""


@frozen(eq=False)
class EarlyNodes:
    """Nodes of what the batches' shifts have in common, in deviations of a batch's shift.

    A batch's own shift scatters around a node with `own` of its deviation.
    """

    at: Array
    own: float

    @property
    def weight(self) -> Array:
        """Weight of each node before anything was seen."""
        if len(self.at) == 1:
            return np.ones(1)
        weight = np.exp(-(self.at**2) / (2 * (1 - self.own**2)))
        return np.asarray(weight / weight.sum(), dtype=np.float64)

    def log_weights(self, shift_deviations: Array) -> Array:
        """Log of weights (nodes, shifts) of a batch's shift on even nodes, Normal around each."""
        if len(shift_deviations) == 1:
            return np.zeros((len(self.at), 1))
        logs = -(((shift_deviations - self.at[:, None]) / self.own) ** 2) / 2
        step = (shift_deviations[1] - shift_deviations[0]) / self.own
        return np.asarray(logs + math.log(step / math.sqrt(2 * math.pi)), dtype=np.float64)


NOTHING_IN_COMMON: Final = EarlyNodes(np.zeros(1), 1.0)


@frozen(eq=False)
class SharedGrid:
    """All that batches of a plant by a method have in common, on a grid.

    `log_odds` (takes,) of the mean take; `precision` (precisions,) of a batch's take around
    it; `early`, their common shift of time. `log_weight` (precisions, earlies, takes) is the
    logarithm of the prior weight.
    """

    log_odds: Array
    precision: Array
    early: EarlyNodes
    log_weight: Array

    def part(self, window: slice) -> "SharedGrid":
        """Only the takes of a window."""
        return evolve(self, log_odds=self.log_odds[window], log_weight=self.log_weight[..., window])


@frozen(eq=False)
class SharedNodes:
    """The same on single nodes: each a mean take, a precision and one of the early nodes.

    `usage_at` says what is usual with the plant's failers there (see `hypotheses`).
    """

    log_odds: Array
    precision: Array
    early_at: NDArray[np.int_]
    usage_at: NDArray[np.int_]
    early: EarlyNodes

    @property
    def take(self) -> Array:
        """The shared take of every node."""
        return np.asarray(1 / (1 + np.exp(-self.log_odds)), dtype=np.float64)


def log_odds_nodes(information: float) -> Array:
    """Even nodes of log odds of a share that at most `information` trials tell of.

    A binomial peak over log odds has a deviation of at least 2 / sqrt(trials).
    """
    step = STEP_DEVIATIONS * 2 / math.sqrt(max(information, FEWEST))
    return np.asarray(_even(math.ceil(LOG_ODDS_REACH / step / 4) * 4) * step, dtype=np.float64)


def shift_nodes(prior: Prior, count: int, own: float = 1.0) -> Array:
    """Even nodes of the batch's shift in its own deviations, one of them 0.

    When batches do not differ there is only that one. One exact logistic time tells of its
    location with a precision of 1 / (3 s^2). A batch scatters around what it has in common
    with others by `own` of its deviation.
    """
    if prior.log_days_between == 0:
        return np.zeros(1)
    told = count * (prior.log_days_between / prior.log_days_scale) ** 2 / 3
    step = STEP_DEVIATIONS / math.sqrt(told + 1 / own**2)
    return _even_shifts(math.ceil(SHIFT_REACH / step / EVEN_NUMBERS) * EVEN_NUMBERS)


@lru_cache(maxsize=64)
def _even_shifts(half: int) -> Array:
    return np.asarray(_even(half) * (SHIFT_REACH / half), dtype=np.float64)


def _even(half: int) -> NDArray[np.int_]:
    return np.arange(-half, half + 1)


def log_beta_weights(nodes: Array, mean: Array, precision: float | Array) -> Array:
    """Log of weights (means, nodes) of Beta(mean, precision) on even nodes of log odds.

    Nodes at the limit of log odds also carry the tails beyond them, where the density
    falls off as exp(-a |x|) on the left and exp(-b |x|) on the right.
    """
    a, b = mean * precision, (1 - mean) * precision
    log_norm = np.array(
        [math.lgamma(x + y) - math.lgamma(x) - math.lgamma(y) for x, y in zip(a, b, strict=True)]
    )
    log_take, log_fail = log_sigmoid(nodes), log_sigmoid(-nodes)
    out = log_norm[:, None] + a[:, None] * log_take + b[:, None] * log_fail
    step = nodes[1] - nodes[0]
    out += math.log(step)
    if nodes[0] <= -LOG_ODDS_REACH:
        out[:, 0] += np.log(0.5 + 1 / (a * step))
    if nodes[-1] >= LOG_ODDS_REACH:
        out[:, -1] += np.log(0.5 + 1 / (b * step))
    return np.asarray(out, dtype=np.float64)


def shared_grid(
    prior: Prior,
    looked_at: Sequence[int],
    precision_factors: Array | None = None,
    early: EarlyNodes = NOTHING_IN_COMMON,
) -> SharedGrid:
    """Grid of what is shared, its takes fine enough for what batches of such sizes can tell.

    A batch of n tells of the mean take as much as n (phi + 1) / (n + phi) trials. The record's
    batch precision is multiplied by `precision_factors`, by 1 when None. The weights are those
    of the take alone, the same for each precision and each early node.
    """
    factors = np.ones(1) if precision_factors is None else precision_factors
    precision = prior.take_precision_batch * factors
    mean = np.array([prior.take_mean])
    if math.isinf(prior.take_precision_shared):
        nodes, weights = np.log(mean / (1 - mean)), np.zeros(1)
    else:
        most = float(precision.max())
        trials = sum(count * (most + 1) / (count + most) for count in looked_at)
        nodes = log_odds_nodes(prior.take_precision_shared + trials)
        weights = log_beta_weights(nodes, mean, prior.take_precision_shared)[0]
    shape = (len(precision), len(early.at), len(nodes))
    return SharedGrid(nodes, precision, early, np.broadcast_to(weights, shape))


def in_play(log_mass: Array, pad: int = 0, below: float = NEGLIGIBLE_LOG) -> slice:
    """The nodes from the first to the last that matter, and `pad` more at either end.

    What matters lies less than `below` (a negative logarithm) under the largest mass.
    """
    heavy = np.nonzero(log_mass > log_mass.max() + below)[0]
    return slice(max(int(heavy[0]) - pad, 0), min(int(heavy[-1]) + pad + 1, len(log_mass)))
