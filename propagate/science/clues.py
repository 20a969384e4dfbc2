"""Partial knowledge between two looks: "at least k have rooted", and random samples.

Given how many of the unresolved propagules are rooted at a clue's age, its probability does
not depend on the take. Given how many are rooted at a later age, those rooted at the earlier
one are a binomial part of them, with a chance v that depends on the batch's shift u alone.
So the clues between two looks form a chain over a single count, summed here exactly.
"""

from collections.abc import Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from propagate.science.counts import angle_position, log_factorials, log_fixed_rates
from propagate.science.timing import Array, log_between, score

IntArray = NDArray[np.int_]

TINY = 1e-300  # keeps the logarithm of an impossible clue finite


@frozen
class Clue:
    """At `age_days`, `left` in all had left the tray rooted since the last look.

    With `lifted` above 0, a sample of that size then held `rooted` and `dead` (None: the dead
    were not looked for), from a tray that held `known_in_tray` rooted ones from earlier looks.
    """

    age_days: float
    left: int
    lifted: int = 0
    rooted: int = 0
    dead: int | None = None
    known_in_tray: int = 0

    def chance(self, unresolved: int) -> Array:
        """Probability of the clue for 0..unresolved rooted at its age, shape (unresolved + 1,).

        A sample is hypergeometric: lifted from the known rooted ones and the unresolved that
        have not left. When later removals leave fewer than were lifted, it tells nothing.
        """
        rooted = np.arange(unresolved + 1)
        possible = (rooted >= self.left).astype(np.float64)
        tray = self.known_in_tray + unresolved - self.left
        if not self.lifted or tray < self.lifted:
            return possible
        return possible * _hypergeometric(
            np.maximum(self.known_in_tray + rooted - self.left, 0), tray, self.lifted, self.rooted
        )


def _hypergeometric(rooted_in_tray: IntArray, tray: int, lifted: int, found: int) -> Array:
    """P(found rooted | rooted_in_tray of tray, lifted at random), shape of `rooted_in_tray`."""
    factorial, waiting_in_tray = log_factorials(tray), tray - rooted_in_tray
    possible = (rooted_in_tray >= found) & (waiting_in_tray >= lifted - found)
    log_ways = _log_choose(factorial, rooted_in_tray, found) + _log_choose(
        factorial, waiting_in_tray, lifted - found
    )
    log_all = factorial[tray] - factorial[lifted] - factorial[tray - lifted]
    return np.where(possible, np.exp(np.minimum(log_ways - log_all, 0.0)), 0.0)


def _log_choose(factorial: Array, among: IntArray, taken: int) -> Array:
    """Log of the binomial coefficient; of no meaning where more are taken than there are."""
    return np.asarray(
        factorial[among] - factorial[taken] - factorial[np.maximum(among - taken, 0)],
        dtype=np.float64,
    )


def thin(given_earlier: Array, share: Array) -> Array:
    """From f(i), i rooted earlier, to E[f(I)] with I ~ Binomial(j, share), j = 0..n.

    `given_earlier` is (n + 1, shifts), `share` (shifts,), the answer (n + 1, shifts). The
    binomials grow by Pascal's rule, one row at a time: exact, and free of exponentials.
    """
    size = given_earlier.shape[0]
    binomial = np.zeros_like(given_earlier)
    binomial[0] = 1.0
    out = np.empty_like(given_earlier)
    out[0] = given_earlier[0]
    for j in range(1, size):
        stay = binomial[:j] * share
        binomial[:j] -= stay
        binomial[1 : j + 1] += stay
        out[j] = np.einsum("iu,iu->u", binomial[: j + 1], given_earlier[: j + 1])
    return out


def chain(
    clues: Sequence[Clue], unresolved: int, from_days: float, log_days: Array, scale: float
) -> Array:
    """P(all clues | j rooted at the age of the last one, u), shape (unresolved + 1, shifts).

    `from_days` is the age at the last look, `log_days` the mean of ln(days) for each shift u.
    """
    so_far = np.ones((unresolved + 1, len(log_days)))
    before = clues[0].age_days
    for clue in clues:
        if clue.age_days > before:
            share = earlier_share(from_days, before, clue.age_days, log_days, scale)
            so_far = carried(so_far, share)
        chance = np.broadcast_to(clue.chance(unresolved)[:, None], so_far.shape)
        so_far = _unless_lost(so_far * chance, chance)
        before = clue.age_days
    return so_far


