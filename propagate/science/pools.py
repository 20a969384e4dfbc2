"""Several wants drawing on one pool of plants: whole distributions, never independent sums.

A pool is a distribution (..., n + 1) of how many plants there are, its leading axis what
several pools have in common (see `grid`). Wants are served one after the other, each keeping
for itself what it needs before the next may take; so what the wants before have kept is a
plain number, and the plants left to a want are the pool less that number, but never below
nought.
"""

import numpy as np

from propagate.science.counts import shifted
from propagate.science.timing import Array


def left_over(pmf: Array, kept: int) -> Array:
    """The distribution of what is left when `kept` plants are taken off as far as there are any."""
    if kept <= 0:
        return pmf
    at = min(kept, pmf.shape[-1] - 1)
    none = pmf[..., : at + 1].sum(axis=-1, keepdims=True)
    return np.concatenate([none, pmf[..., at + 1 :]], axis=-1)


def served(pmf: Array, kept: int, wanted: int) -> Array:
    """How many of `wanted` plants a want gets after `kept` were kept for others.

    Over 0..wanted on the last axis.
    """
    left = left_over(pmf, kept)
    if left.shape[-1] <= wanted:
        return shifted(left, 0, wanted + 1)
    full = left[..., wanted:].sum(axis=-1, keepdims=True)
    return np.concatenate([left[..., :wanted], full], axis=-1)


def chance_to_fill(short: Array, fresh: Array, weight: Array) -> float:
    """P(fresh plants make good what is short), both given what is shared: (nodes, ..).

    `short[i, m]` is the chance that m plants are short at node i, `fresh[i, k]` that k come;
    given the node they are independent.
    """
    most = short.shape[-1] - 1
    at_least = np.cumsum(fresh[:, ::-1], axis=1)[:, ::-1]
    enough = np.zeros((len(fresh), most + 1))
    reached = min(most + 1, at_least.shape[1])
    enough[:, :reached] = at_least[:, :reached]
    return float(weight @ (short * enough).sum(axis=1))
