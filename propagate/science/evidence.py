"""What batches say together of all that they share.

That is the mean take, how far batches differ, how early they run, and what is usual with their
failers. Given these the batches are independent. What is usual (see `hypotheses`) is summed out
batch by batch, by the rule that P(a and b) = P(a) P(b | a): each is weighed by what those before
it have shown for the same mean take. How far batches differ and how early they run tell next to
nothing of their failers, so there that is reckoned with the record's precision and over all
early nodes; on grids that have but one of each the sum is exact.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np

from propagate.science.likelihood import Seen
from propagate.science.takers import TakeLaws
from propagate.science.timing import TINY, Array

VANISHING: Final = 1e-200
"""Evidence is multiplied down to here; a double goes on to 1e-308."""

AT_ONCE: Final = 4
"""So many batches alone cannot make it vanish, whatever is usual: each is scaled to its best."""


def log_evidence(seen: Sequence[Seen], laws: TakeLaws, of_early: Array) -> tuple[Array, Array]:
    """Log of P(all seen of batches | shared), up to a constant, and P(usage | take, all seen).

    Shaped (precisions, earlies, takes) and (takes, usages); `laws` are those of the takers for
    (precisions, takes), `of_early` the weights of the early nodes. Evidence is multiplied while
    nothing can vanish, for a logarithm costs as much as the rest.
    """
    usages = max((len(one.usual) for one in seen), default=1)
    if len(of_early) == len(laws.up) == 1 and all(len(one.offset) == 1 for one in seen):
        return _alone(seen, laws, usages)
    usage = np.full((laws.up.shape[-2], usages), 1 / usages)
    log_told: Array = np.zeros((*laws.up.shape[:-1], 1))
    product, least = np.ones_like(log_told), 1.0
    for one in seen:
        found, log_scale, usage = _evidence(one, laws, usage, of_early)
        log_told = log_told + log_scale
        smallest = float(found.min())
        if least * smallest < VANISHING:
            log_told, product, least = log_told + np.log(product), found, smallest
        else:
            product, least = product * found, least * smallest
    return np.asarray(np.swapaxes(log_told + np.log(product), 1, 2), dtype=np.float64), usage


def _alone(seen: Sequence[Seen], laws: TakeLaws, usages: int) -> tuple[Array, Array]:
    """The same on a grid with one precision and one early node, of no batch known in part."""
    usage = np.full((laws.up.shape[-2], usages), 1 / usages)
    log_told: Array = np.zeros((len(usage), 1))
    for at, one in enumerate(seen, start=1):
        law, log_scale = _scaled(one, laws, one.log_summed[0, 0] + one.log_fate[0])
        log_told = log_told + log_scale[0]
        usage = usage * (law[0] @ one.usual[:, 0].T)
        if at % AT_ONCE == 0 or at == len(seen):
            whole = np.maximum(usage.sum(axis=1, keepdims=True), TINY)
            log_told, usage = log_told + np.log(whole), usage / whole
    return log_told.T[None], usage


def _evidence(
    seen: Seen, laws: TakeLaws, usage: Array, of_early: Array
) -> tuple[Array, Array, Array]:
    """P(seen of one batch | shared), (precisions, takes, earlies), the log of its scale, and usage.

    `usage` (takes, usages) goes in by the batches before, and comes out by this one as well.
    """
    if len(seen.offset) > 1:
        return _of_parts(seen, laws, usage, of_early)
    told, usual = seen.log_summed[:, 0] + seen.log_fate, seen.usual[:, 0]
    best = told[0] if len(told) == 1 else told.max(axis=0)
    law, log_scale = _scaled(seen, laws, best)
    by_early = np.exp(told - best)
    if len(usual) == 1:
        return law @ by_early.T, log_scale, usage
    after = _weighed(usage, law, usual * (of_early @ by_early))
    found = (law * (usage @ usual)) @ by_early.T
    return np.maximum(found, TINY), log_scale, after


def _of_parts(
    seen: Seen, laws: TakeLaws, usage: Array, of_early: Array
) -> tuple[Array, Array, Array]:
    """The same for a batch known in part, whose early nodes and fates do not come apart."""
    told = seen.takers_told
    best = told.max(axis=(0, 1))
    law, log_scale = _scaled(seen, laws, best)
    each = np.exp(told - best)
    if len(each) == 1:
        return law @ each[0].T, log_scale, usage
    after = _weighed(usage, law, of_early @ each)
    found = sum(usage[:, at, None] * (law @ one.T) for at, one in enumerate(each))
    return np.maximum(found, TINY), log_scale, after


def _scaled(seen: Seen, laws: TakeLaws, told: Array) -> tuple[Array, Array]:
    """P(takers and seen | precision, take), (.., takers), as a share of the best, and its log."""
    logs = laws.log_chance(seen.cells.known_rooted, len(told), seen.cells.told_of) + told
    best = logs.max(axis=-1, keepdims=True)
    return np.exp(logs - best), best


def _weighed(usage: Array, law: Array, likely: Array) -> Array:
    """P(usage | take) after a batch, (takes, usages), from that before it.

    `likely` (usages, takers) is P(seen | usage, takers), `law` that of the takers.
    """
    joint = usage * (law[len(law) // 2] @ likely.T)
    whole = np.maximum(joint.sum(axis=1, keepdims=True), TINY)
    return np.asarray(joint / whole, dtype=np.float64)
