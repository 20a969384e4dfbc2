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

from propagate.science.counts import log_factorials
from propagate.science.timing import TINY, Array, log_between, score

IntArray = NDArray[np.int_]
_NEVER = -690.0  # the logarithm of what hardly can be


@frozen
class Clue:
    """At `age_days`, `left` in all had left the tray rooted since the last look.

    With `lifted` above 0, a sample of that size then held `rooted` and `dead` (None: the dead
    were not looked for), from a tray that held `known_in_tray` rooted ones from earlier looks
    and `gone` dead ones that have been taken out since.
    """

    age_days: float
    left: int
    lifted: int = 0
    rooted: int = 0
    dead: int | None = None
    known_in_tray: int = 0
    gone: int = 0

    def chance(self, unresolved: int) -> Array:
        """Probability of the clue for 0..unresolved rooted at its age, shape (unresolved + 1,).

        A sample is hypergeometric: lifted from the known rooted ones and the unresolved that
        have not left. When later removals leave fewer than were lifted, it tells nothing.
        """
        rooted = np.arange(unresolved + 1)
        possible = (rooted >= self.left).astype(np.float64)
        tray = self.known_in_tray + unresolved - self.left + self.gone
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


def _log_choose(factorial: Array, among: IntArray, taken: int | IntArray) -> Array:
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


def log_sample_deaths(clue: Clue, unresolved: int, rooted_share: Array, dead_share: Array) -> Array:
    """Log of P(dead found | rooted found in a sample), (shares, unresolved + 1, shifts).

    For 0..unresolved takers. `rooted_share` (shifts,) is the share of takers that had rooted
    by then, `dead_share` (shares,) that of failers that were dead. Drawn without replacement:
    of the unrooted in the sample f are failers in as many ways as those can be chosen from
    takers and failers, the dead that are gone among them.
    """
    dead, unrooted = clue.dead or 0, clue.lifted - clue.rooted
    takers = np.arange(unresolved + 1)[:, None]
    others = np.maximum(takers - max(clue.rooted - clue.known_in_tray, 0), 0)
    failers = unresolved - takers + clue.gone
    f = np.arange(unrooted + 1)
    factorial = log_factorials(max(unresolved + clue.gone, unrooted))
    possible = (failers >= f) & (others >= unrooted - f)
    chosen = np.where(
        possible,
        _log_choose(factorial, failers, f) + _log_choose(factorial, others, unrooted - f),
        -np.inf,
    )
    ways = np.exp(chosen - np.maximum(chosen.max(axis=1, keepdims=True), _NEVER))
    log_waiting = np.log(np.maximum(1 - rooted_share, TINY))
    slowest = _NEVER / max(unrooted, 1)
    waiting = np.exp((unrooted - f)[:, None] * np.maximum(log_waiting, slowest))
    either = ways @ waiting
    found = (ways * _binomial(unrooted, dead, dead_share)[:, None, :]) @ waiting
    likely = np.where(either > 0, found / np.maximum(either, TINY), 1.0)
    return np.asarray(np.log(np.maximum(likely, TINY)), dtype=np.float64)


def _binomial(most: int, found: int, share: Array) -> Array:
    """Chance that `found` of 0..most have a mark that each has with a share, (shares, most + 1)."""
    among, share = np.arange(most + 1), np.clip(share, TINY, 1 - 1e-16)[:, None]
    factorial = log_factorials(most)
    logs = _log_choose(factorial, among, found) + found * np.log(share)
    logs = logs + np.maximum(among - found, 0) * np.log1p(-share)
    return np.where(among >= found, np.exp(logs), 0.0)