def carried(given_earlier: Array, share: Array) -> Array:
    """`thin`, but where a shift makes the clues so unlikely that numbers run out, unmoved."""
    return _unless_lost(thin(given_earlier, share), given_earlier)


def _unless_lost(given: Array, otherwise: Array) -> Array:
    """Columns of `given`, or of `otherwise` where nothing but nought is left.

    Clues can contradict each other or come absurdly early; the newer one then stands alone.
    """
    return np.where(given.max(axis=0) > 0, given, otherwise)


def earlier_share(
    from_days: float, age_days: float, later_days: float, log_days: Array, scale: float
) -> Array:
    """Of those that root between two ages, the share rooted by an age between, for each u."""
    start = score(from_days, log_days, scale)
    part = log_between(start, score(age_days, log_days, scale))
    whole = log_between(start, score(later_days, log_days, scale))
    return np.exp(np.minimum(part - whole, 0.0))


@frozen(eq=False)
class ClueTable:
    """Clues weighed with Binomial(n, rate) at the fixed rates of `counts`, for each shift.

    Clues allow no count below `first` nor above `last`, so their chance falls as
    rate^first (1 - rate)^(n - last) at the ends; that factor is kept apart and what is left,
    `scaled` (rates, n + 1) times `given` (n + 1, shifts), runs on smoothly down to a rate
    of 0 and up to 1. Each row of `scaled` lacks a factor exp(`log_scale`).
    """

    given: Array
    scaled: Array
    log_scale: Array
    first: int
    last: int

    @property
    def core(self) -> Array:
        """What is left of the clues' chance, less its scale, (rates, shifts)."""
        return np.asarray(np.maximum(self.scaled @ self.given, TINY), dtype=np.float64)

    def log_chance(self, rate: Array) -> Array:
        """Log of the clues' chance for a grid of rates (takes, shifts).

        The smooth part is read off between fixed rates by straight lines, which cannot
        overshoot.
        """
        n = len(self.given) - 1
        smooth = np.log(self.core) + self.log_scale
        position = angle_position(rate, n)
        base = np.minimum(position.astype(np.intp), len(smooth) - 2)
        share, shift = position - base, np.arange(rate.shape[1])
        between = (1 - share) * smooth[base, shift] + share * smooth[base + 1, shift]
        low, high = np.log(np.maximum(rate, TINY)), np.log(np.maximum(1 - rate, TINY))
        return np.asarray(between + self.first * low + (n - self.last) * high, dtype=np.float64)

    def mixed_counts(self, weights: Array) -> Array:
        """Distribution of the count given the clues, from weights (shifts, rows, rates).

        At each fixed rate and shift the count has a distribution of its own, which sums to 1
        however unlikely the clues are there; the answer has shape (rows, n + 1).
        """
        each = weights / self.core.T[:, None, :]
        return np.asarray(np.einsum("ugk,ku->gk", each @ self.scaled, self.given))


def clue_table(given: Array) -> ClueTable:
    """Table of clues known by their probability `given` each count, (n + 1, shifts)."""
    n = len(given) - 1
    allowed = np.nonzero(given.max(axis=1) > 0)[0]
    first, last = (int(allowed[0]), int(allowed[-1])) if len(allowed) else (0, n)
    k, factorial = np.arange(first, last + 1), log_factorials(n)
    log_rate, log_rest = log_fixed_rates(n)
    ways = factorial[n] - factorial[k] - factorial[n - k]
    logs = ways + (k - first) * log_rate[:, None] + (last - k) * log_rest[:, None]
    log_scale = logs.max(axis=1, keepdims=True)
    scaled = np.zeros((len(log_rate), n + 1))
    scaled[:, first : last + 1] = np.exp(logs - log_scale)
    return ClueTable(given, scaled, log_scale, first, last)
