"""The law of a batch yet to be started, for every number to start at once.

Given what batches share (theta) and its own shift u, a propagule of a fresh batch becomes a
plant in time with one chance q = p r e: it takes (p, Beta given theta), roots in time (r, given
u) and establishes in its pot (e, Beta). Given q the plants are binomial, so

    P(at least k of n | q) = sum over j = k..n of  q NB(j - 1; k - 1, q),

the chance that the k-th plant comes at the j-th propagule: one running sum gives it for every
n. The law of q stands on an even grid; mass between two points is split so that its mean is
kept. Its error in a chance is a few parts in ten thousand (a test shows it).
"""

from functools import lru_cache
from typing import Final

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.counts import log_factorials
from propagate.science.grid import SharedNodes, log_beta_weights, log_odds_nodes
from propagate.science.timing import Array

Whole = NDArray[np.int_]

CHANCES: Final = np.linspace(0.0, 1.0, 401)
"""The grid of chances on which laws stand."""

IN_TIME: Final = np.linspace(0.0, 1.0, 65)
"""The grid of shares that root in time."""

TELLING: Final = 60.0  # trials as sharp as which the grid of takes is made, at least
AT_A_TIME: Final = 64
"""Numbers to start whose chances are reckoned in one piece, at first; then more."""

HAIR: Final = 1e-12  # what rounding may take off a chance that is just enough

NEGLIGIBLE: Final = 1e-12  # weight below which a share is left out

WASTEFUL: Final = 4
"""Nobody starts four times as many in a bad week as would do in a good one."""


@frozen(eq=False)
class Takes:
    """The law of p e for each shared node, (nodes, CHANCES), and which early node each has."""

    weight: Array
    given: Array
    early_at: Array

    def by_early(self, earlies: int) -> Array:
        """The same with the nodes of one early node weighed together: (earlies, CHANCES)."""
        out = np.zeros((earlies, len(CHANCES)))
        np.add.at(out, self.early_at.astype(np.int_), self.weight[:, None] * self.given)
        return out


def takes_of(shared: SharedNodes, weight: Array, establish: tuple[float, float] | None) -> Takes:
    """The law of a plant's chance to take and to establish, (a, b) being that of the latter."""
    sharp = float(shared.precision.max()) + TELLING
    nodes = log_odds_nodes(sharp)
    laws = np.exp(log_beta_weights(nodes, shared.take, shared.precision))
    laws /= laws.sum(axis=1, keepdims=True)
    given = _on_grid(1 / (1 + np.exp(-nodes)), laws)
    if establish is not None:
        a, b = establish
        more = log_odds_nodes(a + b + TELLING)
        stays = np.exp(log_beta_weights(more, np.array([a / (a + b)]), np.array([a + b])))[0]
        given = given @ _times(1 / (1 + np.exp(-more)), stays / stays.sum())
    return Takes(weight, given, np.asarray(shared.early_at))


def in_time(shares: Array, weights: Array) -> Array:
    """Shares that root in time, (.., n) weighed (.., n), as laws on IN_TIME: (.., IN_TIME)."""
    return _split(shares, weights, IN_TIME)


def chances_of(by_early: Array, rooting: Array) -> Array:
    """The law of q for each of several starts: `rooting` is (starts, earlies, IN_TIME)."""
    out = np.zeros((len(rooting), len(CHANCES)))
    for early, law in enumerate(by_early):
        out += rooting[:, early] @ _scaled(law)
    return out


def chances_given(takes: Takes, rooting: Array) -> Array:
    """The law of q for one start given each shared node, (nodes, CHANCES)."""
    out = np.zeros_like(takes.given)
    for early, law in enumerate(rooting):
        chosen = takes.early_at == early
        out[chosen] = takes.given[chosen] @ _times(IN_TIME, law)
    return out


