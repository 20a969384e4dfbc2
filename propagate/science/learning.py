"""Learning from all batches of one plant by one method that a book holds.

The batches have a mean take in common; each batch's own take and shift are summed out given
that mean. So one pass over the batches gives the posterior of the mean, and with it every
batch's own, exact to the grid (see `grid`).
"""

from collections.abc import Sequence

import numpy as np
from attrs import evolve, field, frozen

from propagate.errors import Refused
from propagate.science.counts import mixed, total
from propagate.science.grid import (
    WIDER_LOG,
    SharedNodes,
    batch_grid,
    in_play,
    log_beta_weights,
    shared_nodes,
)
from propagate.science.hypotheses import MixedPosterior
from propagate.science.posterior import BatchPosterior, shares_of
from propagate.science.prior import Prior
from propagate.science.scaling import in_units, unit_of
from propagate.science.sightings import BatchData, reduce_sightings
from propagate.science.timing import Array

AnyPosterior = BatchPosterior | MixedPosterior


@frozen(eq=False)
class GroupPosterior:
    """All batches of a group after all their sightings.

    `shared` are the nodes of the mean take that the batches have in common, `shared_weight`
    its posterior on them.
    """

    prior: Prior
    shared: SharedNodes
    shared_weight: Array
    batches: tuple[AnyPosterior, ...] = field(repr=False)

    def batch(self, i: int) -> AnyPosterior:
        """The i-th batch, in the order given to `learn`."""
        return self.batches[i]

    def fresh(self, count: int) -> BatchPosterior:
        """A batch of `count` yet to be started, in the light of what the group has shown."""
        return _one(self.prior, BatchData(count), self.shared, self.shared_weight)

    def total(self, days: Sequence[float], which: Sequence[int] | None = None) -> Array:
        """P(k rooted in all batches together), k = 0..sum of counts.

        `days` holds one day for each batch of `which` (all of them when None), each counted
        from that batch's start. Given the shared take the batches are independent, so they
        are summed for each node of it and then mixed: the dependence stays.
        """
        chosen = range(len(self.batches)) if which is None else which
        if len(days) != len(chosen):
            raise Refused(f"{len(chosen)} batches need as many days; got {len(days)}")
        if not chosen:
            return np.ones(1)
        parts = [self.batches[i].given_shared(day) for i, day in zip(chosen, days, strict=True)]
        return mixed(self.shared_weight, total(parts))

    def shared_take_interval(self, chance: float = 0.8) -> tuple[float, float, float]:
        """Low, median and high of the mean take of this plant by this method in the book."""
        return shares_of(self.shared.log_odds, self.shared_weight, chance)


def learn(
    prior: Prior, batches: Sequence[BatchData], lingering: Sequence[float] = ()
) -> GroupPosterior:
    """Posterior of a group of batches of one plant by one method.

    `lingering` are shares of failers that never look dead, equally likely; a batch in which
    dead were found is answered for under each of them, weighed by what was seen. Without
    any, the prior's own share holds.

    Shared takes near the prior are tried first; while the posterior runs up against their
    ends, because the book says otherwise than the record, the window is widened.
    Raises Refused for sightings that cannot be: more counted than there are, days in disorder.
    """
    every = shared_nodes(prior, len(batches))
    window = in_play(every.log_weight, below=WIDER_LOG)
    while True:
        shared = every.part(window)
        parts = [_batch(prior, batch, shared, lingering) for batch in batches]
        log_weight = shared.log_weight + sum(np.log(part.evidence) for part in parts)
        kept = in_play(log_weight)
        wider = _widened(window, kept, len(every.log_odds))
        if wider == window:
            break
        window = wider
    weight = np.exp(log_weight[kept] - log_weight.max())
    weight /= weight.sum()
    return GroupPosterior(
        prior=prior,
        shared=shared.part(kept),
        shared_weight=weight,
        batches=tuple(part.weighed(weight, kept) for part in parts),
    )


def _widened(window: slice, kept: slice, length: int) -> slice:
    """The window, longer by half at each end where the kept nodes run up against it."""
    width = window.stop - window.start
    more = width // 2 + 1
    start = window.start - more if kept.start == 0 else window.start
    stop = window.stop + more if kept.stop == width else window.stop
    return slice(max(start, 0), min(stop, length))


def _batch(
    prior: Prior, batch: BatchData, shared: SharedNodes, lingering: Sequence[float]
) -> AnyPosterior:
    """One batch, under each share of lingering failers where its sightings tell of deaths."""
    weight = shared.log_weight
    if not lingering or not reduce_sightings(batch, prior).tells_of_deaths:
        return _one(prior, batch, shared, weight)
    priors = [evolve(prior, failer_lingering=share) for share in lingering]
    return MixedPosterior(tuple(_one(each, batch, shared, weight) for each in priors), weight)


def _one(
    prior: Prior, batch: BatchData, shared: SharedNodes, shared_weight: Array
) -> BatchPosterior:
    exact = cells = reduce_sightings(batch, prior)
    count = batch.count
    if (unit := unit_of(exact, count)) > 1:
        cells = reduce_sightings(in_units(batch, unit), prior)
        count //= unit
    grid = batch_grid(prior, cells, count, shared)
    law = np.exp(
        log_beta_weights(grid.lattice.take_log_odds, shared.take, prior.take_precision_batch)
    )
    return BatchPosterior(batch.count, exact, cells, grid, law, shared_weight)