def smallest_starts(laws: Array, wanted: int, chance: float, most: int) -> Whole:
    """For each start the fewest propagules of which `wanted` come with a chance; 0 for none.

    `laws` is (starts, CHANCES), `most` the most that may be started; a start that would take
    WASTEFUL times what the best one takes is left out too.
    """
    found = np.zeros(len(laws), dtype=np.int_)
    if wanted == 0:
        return found
    reached, started = np.zeros((len(CHANCES), 1)), wanted - 1
    while not found.all() and started < most:
        steps = min(max(AT_A_TIME, started // 2), most - started)
        numbers = np.arange(started + 1, started + steps + 1)
        rising = np.cumsum(_kth_at(wanted, numbers), axis=1) + reached
        enough = laws @ rising >= chance - HAIR
        hit = enough.any(axis=1) & (found == 0)
        found[hit] = numbers[enough[hit].argmax(axis=1)]
        if found.any():
            most = min(most, WASTEFUL * int(found[found > 0].min()))
        reached, started = rising[:, -1:], int(numbers[-1])
    return found


def smallest_for_shortage(table: Array, chance: float, most: int) -> Whole:
    """The same where it is not certain how many are wanted.

    `table` (starts, CHANCES, m + 1) is the law of q and of the number wanted together. By
    bisection, for the chance never falls as more are started.
    """
    found = np.zeros(len(table), dtype=np.int_)
    likeliest_first = np.argsort(-(table.sum(axis=2) @ CHANCES))
    for at in likeliest_first.tolist():
        found[at] = _bisected(table[at], chance, most)
        if found[at]:
            most = min(most, WASTEFUL * int(found[at]))
    return found


def _bisected(table: Array, chance: float, most: int) -> int:
    def enough(count: int) -> bool:
        tails: Array = _tails(count)[:, : table.shape[1]]
        return bool((table[:, : tails.shape[1]] * tails).sum() >= chance - HAIR)

    if enough(0):
        return 0
    too_few, plenty = 0, max(int(table.shape[1]) - 1, 1)
    while not enough(plenty):
        if plenty >= most:
            return 0
        too_few, plenty = plenty, min(2 * plenty, most)
    while plenty - too_few > 1:
        middle = (too_few + plenty) // 2
        too_few, plenty = (too_few, middle) if enough(middle) else (middle, plenty)
    return plenty


@lru_cache(maxsize=128)
def _tails(count: int) -> Array:
    """P(at least k of count | q), (CHANCES, count + 1)."""
    return np.asarray(np.cumsum(_binomials(count)[:, ::-1], axis=1)[:, ::-1], dtype=np.float64)


def counts_of(laws: Array, count: int) -> Array:
    """How many of `count` started come, from laws (nodes, CHANCES): (nodes, count + 1)."""
    return np.asarray(laws @ _binomials(count), dtype=np.float64)


def _kth_at(k: int, numbers: Whole) -> Array:
    """P(the k-th plant comes at the j-th propagule | q), (CHANCES, numbers)."""
    out = np.zeros((len(CHANCES), len(numbers)))
    if k == 0 or numbers[-1] < k:
        return out
    fits = numbers[numbers >= k]
    factorial = log_factorials(int(fits[-1]))
    ways = factorial[fits - 1] - factorial[k - 1] - factorial[fits - k]
    log_q, log_not = _logs()
    out[1:-1, numbers >= k] = np.exp(ways + k * log_q[:, None] + (fits - k) * log_not[:, None])
    out[-1, numbers == k] = 1.0
    return out


@lru_cache(maxsize=1)
def _logs() -> tuple[Array, Array]:
    inner = CHANCES[1:-1]
    return np.log(inner), np.log1p(-inner)


@lru_cache(maxsize=64)
def _binomials(count: int) -> Array:
    """P(k of count | q), (CHANCES, count + 1)."""
    k, factorial = np.arange(count + 1), log_factorials(count)
    ways = factorial[count] - factorial - factorial[::-1]
    log_q, log_not = _logs()
    out = np.zeros((len(CHANCES), count + 1))
    out[1:-1] = np.exp(ways + k * log_q[:, None] + (count - k) * log_not[:, None])
    out[0, 0] = out[-1, -1] = 1.0
    return out


def _on_grid(points: Array, laws: Array) -> Array:
    """Laws (n, points) of chances at points, carried to the grid."""
    return _split(np.broadcast_to(points, laws.shape), laws, CHANCES)


def _times(shares: Array, weights: Array) -> Array:
    """The matrix that multiplies a chance on the grid by an independent share."""
    size = len(CHANCES)
    kept = weights > NEGLIGIBLE
    left, part = _halves(shares[kept, None] * CHANCES, size)
    rows = np.arange(size) * size
    heavy = weights[kept, None]
    flat = np.bincount((rows + left).ravel(), (heavy * (1 - part)).ravel(), size * size)
    flat += np.bincount((rows + left + 1).ravel(), (heavy * part).ravel(), size * size)
    return np.asarray(flat.reshape(size, size), dtype=np.float64)


def _scaled(law: Array) -> Array:
    """A law on the grid times each share of IN_TIME: (IN_TIME, CHANCES)."""
    size = len(CHANCES)
    left, part = _halves(IN_TIME[:, None] * CHANCES, size)
    rows = np.arange(len(IN_TIME))[:, None] * size
    flat = np.bincount((rows + left).ravel(), (law * (1 - part)).ravel(), len(IN_TIME) * size)
    flat += np.bincount((rows + left + 1).ravel(), (law * part).ravel(), len(IN_TIME) * size)
    return np.asarray(flat.reshape(-1, size), dtype=np.float64)


def _halves(points: Array, size: int) -> tuple[Whole, Array]:
    """The node of an even grid over 0..1 left of each point, and the part that goes right."""
    at = np.clip(points, 0.0, 1.0) * (size - 1)
    left = np.minimum(at.astype(np.int_), size - 2)
    return left, np.asarray(at - left, dtype=np.float64)


def _split(points: Array, weights: Array, grid: Array) -> Array:
    """Mass at points carried to an even grid over 0..1, split so that the mean stays."""
    lead, size = points.shape[:-1], len(grid)
    left, part = _halves(points.reshape(-1, points.shape[-1]), size)
    mass = np.broadcast_to(weights, points.shape).reshape(left.shape)
    rows = np.arange(len(left))[:, None] * size
    flat = np.bincount((rows + left).ravel(), (mass * (1 - part)).ravel(), len(left) * size)
    flat += np.bincount((rows + left + 1).ravel(), (mass * part).ravel(), len(left) * size)
    return np.asarray(flat.reshape(*lead, size), dtype=np.float64)
